// Over the drawing: where things touch, dimension lines, a scale, and the name of what is lit.

import { h } from "./dom.js";
import { inWords } from "./label.js";
import { inPose } from "./pose.js";
import { Labels } from "./labels.js";

const ROW = 26; // pixels between rows of dimension lines
const AXES = [[[1, 0, 0], "x"], [[0, 1, 0], "y"], [[0, 0, 1], "z"]];

export function overlay(svg, viewer, { marks, lit, showMarks, showDimensions, litKeys, label, probe }) {
  svg.setAttribute("viewBox", `0 0 ${viewer.width} ${viewer.height}`);
  const drawn = [];
  const scene = viewer.data;
  const labels = new Labels(viewer.width, viewer.height);
  if (scene && showDimensions) drawn.push(...dimensionLines(viewer, scene.dimensions, litKeys, labels));
  if (scene && showMarks) {
    for (const mark of marks) {
      const now = inPose(mark, scene.corners, viewer.sliders);
      const chosen = mark.verdict === lit;
      if (!now && !chosen) continue;
      drawn.push(markOf(viewer, mark, now, chosen, labels));
    }
  }
  if (label) {
    const [x, y] = viewer.project(label.at);
    drawn.push(h("g", { class: "pin" }, h("circle", { cx: x, cy: y, r: 9 }), h("circle", { cx: x, cy: y, r: 1.5, class: "dot" })));
  }
  if (probe) drawn.push(probeOf(viewer, probe, labels));
  drawn.push(scale(viewer), triad(viewer));
  svg.replaceChildren(...drawn);
}

function markOf(viewer, mark, now, chosen, labels) {
  const [x, y] = viewer.project(mark.at);
  const [u, v] = viewer.project(mark.other_at);
  const deep = mark.distance_mm < 0;
  const told = deep ? `${mark.moving} ${(-mark.distance_mm).toFixed(1)} mm into ${mark.other}` : `${mark.moving} ${mark.distance_mm.toFixed(1)} mm from ${mark.other}`;
  const kind = `mark ${deep ? "touching" : "near"}${now ? "" : " elsewhere"}${chosen ? " chosen" : ""}`;
  const words = deep || (chosen && now) ? labels.beside(x, y, told, true) : null;
  return h("g", { class: kind, "data-verdict": mark.verdict, "data-now": now ? "true" : "false" },
    h("title", {}, now ? told : `${told}: ${mark.pose.words}`),
    h("line", { x1: x, y1: y, x2: u, y2: v }),
    deep ? h("path", { d: `M${x} ${y - 9}L${x + 9} ${y}L${x} ${y + 9}L${x - 9} ${y}Z` }) : h("circle", { cx: x, cy: y, r: 6 }),
    words && Math.abs(words.y - y) > 25 && h("line", { x1: x, y1: y, x2: words.x, y2: words.y - 4 }), words && h("text", { ...words, class: "told" }, told));
}

// Where the probe is, and what it reads there.
function probeOf(viewer, { at, told }, labels) {
  const [x, y] = viewer.project(at.point);
  const words = [told.words, told.to].filter(Boolean).join(" ");
  return h("g", { class: "probe" }, h("circle", { cx: x, cy: y, r: 6 }), h("path", { d: `M${x - 11} ${y}h7M${x + 4} ${y}h7M${x} ${y - 11}v7M${x} ${y + 4}v7` }),
    h("text", labels.beside(x, y, words, true), words));
}

function* dimensionLines(viewer, dimensions, litKeys, labels) {
  if (viewer.name === "3d") return;
  const box = viewer.bounds();
  const low = viewer.project([box.min.x, box.min.y, box.min.z]);
  const high = viewer.project([box.max.x, box.max.y, box.max.z]);
  const edge = { left: Math.min(low[0], high[0]), right: Math.max(low[0], high[0]), bottom: Math.max(low[1], high[1]), top: Math.min(low[1], high[1]) };
  for (const one of dimensions) {
    if (one.view !== viewer.name) continue;
    const a = viewer.project(one.start);
    const b = viewer.project(one.end);
    const flat = Math.abs(a[1] - b[1]) < Math.abs(a[0] - b[0]);
    const lit = litKeys.has(one.key) ? " lit" : "";
    const row = one.row * ROW;
    if (flat) {
      const y = one.row === 0 ? a[1] : one.view === "plan" && a[1] < (edge.top + edge.bottom) / 2 ? edge.top - row : edge.bottom + row;
      yield line(one, [a[0], y], [b[0], y], [a, b], lit, false, labels);
    } else {
      const x = one.row === 0 ? a[0] : a[0] > (edge.left + edge.right) / 2 ? edge.right + row : edge.left - row;
      yield line(one, [x, a[1]], [x, b[1]], [a, b], lit, true, labels);
    }
  }
}

function line(one, a, b, from, lit, upright, labels) {
  const [x, y] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  // Upright and too short for its words, it has them in its own line, over its upper end.
  const over = upright && Math.abs(a[1] - b[1]) < 7.5 * one.words.length;
  const top = Math.min(a[1], b[1]) - 8;
  labels.take(one.words, over ? [x, top] : [x, y], upright, over);
  const words = over ? h("text", { transform: `translate(${x} ${top}) rotate(-90)`, y: 4, "text-anchor": "start" }, one.words)
    : h("text", { transform: `translate(${x} ${y})${upright ? " rotate(-90)" : ""}`, y: -5, "text-anchor": "middle" }, one.words);
  const arrow = (p, q) => {
    const size = Math.hypot(q[0] - p[0], q[1] - p[1]) || 1;
    const [ux, uy] = [(q[0] - p[0]) / size, (q[1] - p[1]) / size];
    return `M${p[0]} ${p[1]}l${7 * ux - 2.5 * uy} ${7 * uy + 2.5 * ux}M${p[0]} ${p[1]}l${7 * ux + 2.5 * uy} ${7 * uy - 2.5 * ux}`;
  };
  return h("g", { class: `dimension${lit}`, "data-key": one.key },
    h("title", {}, `${inWords(one.key)} ${one.words}`),
    h("path", { class: "witness", d: `M${from[0][0]} ${from[0][1]}L${a[0]} ${a[1]}M${from[1][0]} ${from[1][1]}L${b[0]} ${b[1]}` }),
    h("path", { d: `M${a[0]} ${a[1]}L${b[0]} ${b[1]}${arrow(a, b)}${arrow(b, a)}` }), words);
}

function scale(viewer) {
  const length = [1, 2, 5, 10, 20, 50, 100, 200].findLast((mm) => mm * viewer.pixelsPerMm <= 150) ?? 1;
  const wide = length * viewer.pixelsPerMm;
  const [x, y] = [16, viewer.height - 16];
  return h("g", { class: "scale" }, h("path", { d: `M${x} ${y - 5}V${y}H${x + wide}V${y - 5}` }), h("text", { x: x + wide + 6, y: y + 1 }, `${length} mm`));
}

function triad(viewer) {
  const [x, y] = [viewer.width - 34, viewer.height - 34];
  const origin = viewer.project([0, 0, 0]);
  return h("g", { class: "triad" }, AXES.map(([way, name]) => {
    const tip = viewer.project(way.map((value) => (value * 20) / viewer.pixelsPerMm));
    const [dx, dy] = [tip[0] - origin[0], tip[1] - origin[1]];
    if (Math.hypot(dx, dy) < 4) return null;
    return [h("line", { x1: x, y1: y, x2: x + dx, y2: y + dy }), h("text", { x: x + 1.35 * dx, y: y + 1.35 * dy + 4, "text-anchor": "middle" }, name)];
  }));
}
