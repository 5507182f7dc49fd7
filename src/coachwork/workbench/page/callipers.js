// Where the drawing of the vehicle will be, while there is nothing to draw of it: where the callipers go for the number
// that is asked for, with that number's name lit.

import { hear } from "./bus.js";
import { fill, h } from "./dom.js";
import { labelled } from "./label.js";
import { drawingOf } from "./next.js";

export function callipers() {
  const sheet = h("div", { class: "sheet-of-paper" });
  const words = h("figcaption");
  const place = h("figure", { class: "callipers", hidden: true }, words, sheet);
  const known = new Map(); // drawings by name
  let key = null;
  let turn = 0;

  async function show() {
    const found = key && drawingOf(key);
    const mine = (turn += 1);
    if (place.hidden) return;
    if (!found) {
      fill(words, "There is nothing to draw yet. The shell's length, width and wheelbase make a first outline; hardpoints and tyres put wheels under it.");
      return void fill(sheet);
    }
    const [, name, title] = found;
    if (!known.has(name)) known.set(name, await drawn(name));
    if (mine !== turn) return;
    const { name: what, table } = labelled(key);
    const where = key.startsWith("prototype.") ? `${title}; on the full-size vehicle it is the same place` : title;
    fill(words, h("strong", {}, `${what[0].toUpperCase()}${what.slice(1)}, ${table}. `), `${where}. The vehicle is drawn here as soon as its numbers allow.`);
    const svg = known.get(name);
    const [short, long] = [key.split(".").at(-1), key.split(".").slice(1).join(".")];
    for (const text of svg.querySelectorAll("text")) text.classList.toggle("lit", [short, long].includes(text.textContent.trim()));
    svg.setAttribute("aria-label", `${where}: where the ${what} is measured`);
    fill(sheet, svg);
  }

  hear("measure", (asked) => {
    if (asked.key === key) return;
    key = asked.key;
    show();
  });
  return {
    place,
    put(here) {
      if (place.hidden === !here) return;
      place.hidden = !here;
      show();
    },
  };
}

async function drawn(name) {
  const answer = await fetch(`/drawings/${name}.svg`);
  const svg = document.importNode(new DOMParser().parseFromString(await answer.text(), "image/svg+xml").documentElement, true);
  svg.removeAttribute("width");
  svg.removeAttribute("height");
  return svg;
}
