// One chart: as bought against as changed, told apart by dashes and strength; values under the pointer or the arrow keys.

import { h, fill } from "./dom.js";
import { readOff } from "./figures.js";

const WIDTH = 460;
const HEIGHT = 280;
const LEFT = 54;
const RIGHT = 12;
const TOP = 12;
const BOTTOM = 40;

export function chart(one) {
  const points = one.lines.flatMap((line) => line.x.map((x, i) => [x, line.y[i]])).filter(([x, y]) => x !== null && y !== null);
  const title = h("figcaption", {}, one.title);
  const save = h("a", { class: "small", href: `/chart/${one.id}.svg`, download: `${one.id}.svg`, "aria-label": `Save ${one.title} as SVG` }, "SVG");
  if (!points.length) return h("figure", { class: "chart", "data-chart": one.id }, title, h("p", { class: "faint" }, "No pose to draw."));
  const band = one.band ?? [];
  const [x0, x1] = span(points.map(([x]) => x));
  const [y0, y1] = span([...points.map(([, y]) => y), ...band], 0.06);
  const px = (x) => LEFT + ((x - x0) / (x1 - x0)) * (WIDTH - LEFT - RIGHT);
  const py = (y) => HEIGHT - BOTTOM - ((y - y0) / (y1 - y0)) * (HEIGHT - TOP - BOTTOM);
  const svg = h("svg", { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, role: "img", tabindex: "0", "aria-label": `${one.title}. ${one.y} over ${one.x}. Arrow keys read values.` });
  if (one.band) svg.append(h("rect", { class: "band", x: LEFT, width: WIDTH - LEFT - RIGHT, y: py(Math.max(...band)), height: Math.abs(py(band[0]) - py(band[1])) }));
  for (const x of ticks(x0, x1)) svg.append(h("line", { class: "grid", x1: px(x), x2: px(x), y1: TOP, y2: HEIGHT - BOTTOM }), h("text", { x: px(x), y: HEIGHT - BOTTOM + 14, "text-anchor": "middle" }, plain(x)));
  for (const y of ticks(y0, y1)) svg.append(h("line", { class: "grid", x1: LEFT, x2: WIDTH - RIGHT, y1: py(y), y2: py(y) }), h("text", { x: LEFT - 6, y: py(y) + 4, "text-anchor": "end" }, plain(y)));
  svg.append(h("text", { x: (LEFT + WIDTH - RIGHT) / 2, y: HEIGHT - 8, "text-anchor": "middle", class: "axis" }, one.x),
    h("text", { x: 14, y: (TOP + HEIGHT - BOTTOM) / 2, "text-anchor": "middle", class: "axis", transform: `rotate(-90 14 ${(TOP + HEIGHT - BOTTOM) / 2})` }, one.y));
  const seen = {};
  const kinds = one.lines.map((line) => {
    const number = (seen[line.variant] = (seen[line.variant] ?? -1) + 1);
    return `line ${line.variant.replace(" ", "-")} number-${number % 5}`;
  });
  one.lines.forEach((line, i) => svg.append(h("path", { class: kinds[i], d: path(line, px, py) })));
  const cursor = h("line", { class: "cursor", y1: TOP, y2: HEIGHT - BOTTOM, x1: -9, x2: -9 });
  const dots = one.lines.map((_, i) => h("circle", { class: `dot ${kinds[i]}`, r: 3, cx: -9, cy: -9 }));
  svg.append(cursor, ...dots);
  const read = h("p", { class: "reading", "aria-live": "polite" });
  const variants = new Set(one.lines.map((line) => line.variant).filter((variant) => !["reference", "beside"].includes(variant)));
  // Which of the two a line is, only where there are two.
  const named = (line) => (line.name.includes(line.variant) || variants.size < 2 || !variants.has(line.variant) ? line.name : `${line.name}, ${line.variant}`);
  const legend = h("ul", { class: "legend" }, one.lines.map((line, i) =>
    h("li", {}, h("svg", { viewBox: "0 0 34 8", "aria-hidden": "true" }, h("path", { class: kinds[i], d: "M1 4H33" })), named(line))));
  let at = null;
  const place = (x) => {
    at = Math.min(x1, Math.max(x0, x));
    cursor.setAttribute("x1", px(at));
    cursor.setAttribute("x2", px(at));
    const told = one.lines.map((line, i) => {
      const y = valueAt(line, at);
      dots[i].setAttribute("cx", y === null ? -9 : px(at));
      dots[i].setAttribute("cy", y === null ? -9 : py(y));
      return y === null ? null : `${named(line)} ${readOff(y, y1 - y0)}${unitOf(one.y)}`;
    });
    fill(read, `At ${readOff(at, x1 - x0)}${unitOf(one.x)}: ${told.filter(Boolean).join(", ") || "no pose"}`);
  };
  svg.addEventListener("pointermove", (event) => {
    const box = svg.getBoundingClientRect();
    place(x0 + (((event.clientX - box.left) / box.width) * WIDTH - LEFT) / (WIDTH - LEFT - RIGHT) * (x1 - x0));
  });
  svg.addEventListener("keydown", (event) => {
    const way = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!way) return;
    event.preventDefault();
    place((at ?? (x0 + x1) / 2) + (way * (x1 - x0)) / 40);
  });
  return h("figure", { class: "chart", "data-chart": one.id }, h("div", { class: "over" }, title, save), svg, legend, read, one.note && h("p", { class: "faint note" }, one.note));
}

// The unit that an axis's words end with, in brackets.
function unitOf(words) {
  const unit = /\(([^()]+)\)$/.exec(words)?.[1];
  return unit ? ` ${unit}` : "";
}

function span(values, room = 0) {
  let low = Math.min(...values);
  let high = Math.max(...values);
  if (high - low < 1e-9) [low, high] = [low - 0.5, high + 0.5];
  return [low - room * (high - low), high + room * (high - low)];
}

function ticks(low, high) {
  const rough = (high - low) / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((one) => one * power).find((one) => one >= rough);
  const found = [];
  for (let at = Math.ceil(low / step) * step; at <= high + 1e-9; at += step) found.push(Math.abs(at) < step / 1e6 ? 0 : at);
  return found;
}

function plain(value) {
  return Number(value.toPrecision(4)).toString();
}

function path(line, px, py) {
  let down = false;
  return line.x.map((x, i) => {
    const y = line.y[i];
    if (x === null || y === null) return void (down = false) ?? "";
    const step = `${down ? "L" : "M"}${px(x).toFixed(1)} ${py(y).toFixed(1)}`;
    down = true;
    return step;
  }).join("");
}

function valueAt(line, at) {
  for (let i = 1; i < line.x.length; i += 1) {
    const [a, b] = [line.x[i - 1], line.x[i]];
    if (a === null || b === null || a === b || (at - a) * (at - b) > 0) continue;
    if (line.y[i - 1] === null || line.y[i] === null) return null;
    return line.y[i - 1] + ((at - a) / (b - a)) * (line.y[i] - line.y[i - 1]);
  }
  return null;
}
