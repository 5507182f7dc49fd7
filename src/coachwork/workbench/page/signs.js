// A state by shape, word and colour: any one of the three is enough.

import { h } from "./dom.js";

export const STATES = ["fails", "tight", "unmeasured", "holds"];
export const WORDS = { fails: "Fails", tight: "Tight", unmeasured: "Not yet", holds: "Holds" };
const SHAPES = {
  fails: () => [h("rect", { x: 1, y: 1, width: 14, height: 14 }), h("path", { d: "M4.5 4.5l7 7m0-7l-7 7", class: "cut" })],
  tight: () => [h("path", { d: "M8 1L15.5 15H0.5z" }), h("path", { d: "M8 6v4.4m0 1.6v1.4", class: "cut" })],
  unmeasured: () => [h("circle", { cx: 8, cy: 8, r: 6.5, class: "hollow" })],
  holds: () => [h("circle", { cx: 8, cy: 8, r: 7.2 }), h("path", { d: "M4.6 8.4l2.4 2.5 4.6-5.4", class: "cut" })],
};

export function sign(state) {
  return h("svg", { class: `sign ${state}`, viewBox: "0 0 16 16", "aria-hidden": "true" }, ...SHAPES[state]());
}

export function worst(states) {
  return STATES.find((state) => states.includes(state)) ?? "holds";
}
