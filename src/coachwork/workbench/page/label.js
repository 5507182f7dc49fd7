// A key of the build file in words: what it is first, which table it stands in after it. The key itself stands small
// beside them, for that is what the file holds.

import { h } from "./dom.js";
import { state } from "./store.js";

const PLAINLY = { prototype: "full-size vehicle", changes: "as changed" }; // tables whose name in the file says less to who begins
const ARCHES = { "shell.front": ["shell", "front arch"], "shell.rear": ["shell", "rear arch"] };
const ONE_WORD = ["tie-rod", "anti-roll", "full-size", "cut-off", "cut-out", "no-load", "sub-trim", "drop-out", "keep-out"];
const MORE = [ // names that say too little without their table
  [/^running-gear\.(front|rear)\.kind$/, "kind of suspension"],
  [/\.steering\.kind$/, "kind of steering"],
  [/^details\..+\.prototype$/, "on the full-size vehicle"],
  [/^details\..+\.shell$/, "on the shell"],
  [/^details\..+\.along$/, "which way it runs"],
  [/^shell\.mesh$/, "scan"],
  [/^shell\.mesh-units$/, "units of the scan"],
];
const KEY = /[a-z][\w-]*(?:\.[\w-]+)+/g;
const AXES = ["x", "y", "z"];

function spaced(name) {
  return ONE_WORD.reduce((words, one) => words.replaceAll(one.replace("-", " "), one), name.replaceAll("-", " "));
}

// The tables' names from the outermost in.
export function tableWords(table) {
  const steps = ARCHES[table] ?? table.split(".").filter((step) => step !== "hardpoints");
  return steps.map((step) => PLAINLY[step] ?? spaced(step)).join(" / ");
}

export function labelled(key) {
  const steps = key.split(".");
  const axis = AXES.includes(steps.at(-1)) ? steps.pop() : null;
  const last = steps.pop();
  const name = MORE.find(([pattern]) => pattern.test(key))?.[1] ?? spaced(last);
  return { name: axis ? `${name}, ${axis}` : name, table: tableWords(steps.join(".")) };
}

export function inWords(key) {
  const { name, table } = labelled(key);
  return table === "build" ? name : `${name} (${table})`;
}

// A text with every key in it put in words; for what can hold no elements.
export function plainly(text) {
  return text.replaceAll(KEY, (found) => (state.entries[found] ? inWords(found) : found));
}

// The same for the page: each key small behind its words.
export function spoken(text) {
  const parts = [];
  let from = 0;
  for (const { 0: found, index } of text.matchAll(KEY)) {
    if (!state.entries[found]) continue;
    parts.push(text.slice(from, index), ...named(found));
    from = index + found.length;
  }
  return [...parts, text.slice(from)];
}

export function named(key, words = inWords(key)) {
  return [`${words} `, h("code", { class: "key" }, key)];
}

// Keys as a list in a sentence, the coordinates of one point drawn together, its tail only counted.
export function listed(keys, most) {
  const points = new Map();
  for (const key of keys) {
    const [, point, axis] = /^(.+)\.([xyz])$/.exec(key) ?? [null, key, null];
    if (!points.has(point)) points.set(point, []);
    if (axis) points.get(point).push(axis);
  }
  const all = [...points];
  const shown = all.length > most + 1 ? all.slice(0, most) : all;
  const told = shown.flatMap(([point, axes], i) => {
    const { name, table } = labelled(point);
    const words = axes.length ? `${name}, ${axes.join(" and ").replace("x and y and z", "x, y and z")} (${table})` : inWords(point);
    return [i ? ", " : "", ...named(point, words)];
  });
  return shown.length < all.length ? [...told, ` and ${all.length - shown.length} more`] : told;
}
