// What is most worth measuring now, with the drawing of where the callipers go.

import { tell } from "./bus.js";
import { fill, h } from "./dom.js";
import { field } from "./field.js";
import { named } from "./label.js";
import { listen, state } from "./store.js";

const MOST = 6; // groups
const NUMBERS = 10; // of one group
const WORDS = ["No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten"];
const WHY = { "not measured": "Answers", guessed: "A guess so far; a reading makes surer", uncertain: "A better reading makes surer" };
const DRAWINGS = [
  [/^(shell|prototype)\.(width|roof-width|bumper-width|headlamp-spacing|windscreen-|load-door-|track-\w+|front\.across|rear\.across|front\.lip|rear\.lip|front\.top|rear\.top)/, "shell-end", "The shell from the front, and an arch in section"],
  [/^(shell|prototype(?!\.(tyre|turning))|details)\./, "shell-side", "The shell from the left"],
  [/wheels?\..*(inset|backspace)$|wheel\.(inset|backspace)/, "wheel-backspace", "Backspace with a straightedge and the depth rod"],
  [/^wheels\.|\.wheel\./, "wheel-section", "A wheel in section"],
  [/kingpin/, "kingpin-line", "A wire through the kingpin"],
  [/shaft/, "shaft-and-joint", "A drive shaft and its joint"],
  [/(lower-ball|upper-ball|upper-pin)/, "two-arm-behind", "Two arms from behind"],
  [/\.links\./, "live-axle-side", "A live axle from the left"],
  [/^running-gear\..*\.x$/, "corner-above", "The corner from above"],
  [/^running-gear\.(front|rear)\.(.*\.[yz]$|arm|hub|camber-link|tie|damper-(inner|outer))/, "corner-behind", "The corner from behind"],
  [/^running-gear\.wheelbase$/, "shell-side", "From axle line to axle line of the donor, as here on the shell"],
  [/^running-gear\.(front|rear)\.(ride-height|(bump|droop)-travel)/, "bench", "The chassis on blocks on a flat board"],
];

export function drawingOf(key) {
  return DRAWINGS.find(([pattern]) => pattern.test(key));
}

export function next(place) {
  let late = true;
  const again = () => {
    if (place.hidden) return void (late = true);
    if (place.contains(document.activeElement) && document.activeElement !== place) return; // once the hand is out of it
    show(place);
  };
  place.addEventListener("shown", () => late && ((late = false), show(place)));
  listen(["next"], again);
  listen(["settled"], () => !state.next?.length && again()); // nothing to measure, or only not found yet
  place.addEventListener("focusin", ({ target }) => target.closest("[data-key]") && tell("measure", { key: target.closest("[data-key]").dataset.key }));
  place.addEventListener("focusout", () => setTimeout(() => !place.contains(document.activeElement) && show(place), 500));
}

function show(place) {
  const steps = state.next ?? [];
  if (!steps.length) return void fill(place, h("p", {}, state.settled ? "Nothing is left that would make an answer surer." : "Working out what is worth measuring."));
  const groups = grouped(steps.filter((step) => !step.readFor));
  const waiting = steps.filter((step) => step.readFor);
  const blank = groups[0]?.[0].reason === "not measured";
  fill(place,
    h("h2", {}, blank ? "Measure next, in this order" : "Measure next"),
    blank && h("p", { class: "faint" }, "Type what you read: 272.1, or 272.1 ± 0.3, 10 1/2 in, ~ 35 for a guess. Lengths are millimetres unless you say otherwise."),
    !groups.length && h("p", {}, "No reading would make an answer surer just now."),
    groups.slice(0, MOST).map((steps, i) => card(steps, i)),
    waiting.length > 0 && guesses(waiting));
  tell("measure", { key: steps[0].key });
}

// Last, as no answer hangs on them.
function guesses(steps) {
  return h("section", { class: "step", id: "no-doubt" },
    h("h3", {}, steps.length === 1 ? "A guess that no answer hangs on" : "Guesses that no answer hangs on"),
    h("p", { class: "faint" }, "A reading would turn nothing just now. But what is drawn with them is only as true as they are: take them before you order parts."),
    h("div", { class: "fields" }, steps.map((step) => field(step.key, { note: `${step.how} Read for: ${step.readFor.join(" ")}` }))));
}

function grouped(steps) {
  const groups = new Map();
  for (const step of steps) {
    const point = step.key.replace(/\.[xyz]$/, "");
    const name = step.together.length > 1 ? step.together.join() : `${point} ${step.reason}`;
    if (!groups.has(name)) groups.set(name, []);
    groups.get(name).push(step);
  }
  return [...groups.values()];
}

function card(steps, i) {
  const found = steps.map((step) => drawingOf(step.key)).find(Boolean);
  const served = [...new Set(steps.flatMap((step) => step.verdicts))].map((id) => state.verdicts[id]?.question).filter(Boolean);
  const told = served.slice(0, 3).join(" ") + (served.length > 3 ? ` And ${served.length - 3} more.` : "");
  return h("section", { class: "step" },
    h("h3", {}, `${i + 1}. ${WORDS[steps.length] ?? steps.length} ${steps.length === 1 ? (steps[0].choices ? "choice" : "number") : "numbers"}`),
    served.length ? h("p", { class: "faint" }, `${WHY[steps[0].reason]}: ${told}`) : null,
    h("div", { class: "fields" }, steps.slice(0, NUMBERS).map((step) =>
      state.entries[step.key] || step.choices ? field(step.key, { note: step.how, choices: step.choices }) : h("p", {}, named(step.key), ` ${step.how}`))),
    steps.length > NUMBERS && h("p", { class: "faint" }, `and ${steps.length - NUMBERS} more`),
    found && i < 2 && h("figure", {}, h("img", { src: `/drawings/${found[1]}.svg`, alt: `${found[2]}: where each of these is measured`, loading: "lazy" }), h("figcaption", {}, found[2])));
}
