// What the builder has to know at once: the file changed elsewhere, cannot be read, clashes; the server is away.

import { h } from "./dom.js";
import { named, spoken } from "./label.js";
import { ask, link, listen, state } from "./store.js";

const MOST = 2; // shown at once; the rest is counted, so that the drawing keeps its room
const FAULTS = 3; // of a file that cannot be read
const made = new Map(); // by id what a notice was made of, and its element: one that stays is neither read out again nor loses the hand
let dismissed = null; // how much of what was told has been read; what was told before the page came is
let open = false;

export function notices(place) {
  const words = h("strong");
  const button = h("button", { type: "button", class: "small", onclick: () => ((open = !open), show()) });
  const more = h("div", { class: "notice more", role: "status" }, words, button);

  function show() {
    const all = [...wanted(show)];
    for (const id of made.keys()) if (!all.some((one) => one.id === id)) made.delete(id);
    const hidden = all.length - MOST;
    if (hidden <= 0) open = false;
    words.textContent = hidden > 0 ? (open ? `${all.length} notes` : hidden === 1 ? "1 more note" : `${hidden} more notes`) : "";
    button.textContent = open ? "Show fewer" : "Show all";
    button.setAttribute("aria-expanded", open ? "true" : "false");
    const now = [...(open ? all : all.slice(0, MOST)).map(element), ...(hidden > 0 ? [more] : [])];
    if (now.length !== place.childNodes.length || now.some((one, i) => place.childNodes[i] !== one)) {
      const hand = place.contains(document.activeElement) ? document.activeElement : null;
      place.replaceChildren(...now);
      if (hand?.isConnected) hand.focus({ preventScroll: true });
    }
    measure();
  }
  // The drawing stands below, and gives way.
  const measure = () => document.documentElement.style.setProperty("--notices", `${place.offsetHeight}px`);
  new ResizeObserver(measure).observe(place);
  listen(["broken", "told", "drafts", "wrong", "link"], (sent, whole) => {
    if (whole) dismissed = Math.min(dismissed ?? state.toldCount, state.toldCount); // another server counts anew
    show();
  });
}

function element({ id, of, make }) {
  const text = JSON.stringify(of);
  if (made.get(id)?.text !== text) made.set(id, { text, element: make() });
  return made.get(id).element;
}

// What there is to tell, the most pressing first.
function* wanted(show) {
  if (!link.up && state.name) {
    yield { id: "away", of: folder(), make: () => h("div", { class: "notice bad", role: "alert" },
      h("p", {}, h("strong", {}, "The server has stopped. "), "What was saved is in the build file. What you type now stays here, and is sent when the server is back: start it again with ",
        h("code", {}, `coachwork open ${folder()}`))) };
  }
  if (state.broken?.length) yield { id: "broken", of: state.broken, make: broken };
  if (state.wrong) {
    yield { id: "wrong", of: state.wrong, make: () => h("div", { class: "notice bad", role: "alert" },
      h("p", {}, h("strong", {}, "The answers below are older ones. "), "A study stumbled over these numbers: ", spoken(state.wrong))) };
  }
  for (const [key, draft] of Object.entries(state.drafts)) if (draft.why === "clash") yield { id: `clash ${key}`, of: draft, make: () => clash(key, draft) };
  if ((state.toldCount ?? 0) > dismissed && state.told?.length) {
    const close = () => {
      dismissed = state.toldCount;
      show();
    };
    yield { id: "told", of: [state.told.at(-1), state.toldCount], make: () => h("div", { class: "notice", role: "status", "data-notice": "told" },
      h("p", {}, spoken(state.told.at(-1))),
      h("button", { type: "button", class: "small", onclick: close }, "Close")) };
  }
}

function broken() {
  const lines = (some) => h("ul", {}, some.map((line) => h("li", {}, line)));
  const rest = state.broken.slice(FAULTS);
  return h("div", { class: "notice bad", role: "alert", "data-notice": "broken" },
    h("p", {}, h("strong", {}, "The build file cannot be read just now. "), "What you see is of the last one that could be; what you type is kept, and goes in when it can."),
    h("div", {}, lines(state.broken.slice(0, FAULTS)), rest.length > 0 && h("details", {}, h("summary", {}, `and ${rest.length} more`), lines(rest))));
}

function clash(key, draft) {
  const answer = (take) => () => ask("settle", { key, take });
  return h("div", { class: "notice ask", role: "alert", "data-notice": "clash" },
    h("p", {}, h("strong", {}, named(key)), " was changed by another program while you typed. It was ",
      h("code", {}, draft.seen ?? "nothing"), ", in the file now stands ", h("code", {}, draft.theirs ?? "nothing"), ", you typed ",
      h("code", {}, draft.text), "."),
    h("div", { class: "answers" },
      h("button", { type: "button", class: "small", onclick: answer("mine") }, `Take mine: ${draft.text}`),
      h("button", { type: "button", class: "small", onclick: answer("theirs") }, `Leave theirs: ${draft.theirs ?? "nothing"}`)));
}

function folder() {
  return state.file.replace(/[/\\][^/\\]*$/, "");
}
