// What is on the page, and who hears of what.

import { asked } from "./asked.js";
import { drawing } from "./drawing.js";
import { refreshAll, sendUnsent } from "./field.js";
import { plainly } from "./label.js";
import { notices } from "./notices.js";
import { ask, connect, link, listen, state } from "./store.js";
import { say } from "./dom.js";

const $ = (id) => document.getElementById(id);

function heading() {
  document.title = `${state.name} - Coachwork`;
  $("name").textContent = state.name;
  $("tally").textContent = state.tally ? `${state.tally[0].toUpperCase()}${state.tally.slice(1)}.` : "";
}

function working() {
  const computing = state.questions === null || !state.settled;
  document.body.classList.toggle("computing", computing && link.up);
  $("working").textContent = !link.up ? "" : state.sending ? "Saving" : !computing ? "Saved" : state.questions === null ? `Working it out: ${state.working ?? "..."}` : `Saved; working out ${state.working ?? "what follows"}`;
}

function history() {
  for (const [id, what] of [["undo", state.undo], ["redo", state.redo]]) {
    const verb = id === "undo" ? "Undo" : "Redo";
    $(id).disabled = !what;
    $(id).title = what ?? "";
    $(id).setAttribute("aria-label", what ? `${verb} ${plainly(what)}` : verb);
  }
}

async function step(name) {
  if ($(name).disabled) return;
  const what = state[name];
  const { why } = await ask(name);
  say(plainly(why ?? `${name === "undo" ? "Taken back" : "Done again"}: ${what}`));
}

function theme(wanted) {
  document.documentElement.dataset.theme = wanted;
  $("theme").textContent = wanted === "dark" ? "Light" : "Dark";
  $("theme").setAttribute("aria-label", wanted === "dark" ? "Light colours" : "Dark colours");
  dispatchEvent(new Event("coachwork-theme"));
}

$("undo").addEventListener("click", () => step("undo"));
$("redo").addEventListener("click", () => step("redo"));
$("theme").addEventListener("click", () => {
  const wanted = document.documentElement.dataset.theme === "dark" ? "light" : "dark";
  localStorage.setItem("coachwork-theme", wanted);
  theme(wanted);
});
addEventListener("keydown", (event) => {
  const typing = event.target.matches?.("input[type=text], textarea");
  if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === "z" && !typing) {
    event.preventDefault();
    step(event.shiftKey ? "redo" : "undo");
  }
});

theme(localStorage.getItem("coachwork-theme") ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light"));
listen(["name", "tally"], heading);
listen(["working", "settled", "questions", "link", "sending"], working);
listen(["undo", "redo"], history);
listen(["entries", "drafts"], (sent, whole) =>
  refreshAll(whole ? null : [...Object.keys(sent.entries ?? {}), ...Object.keys(sent.drafts ?? {})]));
notices($("notices"));
asked($("asked"));
drawing($("drawing"));
listen(["link"], () => link.up && sendUnsent());
connect();
