// Every number of the build, by table, or those whose key or question holds the words looked for.

import { hear } from "./bus.js";
import { fill, h } from "./dom.js";
import { field } from "./field.js";
import { inWords, tableWords } from "./label.js";
import { listen, state } from "./store.js";

const MOST = 80;

// Words that tell where a part is, but stand in no key: both sides of an end are one table.
const NOT_IN_KEYS = new Set(["left", "right", "ring"]);

function title(table) {
  const words = tableWords(table);
  return words[0].toUpperCase() + words.slice(1);
}

export function numbers(place, show) {
  hear("find", ({ words }) => {
    search.value = words.split(/[\s,]+/).filter((word) => !NOT_IN_KEYS.has(word)).join(" ");
    show("numbers");
    search.focus();
  });
  const search = h("input", { type: "search", id: "find", placeholder: "tie-rod inner, or tyre" });
  const measured = h("input", { type: "checkbox", id: "measured", checked: true });
  const list = h("div", { class: "tables" });
  fill(place, h("div", { class: "find" }, h("label", { for: "find" }, "Find a number "), search,
    h("label", {}, measured, " only those filled in")), list);
  const look = () => {
    const words = search.value.toLowerCase().split(/\s+/).filter(Boolean);
    const keys = Object.keys(state.entries).filter((key) => {
      const entry = state.entries[key];
      if (measured.checked && (entry.text === null || entry.text === "?")) return false;
      const text = `${key} ${key.replaceAll("-", " ")} ${inWords(key)} ${entry.how ?? ""}`.toLowerCase();
      return words.every((word) => text.includes(word));
    });
    const others = measured.checked && !words.length ? Object.keys(state.entries).length - keys.length : 0;
    if (words.length) {
      fill(list, h("p", { class: "faint" }, `${keys.length} found${keys.length > MOST ? `, ${MOST} shown` : ""}`),
        h("div", { class: "fields" }, keys.slice(0, MOST).map((key) => field(key, { note: state.entries[key].how }))));
      return;
    }
    const tables = new Map();
    for (const key of keys) {
      const table = key.replace(/\.[xyz]$/, "").split(".").slice(0, -1).join(".");
      if (!tables.has(table)) tables.set(table, []);
      tables.get(table).push(key);
    }
    fill(list, [...tables].map(([table, its]) => {
      const details = h("details", {}, h("summary", {}, h("span", { class: "title" }, title(table)), h("span", { class: "faint" }, ` ${its.length} `), h("code", { class: "key" }, `[${table}]`)));
      details.addEventListener("toggle", () => {
        if (details.open && details.childNodes.length === 1) details.append(h("div", { class: "fields" }, its.map((key) => field(key, { note: state.entries[key].how }))));
      });
      return details;
    }), others > 0 && h("p", { class: "others" }, h("button", { type: "button", class: "link", onclick: () => (measured.click(), measured.focus()) }, `${others === 1 ? "1 more is" : `${others} more are`} not filled in yet: show them too`)));
  };
  let size = -1;
  search.addEventListener("input", look);
  measured.addEventListener("change", look);
  place.addEventListener("shown", () => {
    size = Object.keys(state.entries).length;
    look();
  });
  listen(["entries"], () => {
    if (!place.hidden && size !== Object.keys(state.entries).length && !place.contains(document.activeElement)) place.dispatchEvent(new Event("shown"));
  });
}
