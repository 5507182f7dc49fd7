// The left half: five sheets, of which the questions are the first.

import { curves } from "./curves.js";
import { fill, h } from "./dom.js";
import { hear } from "./bus.js";
import { next } from "./next.js";
import { numbers } from "./numbers.js";
import { questions } from "./questions.js";
import { turned } from "./turned.js";
import { listen, state } from "./store.js";
import { work } from "./work.js";

const SHEETS = [
  ["questions", "Questions", questions],
  ["next", "Measure next", next],
  ["curves", "Curves", curves],
  ["numbers", "All numbers", numbers],
  ["work", "Work and files", work],
];

export function asked(place) {
  const tabs = new Map();
  const panels = new Map();
  const list = h("div", { class: "tabs", role: "tablist", "aria-label": "Sheets" });
  const strip = turned(); // hears of a change before the questions do
  hear("open", () => show("questions")); // before the sheet itself hears it: what is hidden takes no focus
  hear("work", () => (show("work"), tabs.get("work").focus()));
  for (const [name, title, make] of SHEETS) {
    const tab = h("button", { type: "button", role: "tab", id: `tab-${name}`, "aria-controls": `sheet-${name}`, onclick: () => show(name) }, title);
    const panel = h("div", { class: "sheet", role: "tabpanel", id: `sheet-${name}`, "aria-labelledby": `tab-${name}`, tabindex: "0" });
    tabs.set(name, tab);
    panels.set(name, panel);
    list.append(tab);
    make(panel, (wanted) => show(wanted));
  }
  list.addEventListener("keydown", (event) => {
    const names = SHEETS.map(([name]) => name);
    const at = names.findIndex((name) => tabs.get(name) === document.activeElement);
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: names.length - 1 }[event.key];
    if (to === undefined || at < 0) return;
    event.preventDefault();
    const name = names[(to + names.length) % names.length];
    show(name);
    tabs.get(name).focus();
  });
  function show(name) {
    for (const [one, tab] of tabs) {
      tab.setAttribute("aria-selected", one === name ? "true" : "false");
      tab.tabIndex = one === name ? 0 : -1;
      panels.get(one).hidden = one !== name;
    }
    panels.get(name).dispatchEvent(new Event("shown"));
  }
  fill(place, list, ...panels.values(), strip);
  show("questions");

  let led = false;
  listen(["settled", "questions"], () => {
    if (led || !state.questions || !state.settled) return;
    led = true; // an empty build begins with what to measure
    const found = Object.values(state.verdicts);
    if (found.length && found.every((verdict) => verdict.state === "unmeasured")) show("next");
  });
}
