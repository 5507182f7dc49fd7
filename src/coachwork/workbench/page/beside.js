// Another version or build, set against this one: its verdicts beside ours, the numbers that differ, its curves under
// ours, its drawing in place of ours for as long as it is wanted.

import { tell } from "./bus.js";
import { h, fill, say } from "./dom.js";
import { field } from "./field.js";
import { inWords } from "./label.js";
import { ask, get, listen, state } from "./store.js";

const MOST = 40; // numbers shown at once
const ORDER = ["fails", "tight", "unmeasured", "holds"];
const chosen = { id: "", stamp: null, found: null, drawn: false };
const hearers = [];
let asked = 0;

export function beside() {
  return chosen.found;
}

export function onBeside(hear) {
  hearers.push(hear);
}

export function differs(id) {
  return Boolean(chosen.found) && chosen.found.verdicts[id]?.state !== state.verdicts[id]?.state;
}

export function chooser() {
  const select = h("select", { id: "beside", onchange: () => choose(select.value) });
  const draw = h("button", { type: "button", class: "small", id: "draw-other", onclick: () => drawn(!chosen.drawn) });
  const told = h("p", { id: "differences" });
  const list = h("div", { class: "fields" });
  const numbers = h("details", { class: "differing" }, h("summary", {}), list);
  const more = h("div", { class: "compared", hidden: true }, told, numbers);
  numbers.addEventListener("toggle", () => listed());

  const show = () => {
    fill(select, h("option", { value: "" }, "nothing"), (state.beside ?? []).map((one) => h("option", { value: one.id }, one.name)));
    select.value = chosen.id;
  };
  const listed = () => {
    const keys = differing();
    fill(numbers.firstChild, keys.length === 1 ? "1 number differs" : `${keys.length} numbers differ`);
    numbers.hidden = !keys.length;
    if (!numbers.open || list.querySelector("input:focus")) return;
    fill(list, keys.slice(0, MOST).map((key) => field(key, { note: [`${chosen.found.name}: ${chosen.found.numbers[key] ?? "not there"} `, take(key)] })),
      keys.length > MOST && h("p", { class: "faint" }, `and ${keys.length - MOST} more`));
  };
  const compare = () => {
    more.hidden = draw.hidden = !chosen.found;
    draw.textContent = chosen.drawn ? "Draw this one" : "Draw that one";
    if (!chosen.found) return;
    const pairs = Object.keys(state.verdicts).filter((id) => chosen.found.verdicts[id]).map((id) => ORDER.indexOf(chosen.found.verdicts[id].state) - ORDER.indexOf(state.verdicts[id].state));
    const count = (which, words) => (which.length ? `${which.length} ${words}` : null);
    const told_ = [count(pairs.filter((one) => one > 0), "better there"), count(pairs.filter((one) => one < 0), "worse there"),
      count(Object.keys(state.verdicts).filter((id) => !chosen.found.verdicts[id]), "asked here alone"),
      count(Object.keys(chosen.found.verdicts).filter((id) => !state.verdicts[id]), "asked there alone")].filter(Boolean);
    fill(told, told_.length ? `Verdicts: ${told_.join(", ")}.` : "Every verdict is the same.");
    listed();
  };
  listen(["beside"], () => {
    show();
    const now = state.beside.find((one) => one.id === chosen.id);
    if (now && now.stamp !== chosen.stamp) choose(chosen.id);
  });
  listen(["verdicts", "entries"], () => chosen.found && compare());
  onBeside(compare);
  show();
  compare();
  return h("div", { class: "chooser" }, h("div", {}, h("label", { for: "beside" }, "Compare with "), select, " ", draw), more);
}

// Keys whose text is another there.
function differing() {
  const keys = new Set([...Object.keys(state.entries), ...Object.keys(chosen.found.numbers)]);
  return [...keys].filter((key) => state.entries[key] && (state.entries[key].text ?? null) !== (chosen.found.numbers[key] ?? null));
}

function take(key) {
  const text = chosen.found.numbers[key];
  return text && h("button", { type: "button", class: "small", "aria-label": `Take ${text} for ${inWords(key)}`, onclick: async () => {
    await ask("edit", { values: { [key]: text }, seen: { [key]: state.entries[key].text ?? null } });
    say(`${inWords(key)} is ${text} now`);
  } }, "Take it");
}

async function choose(id) {
  const mine = (asked += 1);
  chosen.id = id;
  chosen.stamp = state.beside.find((one) => one.id === id)?.stamp ?? null;
  const found = id ? await get(`/beside/${id}`) : null;
  if (mine !== asked) return;
  chosen.found = found;
  if (!found) chosen.drawn = false;
  tell("draw", { other: chosen.drawn ? { id, name: found.name, stamp: chosen.stamp } : null });
  for (const hear of hearers) hear();
}

function drawn(wanted) {
  chosen.drawn = wanted;
  tell("draw", { other: wanted ? { id: chosen.id, name: chosen.found.name, stamp: chosen.stamp } : null });
  for (const hear of hearers) hear();
}
