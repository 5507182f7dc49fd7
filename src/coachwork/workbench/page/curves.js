// The curves of every question; fetched when they are looked at, and again when the answers have changed.

import { beside, onBeside } from "./beside.js";
import { chart } from "./chart.js";
import { fill, h } from "./dom.js";
import { get, listen, state } from "./store.js";

export function curves(place, showSheet) {
  let stamp = null;
  const open = new Set();
  const show = async () => {
    if (place.hidden || !state.questions || stamp === state.stamp) return;
    stamp = state.stamp;
    if (!place.childNodes.length) fill(place, h("p", { class: "faint" }, "Drawing the curves."));
    const found = await get("/charts");
    const titles = new Map(state.questions.map((one) => [one.study, one.question]));
    const some = Object.entries(found).filter(([, charts]) => charts.length);
    fill(place, !some.length && h("p", {}, "There is nothing to draw yet. ", h("button", { type: "button", class: "link", onclick: () => showSheet("next") }, "See what to measure next")),
      [...titles].filter(([study]) => found[study]?.length).map(([study, question], i) => {
        const details = h("details", { class: "curves", open: open.size ? open.has(study) : i === 0 }, h("summary", {}, question, ` ${found[study].length}`));
        const draw = () => {
          if (!details.open || details.childNodes.length > 1) return;
          details.append(h("div", { class: "charts" }, found[study].map((one) => chart(withOther(one)))));
        };
        details.addEventListener("toggle", () => (details.open ? open.add(study) : open.delete(study), draw()));
        draw();
        return details;
      }));
  };
  place.addEventListener("shown", show);
  onBeside(() => {
    stamp = null;
    show();
  });
  listen(["stamp"], show);
}

function withOther(one) {
  const other = beside();
  const theirs = other?.charts[one.id]?.lines.filter((line) => line.variant !== "reference") ?? [];
  const wanted = theirs.some((line) => line.variant === "as changed") ? theirs.filter((line) => line.variant === "as changed") : theirs;
  const name = (line) => (line.name === line.variant ? other.name : `${line.name}, ${other.name}`);
  return { ...one, lines: [...one.lines, ...wanted.map((line) => ({ ...line, variant: "beside", name: name(line) }))] };
}
