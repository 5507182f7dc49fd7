// Elements from a few words: h("p", {class: "faint"}, "text", child). Text is always text, never markup.

const SVG = "http://www.w3.org/2000/svg";
const DRAWN = new Set(["svg", "path", "line", "circle", "rect", "g", "text", "polyline", "polygon", "title", "tspan"]);

export function h(name, given = {}, ...children) {
  const element = DRAWN.has(name) ? document.createElementNS(SVG, name) : document.createElement(name);
  for (const [key, value] of Object.entries(given)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (key in element && !DRAWN.has(name) && typeof value !== "string") element[key] = value;
    else element.setAttribute(key, value === true ? "" : value);
  }
  put(element, ...children);
  return element;
}

export function put(element, ...children) {
  element.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

export function fill(element, ...children) {
  element.replaceChildren();
  return put(element, ...children);
}

let announced = 0;
export function say(words) {
  // Two spaces in turn, so that the same words said again are heard again.
  document.getElementById("said").textContent = words + (announced++ % 2 ? "\u00a0" : "");
}
