// Another version or build, set against this one: its verdicts beside ours, its curves under ours.

import { h, fill } from "./dom.js";
import { get, listen, state } from "./store.js";

const chosen = { id: "", stamp: null, found: null };
const hearers = [];

export function beside() {
  return chosen.found;
}

export function onBeside(tell) {
  hearers.push(tell);
}

export function chooser() {
  const select = h("select", { id: "beside", onchange: () => choose(select.value) });
  const show = () => {
    fill(select, h("option", { value: "" }, "nothing"), (state.beside ?? []).map((one) => h("option", { value: one.id }, one.name)));
    select.value = chosen.id;
  };
  listen(["beside"], () => {
    show();
    const now = state.beside.find((one) => one.id === chosen.id);
    if (now && now.stamp !== chosen.stamp) choose(chosen.id);
  });
  show();
  return h("div", { class: "chooser" }, h("label", { for: "beside" }, "Compare with "), select);
}

async function choose(id) {
  chosen.id = id;
  chosen.stamp = state.beside.find((one) => one.id === id)?.stamp ?? null;
  chosen.found = id ? await get(`/beside/${id}`) : null;
  for (const tell of hearers) tell();
}
