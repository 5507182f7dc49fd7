// What the builder has to know at once: the file changed elsewhere, cannot be read, clashes; the server is away.

import { fill, h } from "./dom.js";
import { named, spoken } from "./label.js";
import { ask, link, listen, state } from "./store.js";

let dismissed = null; // how much of what was told has been read; what was told before the page came is

export function notices(place) {
  listen(["broken", "told", "drafts", "wrong", "link"], (sent, whole) => {
    if (whole) dismissed = Math.min(dismissed ?? state.toldCount, state.toldCount); // another server counts anew
    fill(place, ...all(place));
  });
}

function* all(place) {
  if (!link.up && state.name) {
    yield h("div", { class: "notice bad", role: "alert" },
      h("p", {}, h("strong", {}, "The server has stopped. "), "What was saved is in the build file. What you type now stays here, and is sent when the server is back: start it again with ",
        h("code", {}, `coachwork open ${folder()}`)));
  }
  if (state.broken?.length) {
    yield h("div", { class: "notice bad", role: "alert", "data-notice": "broken" },
      h("p", {}, h("strong", {}, "The build file cannot be read just now. "), "What you see is of the last one that could be; what you type is kept, and goes in when it can."),
      h("ul", {}, state.broken.map((line) => h("li", {}, line))));
  }
  if (state.wrong) {
    yield h("div", { class: "notice bad", role: "alert" },
      h("p", {}, h("strong", {}, "The answers below are older ones. "), "A study stumbled over these numbers: ", spoken(state.wrong)));
  }
  for (const [key, draft] of Object.entries(state.drafts)) if (draft.why === "clash") yield clash(key, draft);
  if ((state.toldCount ?? 0) > dismissed && state.told?.length) {
    yield h("div", { class: "notice", role: "status", "data-notice": "told" },
      h("p", {}, spoken(state.told.at(-1))),
      h("button", { type: "button", onclick: () => { dismissed = state.toldCount; fill(place, ...all(place)); } }, "Close"));
  }
}

function clash(key, draft) {
  const answer = (take) => () => ask("settle", { key, take });
  return h("div", { class: "notice ask", role: "alert", "data-notice": "clash" },
    h("p", {}, h("strong", {}, named(key)), " was changed by another program while you typed. It was ",
      h("code", {}, draft.seen ?? "nothing"), ", in the file now stands ", h("code", {}, draft.theirs ?? "nothing"), ", you typed ",
      h("code", {}, draft.text), "."),
    h("div", { class: "answers" },
      h("button", { type: "button", onclick: answer("mine") }, `Take mine: ${draft.text}`),
      h("button", { type: "button", onclick: answer("theirs") }, `Leave theirs: ${draft.theirs ?? "nothing"}`)));
}

function folder() {
  return state.file.replace(/[/\\][^/\\]*$/, "");
}
