// The curves of every question; fetched when they are looked at, and again when the answers have changed.

import { chart } from "./chart.js";
import { fill, h } from "./dom.js";
import { get, listen, state } from "./store.js";

export function curves(place) {
  let stamp = null;
  const open = new Set();
  const show = async () => {
    if (place.hidden || !state.questions || stamp === state.stamp) return;
    stamp = state.stamp;
    const found = await get("/charts");
    const titles = new Map(state.questions.map((one) => [one.study, one.question]));
    const some = Object.entries(found).filter(([, charts]) => charts.length);
    fill(place, !some.length && h("p", {}, "There is nothing to draw yet; the first sheet tells what to measure."),
      [...titles].filter(([study]) => found[study]?.length).map(([study, question], i) => {
        const details = h("details", { class: "curves", open: open.size ? open.has(study) : i === 0 }, h("summary", {}, question, ` ${found[study].length}`));
        const draw = () => {
          if (!details.open || details.childNodes.length > 1) return;
          details.append(h("div", { class: "charts" }, found[study].map((one) => chart(one))));
        };
        details.addEventListener("toggle", () => (details.open ? open.add(study) : open.delete(study), draw()));
        draw();
        return details;
      }));
  };
  place.addEventListener("shown", show);
  listen(["stamp"], show);
}
