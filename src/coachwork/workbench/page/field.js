// One number of the build, editable in place. The text belongs to the builder until it is in the file: nothing that
// comes from the server writes over what is being typed.

import { h, fill, say } from "./dom.js";
import { labelled, plainly, spoken } from "./label.js";
import { ask, link, state } from "./store.js";

const PAUSE_MS = 180;
const NUMBER = /^(\s*~?\s*)([+-]?\d+(?:\.\d+)?)(.*)$/s;
const fields = new Map(); // key -> Set of fields shown
const ASKED = "another program changed it; see the note at the top";
const unsent = new Map(); // key -> text typed while the server was away
let count = 0;

export function shown(text) {
  return text === null || text === undefined || text === "?" ? "" : text;
}

// choices: what it may hold, for a key that stands nowhere yet
export function field(key, { note = null, compact = false, choices: known = [] } = {}) {
  const id = `field-${(count += 1)}`;
  const label = labelled(key);
  const choices = state.entries[key]?.choices ?? known;
  const input = choices.length
    ? h("select", { id, "aria-describedby": `${id}-told ${id}-fault` }, !shown(state.entries[key]?.text) && h("option", { value: "" }, "not chosen yet"), ...choices.map((choice) => h("option", {}, choice)))
    : h("input", { id, type: "text", spellcheck: "false", autocomplete: "off", "aria-describedby": `${id}-told ${id}-fault` });
  const told = h("span", { id: `${id}-told`, class: "told" });
  const fault = h("p", { id: `${id}-fault`, class: "fault" });
  const element = h("div", { class: `field${compact ? " compact" : ""}`, "data-key": key },
    h("label", { for: id, title: [`${key} in the build file`, state.entries[key]?.how].filter(Boolean).join(": ") },
      h("span", { class: "name" }, label.name), " ", h("span", { class: "table" }, label.table)),
    h("div", { class: "entry" }, input, told),
    note && h("p", { class: "note" }, typeof note === "string" ? spoken(note) : note), fault);
  const one = { key, element, input, told, fault, seen: undefined, timer: 0, sent: null, asked: false };
  input.addEventListener("input", () => typed(one));
  input.addEventListener("keydown", (event) => pressed(one, event));
  input.addEventListener("change", () => commit(one));
  input.addEventListener("blur", () => one.seen !== undefined && commit(one));
  if (!fields.has(key)) fields.set(key, new Set());
  fields.get(key).add(one);
  refresh(one);
  return element;
}

function typed(one) {
  if (one.seen === undefined) one.seen = state.entries[one.key]?.text ?? null;
  one.element.classList.add("typing");
  clearTimeout(one.timer);
  one.timer = setTimeout(() => check(one), PAUSE_MS);
}

async function check(one) {
  const text = one.input.value;
  if (one.seen === undefined) return;
  if (!link.up) return void unsent.set(one.key, text);
  try {
    const { faults } = await ask("note", { key: one.key, text, seen: one.seen });
    if (one.input.value === text && one.seen !== undefined) blame(one, faults);
  } catch {
    unsent.set(one.key, text);
  }
}

async function commit(one) {
  clearTimeout(one.timer);
  const text = one.input.value;
  const seen = one.seen ?? state.entries[one.key]?.text ?? null;
  if (one.sent === text) return; // Enter, and then the blur that follows it
  const draft = state.drafts[one.key];
  if (draft?.why === "clash" && draft.text === text) return void blame(one, [ASKED]); // nothing new: the question stands
  if (text.trim() === shown(seen)) return void (one.seen !== undefined && forget(one)); // else what was typed before goes in yet
  one.sent = text;
  try {
    const { saved, faults, drafts } = await ask("edit", { values: { [one.key]: text }, seen: { [one.key]: seen } });
    if (saved) {
      release(one);
      state.entries[one.key] = { ...state.entries[one.key], text: text.trim() || "?" };
    } else {
      blame(one, drafts[one.key]?.why === "clash" ? [ASKED] : faults);
      say(plainly(`Not saved. ${faults.join(" ")}`));
    }
  } catch (error) {
    unsent.set(one.key, text);
    blame(one, ["the server is away; this is sent when it is back"]);
  } finally {
    one.sent = null;
    if (one.asked) refresh(one);
  }
}

function pressed(one, event) {
  if (event.key === "Enter") {
    event.preventDefault();
    commit(one);
  } else if (event.key === "Escape" && one.seen !== undefined) {
    event.stopPropagation();
    forget(one);
  } else if ((event.key === "ArrowUp" || event.key === "ArrowDown") && one.input.tagName === "INPUT") {
    const found = NUMBER.exec(one.input.value);
    if (!found) return;
    event.preventDefault();
    const step = (event.shiftKey ? 0.1 : 1) * (event.key === "ArrowUp" ? 1 : -1);
    const decimals = Math.max((found[2].split(".")[1] ?? "").length, event.shiftKey ? 1 : 0);
    one.input.value = `${found[1]}${(Number(found[2]) + step).toFixed(decimals)}${found[3]}`;
    typed(one);
    clearTimeout(one.timer);
    one.timer = setTimeout(() => commit(one), PAUSE_MS);
  }
}

function blame(one, faults) {
  one.element.classList.toggle("wrong", faults.length > 0);
  one.input.setAttribute("aria-invalid", faults.length > 0 ? "true" : "false");
  const name = `${one.key}: `;
  const before = one.fault.textContent;
  fill(one.fault, spoken(faults.map((fault) => (fault.startsWith(name) ? fault.slice(name.length) : fault)).join(" ")));
  // Below the page's edge nobody would see why.
  if (faults.length && one.fault.textContent !== before && document.activeElement === one.input) one.fault.scrollIntoView({ block: "nearest" });
}

function release(one) {
  one.seen = undefined;
  one.element.classList.remove("typing");
  blame(one, []);
}

function forget(one) {
  ask("drop", { key: one.key }).catch(() => {});
  delete state.drafts[one.key]; // the server's word comes later
  revert(one);
}

function revert(one) {
  release(one);
  refresh(one);
}

function refresh(one) {
  const entry = state.entries[one.key];
  const draft = state.drafts[one.key];
  if (draft) one.asked = draft.why === "clash";
  else if (one.asked && one.sent === null) {
    one.asked = false; // mine or theirs: it is answered
    release(one);
  }
  if (one.seen === undefined && document.activeElement !== one.input && draft && one.sent === null) {
    one.input.value = draft.text;
    one.seen = draft.seen;
    one.element.classList.add("typing");
    blame(one, draft.why === "waiting" && !draft.faults.length ? ["waits for the build file"] : draft.faults);
  } else if (one.seen === undefined && one.sent === null) {
    const text = shown(entry?.text);
    if (one.input.value !== text) one.input.value = text;
  } else if (!draft && one.sent === null && one.input.value.trim() === shown(entry?.text)) {
    release(one);
  }
  one.input.placeholder = entry?.guess ?? "not measured yet";
  const told = entry?.told ? `${entry.told} ${entry.source}` : [entry?.guess && "a guess so far", entry?.unit && `in ${entry.unit}`].filter(Boolean).join(", ");
  fill(one.told, told, entry?.doubt && h("span", { class: "doubt" }, " looks wrong: ", spoken(entry.doubt)));
}

export function refreshAll(keys) {
  for (const key of keys ?? fields.keys()) {
    for (const one of fields.get(key) ?? []) {
      if (one.element.isConnected) refresh(one);
      else fields.get(key).delete(one);
    }
  }
}

export function sendUnsent() {
  for (const [key, text] of [...unsent]) {
    unsent.delete(key);
    for (const one of fields.get(key) ?? []) {
      if (one.element.isConnected && one.input.value === text) {
        check(one);
        break;
      }
    }
  }
}
