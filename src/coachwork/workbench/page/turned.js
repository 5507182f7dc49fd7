// What the last change turned: every verdict whose state is another now, wherever it stands on the page.

import { hear } from "./bus.js";
import { fill, h } from "./dom.js";
import { verdictLink } from "./questions.js";
import { WORDS } from "./signs.js";
import { listen, state } from "./store.js";

const MOST = 4;

export function turned() {
  const place = h("section", { class: "turned", "aria-label": "What the last change turned", hidden: true });
  const from = new Map(); // verdict -> its state before the change

  function show() {
    const ids = [...from.keys()].filter((id) => state.verdicts[id] && state.verdicts[id].state !== from.get(id));
    place.hidden = !ids.length;
    if (!ids.length) return void fill(place);
    fill(place, h("div", { class: "over" }, h("strong", {}, ids.length === 1 ? "One verdict turned" : `${ids.length} verdicts turned`),
      h("button", { type: "button", class: "small", onclick: () => (from.clear(), show()) }, "Close")),
    h("ul", {}, ids.slice(0, MOST).map((id) => h("li", {}, verdictLink(id), h("span", { class: "was" }, `was: ${WORDS[from.get(id)].toLowerCase()}`))),
      ids.length > MOST && h("li", { class: "faint" }, `and ${ids.length - MOST} more`)));
  }

  hear("turned", (all) => {
    for (const { id, from: before } of all) if (!from.has(id)) from.set(id, before);
    show();
  });
  listen(["version"], (sent, whole) => {
    if (whole) return;
    from.clear(); // another change: what it turns comes after it
    show();
  });
  return place;
}
