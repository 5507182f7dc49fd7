// Long work beside the page, with how far it is and a way to stop it; and every file there is to take away.

import { hear } from "./bus.js";
import { fill, h, say } from "./dom.js";
import { ask, get, listen, state } from "./store.js";

const STATE = { running: "running", done: "done", failed: "could not be done", stopped: "stopped" };

export function work(place) {
  const offers = h("div", { class: "offers" });
  const jobs = h("div", { class: "jobs" });
  const files = h("div", { class: "files" });
  const problem = h("p", { class: "fault", role: "alert" });
  const scan = h("input", { type: "file", id: "scan", accept: ".stl,.obj,.ply,.glb,.3mf,.step,.stp" });
  scan.addEventListener("change", () => upload(scan, problem));
  fill(place, h("h2", {}, "Work"), offers, problem, jobs, h("h2", {}, "Files"), files,
    h("div", { class: "upload" }, h("label", { for: "scan" }, "Add a scan of the shell to the build's folder "), scan));

  listen(["offers"], () => fill(offers, state.offers.map((one) =>
    h("div", { class: "offer" }, h("button", { type: "button", "data-work": one.name, onclick: () => begin(one, problem) }, one.title), h("p", { class: "faint" }, one.about)))));
  const known = new Map();
  listen(["jobs"], () => {
    let over = false;
    for (const job of state.jobs) {
      if (!known.has(job.id)) {
        const one = makeJob(job);
        known.set(job.id, one);
        jobs.prepend(one.element);
      }
      over = known.get(job.id).update(job) || over;
    }
    if (over) list(files);
  });
  place.addEventListener("shown", () => list(files));
  hear("work", ({ name }) => begin(state.offers.find((one) => one.name === name), problem));
}

async function begin(one, problem) {
  problem.textContent = "";
  try {
    await ask("start", { name: one.name });
    say(`${one.title}: begun`);
  } catch (error) {
    problem.textContent = error.message;
  }
}

function makeJob(job) {
  const bar = h("progress", { max: "1", "aria-label": job.title });
  const told = h("span", { class: "told" });
  const stop = h("button", { type: "button", class: "small", onclick: () => ask("stop", { id: job.id }) }, "Stop");
  const said = h("pre", { tabindex: "0", "aria-label": `What ${job.title} said`, hidden: true });
  const element = h("div", { class: "job", "data-job": job.name }, h("div", { class: "over" }, h("strong", {}, job.title), told, stop), bar, said);
  let before = null;
  return {
    element,
    update(now) {
      element.dataset.state = now.state;
      told.textContent = now.state === "running" ? now.doing || "starting" : STATE[now.state];
      if (now.of > 1) bar.value = now.done / now.of;
      else bar.removeAttribute("value");
      bar.hidden = stop.hidden = now.state !== "running";
      said.hidden = !now.said;
      said.textContent = now.said;
      const over = before !== now.state && now.state !== "running";
      if (over && before !== null) say(`${now.title}: ${STATE[now.state]}`);
      before = now.state;
      return over;
    },
  };
}

async function list(place) {
  const found = await get("/files");
  const folders = new Map();
  for (const file of found) {
    const folder = file.path.includes("/") ? file.path.slice(0, file.path.lastIndexOf("/")) : "";
    if (!folders.has(folder)) folders.set(folder, []);
    folders.get(folder).push(file);
  }
  fill(place, !found.length && h("p", { class: "faint" }, "None yet; work above makes them."),
    [...folders].map(([folder, its]) => h("details", { open: folder === "" || folders.size < 4 }, h("summary", {}, folder || "Beside the build file", ` ${its.length}`),
      h("ul", {}, its.map((file) => h("li", {}, h("a", { href: `/files/${file.path.split("/").map(encodeURIComponent).join("/")}`, download: file.path.split("/").at(-1) }, file.path.split("/").at(-1)), ` ${size(file.bytes)}`))))));
}

function size(bytes) {
  return bytes < 1e4 ? `${bytes} bytes` : bytes < 1e6 ? `${Math.round(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
}

async function upload(input, problem) {
  const file = input.files[0];
  if (!file) return;
  problem.textContent = "";
  const answer = await fetch(`/upload?name=${encodeURIComponent(file.name)}`, { method: "POST", body: file });
  const told = await answer.json().catch(() => ({ error: "a file of this size is not taken" }));
  input.value = "";
  if (!answer.ok) return void (problem.textContent = told.error);
  await ask("edit", { values: { "shell.mesh": told.name }, seen: { "shell.mesh": state.entries["shell.mesh"]?.text ?? null } });
  say(`${told.name} is in the folder, and named in the build.`);
}
