// The builder's questions in their order, worst verdicts first, each with the numbers that drive it.

import { beside, chooser, differs, onBeside } from "./beside.js";
import { hear, tell } from "./bus.js";
import { fill, h, say } from "./dom.js";
import { field } from "./field.js";
import { listed, spoken } from "./label.js";
import { STATES, WORDS, sign, worst } from "./signs.js";
import { listen, state } from "./store.js";

const NAMED = 3; // of the numbers that one verdict waits for, in its line
const rows = new Map(); // id -> row
const sections = new Map(); // study -> section
let filter = "all";
let place;
let begun = false;

export function questions(panel) {
  place = panel;
  fill(place, h("p", { class: "faint", id: "first" }, "Working out the first answers. A large scan takes a few seconds."));
  listen(["questions", "verdicts"], (sent, whole) => update(whole ? null : sent.verdicts));
  onBeside(() => {
    for (const row of rows.values()) row.compare();
    if (!beside() && filter === "differs") filter = "all";
    if (document.getElementById("filters")) heads();
    for (const one of sections.values()) one.order(true);
  });
  hear("open", ({ verdict }) => open(verdict));
}

function update(changed) {
  if (!state.questions) return;
  document.getElementById("first")?.remove();
  if (changed && begun) announce(changed);
  for (const one of state.questions) {
    if (!sections.has(one.study)) sections.set(one.study, section(one.study));
  }
  // While answers come in, what is not there yet is not gone: somebody may be typing in it.
  if (state.settled) for (const [id, row] of rows) if (!state.verdicts[id]) (row.element.remove(), rows.delete(id));
  for (const id of changed ? Object.keys(changed) : Object.keys(state.verdicts)) {
    const verdict = state.verdicts[id];
    if (!verdict) continue;
    if (!rows.has(id)) rows.set(id, makeRow(id));
    rows.get(id).update(verdict);
  }
  lay();
  heads();
  for (const one of sections.values()) one.order();
  if (!begun) {
    begun = true;
    const of = ({ verdicts }) => STATES.indexOf(worst(verdicts.map((id) => state.verdicts[id].state)));
    const first = [...state.questions].sort((one, other) => of(one) - of(other))[0]; // of several that are as bad the first
    if (first) sections.get(first.study).expand(true);
  }
}

let laid = "";
function lay() {
  const wanted = state.questions.map((one) => one.study).join();
  if (laid === wanted) return; // the first answers come question by question
  laid = wanted;
  if (!document.getElementById("filters")) fill(place, h("div", { class: "filters", role: "group", "aria-label": "Show", id: "filters" }), chooser());
  let before = place.querySelector(".chooser");
  for (const { study } of state.questions) {
    const { element } = sections.get(study);
    if (before.nextElementSibling !== element) before.after(element); // what is moved loses the focus
    before = element;
  }
}

function heads() {
  const count = (name) => Object.values(state.verdicts).filter((verdict) => verdict.state === name).length;
  const choose = (name) => () => {
    filter = name;
    heads();
    for (const one of sections.values()) one.order(true);
  };
  const all = h("button", { type: "button", "aria-pressed": filter === "all" ? "true" : "false", onclick: choose("all") }, "All");
  const focused = document.activeElement?.dataset?.filter;
  all.dataset.filter = "all";
  fill(document.getElementById("filters"), all, STATES.map((name) => {
    const button = h("button", { type: "button", "aria-pressed": filter === name ? "true" : "false", onclick: choose(name), disabled: count(name) === 0 && filter !== name },
      sign(name), `${WORDS[name]} ${count(name)}`);
    button.dataset.filter = name;
    return button;
  }), beside() && differing(choose("differs")));
  if (focused) document.querySelector(`[data-filter="${focused}"]`)?.focus();
  for (const one of state.questions) sections.get(one.study).head(one);
}

function differing(onclick) {
  const count = Object.keys(state.verdicts).filter(differs).length;
  const button = h("button", { type: "button", "aria-pressed": filter === "differs" ? "true" : "false", onclick, disabled: count === 0 && filter !== "differs" }, `Differ ${count}`);
  button.dataset.filter = "differs";
  return button;
}

function section(study) {
  const title = h("span", { class: "title" });
  const told = h("span", { class: "tally" });
  const icon = h("span", { class: "icon" });
  const list = h("div", { class: "verdicts", id: `question-${study}`, hidden: true });
  const button = h("button", { type: "button", class: "question", "aria-expanded": "false", "aria-controls": `question-${study}` }, icon, title, told);
  const element = h("section", { class: "asks", "data-study": study }, h("h2", {}, button), list);
  const holding = h("details", { class: "holding" }, h("summary", {}));
  let waiting = 0;
  let wide = null; // whether it was open before only some were shown

  const expand = (open) => {
    button.setAttribute("aria-expanded", open ? "true" : "false");
    list.hidden = !open;
  };
  const order = (now = false) => {
    const hand = list.contains(document.activeElement) ? document.activeElement : null;
    // Rows do not move under the hand that is editing in them.
    if (!now && hand?.matches("input, select, textarea")) return;
    const ids = state.questions.find((one) => one.study === study)?.verdicts;
    if (!ids) return;
    const wanted = ids.filter((id) => (filter === "differs" ? differs(id) : filter === "all" || state.verdicts[id].state === filter));
    const fold = filter === "all";
    const open = wanted.filter((id) => !fold || state.verdicts[id].state !== "holds");
    const holds = wanted.filter((id) => fold && state.verdicts[id].state === "holds");
    const held = hand?.closest(".verdict")?.dataset.id; // nor do they go from under it
    if (!now && held && !(open.includes(held) || (holds.includes(held) && holding.open))) return;
    holding.firstChild.replaceChildren(sign("holds"), `${holds.length} of ${ids.length} hold`);
    const inside = [holding.firstChild, ...holds.map((id) => rows.get(id).element)];
    const outside = [...open.map((id) => rows.get(id).element), ...(holds.length ? [holding] : [])];
    if (inside.some((one, i) => holding.childNodes[i] !== one) || holding.childNodes.length !== inside.length) holding.replaceChildren(...inside);
    if (outside.some((one, i) => list.childNodes[i] !== one) || list.childNodes.length !== outside.length) list.replaceChildren(...outside);
    if (hand?.isConnected) hand.focus({ preventScroll: true });
    element.hidden = filter !== "all" && wanted.length === 0;
    if (!now) return;
    if (filter !== "all") {
      wide ??= !list.hidden;
      expand(wanted.length > 0);
    } else if (wide !== null) {
      expand(wide);
      wide = null;
    }
  };
  button.addEventListener("click", () => expand(list.hidden));
  list.addEventListener("focusout", () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => order(), 400);
  });
  return {
    element, expand, order, holding,
    head(one) {
      title.textContent = one.question;
      const states = one.verdicts.map((id) => state.verdicts[id].state);
      icon.replaceChildren(sign(worst(states)));
      fill(told, h("span", { class: "unseen" }, `: ${one.tally}`), STATES.map((name) => {
        const count = states.filter((state) => state === name).length;
        return h("span", { class: "count", "aria-hidden": "true", title: `${count} ${WORDS[name].toLowerCase()}` }, count > 0 && [sign(name), String(count)]);
      }));
    },
  };
}

function makeRow(id) {
  const icon = h("span", { class: "icon" });
  const word = h("span", { class: "word" });
  const asks = h("span", { class: "asked-words" });
  const numbers = h("span", {});
  const was = h("span", { class: "was" });
  const other = h("span", { class: "other" });
  const body = h("div", { class: "body", id: `body-${id}`, hidden: true });
  const button = h("button", { type: "button", class: "line", "aria-expanded": "false", "aria-controls": `body-${id}` },
    icon, h("span", { class: "words" }, word, asks, h("span", { class: "numbers" }, numbers, was), other));
  const element = h("article", { class: "verdict", "data-id": id }, button, body);
  const parts = { why: h("p", { class: "why" }), does: h("p", { class: "does" }), chance: h("p", { class: "faint" }), source: h("p", { class: "source faint" }), pose: h("p", { class: "poses" }), work: h("p", { class: "answers" }), fields: h("div", { class: "fields" }), way: h("div", { class: "way" }) };
  let now = null;
  let settled; // the state when it was last sure
  let keys = "";

  const fresh = () => {
    const verdict = now;
    const lacking = verdict.keys.filter(({ key, missing, choices }) => missing && !state.entries[key] && !choices).map(({ key }) => key);
    const fieldsSay = verdict.keys.some(({ missing }) => missing); // what is missing stands below, each in its field
    fill(parts.why, fieldsSay ? lacking.length > 0 && ["To be written into the build file: ", listed(lacking, lacking.length)] : spoken(verdict.why));
    // Until it is weighed, what is still to come keeps its place: the field below must not move under the hand.
    parts.does.classList.toggle("awaited", !verdict.weighed && !verdict.do);
    if (verdict.weighed || verdict.do) fill(parts.does, verdict.do && [h("strong", {}, "Do "), spoken(verdict.do)]);
    if (verdict.weighed) fill(parts.chance, verdict.chance && !verdict.sure && `That it holds is ${verdict.chance}.`);
    else if (parts.chance.textContent) fill(parts.chance, "How likely it is to hold is being weighed.");
    fill(parts.source, verdict.source && ["Limit: ", spoken(verdict.source)]);
    fill(parts.pose, h("button", { type: "button", class: "small", onclick: () => tell("pose", { verdict: id }) }, "Show where in the drawing"));
    parts.pose.hidden = !(verdict.things.length || verdict.where?.point_mm);
    fill(parts.way, verdict.way && timeline(verdict.way));
    const works = verdict.state === "unmeasured" ? state.offers.filter(({ name }) => new RegExp(`\\bcoachwork ${name}\\b`).test(verdict.why)) : [];
    fill(parts.work, works.map(({ name, title }) => h("button", { type: "button", class: "small", onclick: () => tell("work", { name }) }, title)));
    const wanted = verdict.keys.filter(({ key, choices }) => state.entries[key] || choices);
    const told = wanted.map(({ key }) => key).join(" ");
    if (told !== keys && !parts.fields.contains(document.activeElement)) {
      // A field that is shown stays, with what is typed in it, until the verdict is closed.
      const old = new Map([...parts.fields.children].map((one) => [one.dataset.key, one]));
      keys = told;
      const now = wanted.map((one) => old.get(one.key) ?? field(one.key, { choices: one.choices }));
      fill(parts.fields, now, [...old.values()].filter((one) => !now.includes(one)));
    }
    for (const one of parts.fields.children) {
      const lever = verdict.keys.find(({ key }) => key === one.dataset.key);
      let note = one.querySelector(".note");
      if (!note) one.insertBefore((note = h("p", { class: "note" })), one.querySelector(".fault"));
      note.textContent = lever ? says(lever, verdict) : "";
    }
    if (!body.firstChild) fill(body, parts.why, parts.work, parts.does, parts.way, parts.chance, parts.fields, parts.pose, parts.source);
  };
  const expand = (wide) => {
    button.setAttribute("aria-expanded", wide ? "true" : "false");
    body.hidden = !wide;
    if (!wide) (keys = ""), fill(parts.fields);
    else fresh();
  };
  button.addEventListener("click", () => expand(body.hidden));
  // Numbers that came while one was being typed in are put in when the focus has left them.
  parts.fields.addEventListener("focusout", () => setTimeout(() => body.hidden || parts.fields.contains(document.activeElement) || fresh()));
  element.addEventListener("pointerenter", () => tell("look", { verdict: id }));
  // What has the focus is lit again when the pointer goes.
  element.addEventListener("pointerleave", () => tell("look", { verdict: document.activeElement?.closest(".verdict")?.dataset.id ?? null }));
  element.addEventListener("focusin", () => tell("look", { verdict: id }));
  element.addEventListener("focusout", () => tell("look", { verdict: null }));
  const compare = () => {
    const found = beside();
    const theirs = found?.verdicts[id];
    other.replaceChildren();
    if (!found) return;
    if (theirs) other.append(sign(theirs.state), `${found.name}: ${WORDS[theirs.state].toLowerCase()} ${theirs.numbers.replace(/ (\S+)$/, "\u00a0$1")}`);
    else other.append(`${found.name}: not asked`);
    other.classList.toggle("same", theirs?.state === now?.state);
  };
  return {
    element, expand, button, compare,
    get settled() {
      return settled;
    },
    update(verdict) {
      const before = now?.state;
      now = verdict;
      element.className = `verdict ${verdict.state}${verdict.weighed ? "" : " weighing"}`;
      if (before !== verdict.state) icon.replaceChildren(sign(verdict.state));
      word.textContent = WORDS[verdict.state];
      if (begun && settled && settled !== verdict.state) was.textContent = ` was: ${WORDS[settled].toLowerCase()}`;
      if (isSure(verdict)) settled = verdict.state;
      asks.textContent = verdict.question;
      const lacks = verdict.keys.filter((one) => one.missing);
      const missing = lacks.map(({ key }) => key);
      const verb = lacks.every(({ choices }) => choices) ? "chosen" : "measured";
      fill(numbers, verdict.numbers || (verdict.state === "unmeasured" && (missing.length ? [`Not ${verb} yet: `, listed(missing, NAMED)] : spoken(verdict.why))));
      if (!body.hidden) fresh();
      if (beside()) compare();
    },
  };
}

// The shortest way to a broken wish: one column an action, one row a device or a pulse; under the pointer, what stands
// after an action in one line.
function timeline(steps) {
  const cell = (device, i) => {
    const mode = steps[i].modes[device];
    const fresh = i > 0 && steps[i - 1].modes[device] !== mode;
    return h("td", { class: fresh ? "fresh" : mode === "dark" ? "faint" : "", "data-step": i }, mode);
  };
  const pulses = (step) => Object.entries(step.pulses).map(([channel, pulse]) => `${channel} ${pulse === null ? "no pulse" : `${pulse} us`}`).join(", ");
  const reading = h("p", { class: "reading" });
  const table = h("table", {},
    h("caption", {}, "The shortest way there"),
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "device"), steps.map((step, i) => h("th", { scope: "col", "data-step": i }, `${i + 1}. ${step.action}`)))),
    h("tbody", {}, Object.keys(steps[0].modes).map((device) => h("tr", {}, h("th", { scope: "row" }, device.replaceAll("-", " ")), steps.map((_, i) => cell(device, i)))),
      Object.keys(steps[0].pulses).map((channel) => h("tr", { class: "pulse" }, h("th", { scope: "row" }, `${channel} (us)`), steps.map((step, i) => h("td", { "data-step": i }, step.pulses[channel] ?? "none"))))));
  table.addEventListener("pointerover", ({ target }) => {
    const at = target.closest("[data-step]")?.dataset.step;
    if (at === undefined) return;
    for (const one of table.querySelectorAll("[data-step]")) one.classList.toggle("at", one.dataset.step === at);
    reading.textContent = `After ${Number(at) + 1}. ${steps[at].action}: ${pulses(steps[at])}`;
  });
  return [h("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "The shortest way there" }, table), reading];
}

function says(lever, verdict) {
  const words = [];
  if (lever.missing) words.push(lever.choices ? "Not chosen yet." : "Not measured yet.");
  if (lever.gain !== null && lever.gain !== undefined) {
    const more = lever.gain >= 0 ? "more room" : "less room";
    const unit = / ([^\d ]+)$/.exec(state.entries[lever.key]?.told ?? "")?.[1] ?? "";
    const step = unit === "mm" || unit === "" ? `${round(lever.step)} ${unit} more` : "2 % more";
    // A unit such as "% more" is that of the value; what is left of it is told in its plain half.
    words.push(`${step.replace("  ", " ")}: ${round(Math.abs(lever.gain))} ${(verdict.unit ?? "").replace(/ (more|less)$/, "")} ${more}.`.replace("  ", " "));
  }
  if (verdict.weighed && lever.share > 0.005) words.push(`${Math.round(100 * lever.share)} % of the doubt.`);
  return words.join(" ");
}

function round(number) {
  return Number(number.toPrecision(2)).toString();
}

// Whether its state may not turn any more until something is edited.
function isSure(verdict) {
  return verdict.weighed || verdict.state === "fails";
}

function announce(changed) {
  const turned = Object.entries(changed).filter(([id, verdict]) => verdict && isSure(verdict) && rows.get(id)?.settled && rows.get(id).settled !== verdict.state);
  if (!turned.length) return;
  tell("turned", turned.map(([id, verdict]) => ({ id, from: rows.get(id).settled, to: verdict.state })));
  const words = turned.slice(0, 4).map(([id, verdict]) => `${rows.get(id).settled} to ${verdict.state}: ${verdict.question}`);
  say(`${turned.length === 1 ? "1 verdict changes" : `${turned.length} verdicts change`}. ${words.join(" ")}`);
}

function open(id) {
  const verdict = state.verdicts[id];
  if (!verdict) return;
  filter = "all";
  heads();
  for (const one of sections.values()) one.order(true);
  const its = sections.get(verdict.study);
  its.expand(true);
  if (verdict.state === "holds") its.holding.open = true;
  const row = rows.get(id);
  row.expand(true);
  row.element.scrollIntoView({ block: "center" });
  row.button.focus();
}

export function verdictLink(id) {
  const verdict = state.verdicts[id];
  return h("button", { type: "button", class: "link", onclick: () => tell("open", { verdict: id }) }, sign(verdict.state), `${WORDS[verdict.state]}: ${verdict.question}`);
}

