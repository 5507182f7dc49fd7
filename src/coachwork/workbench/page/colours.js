// Colours on the drawing: which, with a legend in numbers, a probe under the pointer or the keys, and the worst places.

import { fill, h, say } from "./dom.js";
import { fixed, plain } from "./figures.js";
import { roomScale, stressScale, topOf } from "./scale.js";
import { get, listen, state } from "./store.js";
import { fetchSurface } from "./surface.js";

const MOST = 8; // worst places listed of a stress
const APART_MM = 8;
const UNDER_MPA = 0.05; // of the most; less is not worth a place in the list

export function colours({ viewer, show, shown }) {
  const select = h("select", { id: "colours", onchange: () => choose(select.value) });
  const title = h("p", { class: "title" });
  const words = h("p", { class: "faint explained" });
  const ramp = h("svg", { class: "ramp", viewBox: "0 0 260 34", role: "img" });
  const reading = h("p", { id: "probe" });
  const there = h("button", { type: "button", class: "small", hidden: true }, "Take the wheels there");
  const worst = h("details", { class: "worst" });
  const legend = h("section", { class: "legend-box", "aria-label": "Colours", hidden: true },
    h("div", {}, title, ramp), h("div", {}, h("div", { class: "reading" }, reading, there)), worst, words);
  const hint = "Point at a colour to read it. Keys: P for the worst place, then Alt with the arrows.";
  let now = null; // what is shown: {mode, scale, told, surfaces}
  let wanted = "";
  let stamp = null;
  let turn = 0;
  let pin = null;

  function offers() {
    const stress = viewer()?.data?.stress ?? [];
    fill(select, h("option", { value: "" }, "of the parts"),
      h("option", { value: "room" }, "room left in all poses"),
      stress.flatMap((part) => part.loads.map((load) => h("option", { value: `stress ${part.part} ${load.watched}` }, `stress: ${part.name}, ${load.title.toLowerCase()}`))),
      !stress.length && h("option", { disabled: true }, "stress: make the parts, then try their strength"));
    if (![...select.options].some((one) => one.value === wanted)) choose("");
    select.value = wanted;
  }

  function choose(name) {
    wanted = name;
    stamp = null;
    place.dataset.colours = name ? "waiting" : "";
    if (!name) clear();
    else load();
  }

  function clear() {
    turn += 1;
    now = null;
    probe(null);
    viewer()?.coloured.clear();
    viewer()?.stepBack([], false);
    legend.hidden = true;
  }

  async function load() {
    const drawn = viewer()?.data?.stamp;
    if (!wanted || !state.settled || drawn !== state.sceneStamp || stamp === drawn) return;
    const mine = (turn += 1);
    stamp = drawn;
    if (!now) {
      legend.hidden = false;
      fill(title, "Working it out");
      fill(words, wanted === "room" ? "Every place of what stands against every pose of what moves: some seconds." : "");
      fill(worst);
      ramp.replaceChildren();
      reading.textContent = "";
    }
    try {
      const found = wanted === "room" ? await room() : await stress();
      if (mine !== turn) return;
      now = found;
      draw();
    } catch (error) {
      if (mine !== turn) return;
      stamp = null; // the next answers ask again
      clear();
      if (state.settled) say(`The colours could not be fetched: ${error.message}`);
    }
  }

  async function room() {
    const told = await get("/room");
    const surfaces = await Promise.all(told.surfaces.map(async (one) => ({ ...one, row: 0, surface: await fetchSurface(`/room/${encodeURIComponent(one.id)}`) })));
    return {
      mode: "room", told, surfaces, scale: roomScale(told.gap, told.far), title: "Room left, mm",
      words: surfaces.length ? `Of what stands to the nearest that moves, and of the tyres to the nearest that stands, in the worst pose. ${plain(told.gap)} mm are wanted.` : "Nothing that moves comes near anything that stands, or neither is measured yet.",
      worst: told.worst.map((one) => ({ ...one, number: `${fixed(one.value, 2).replace("-", "\u2212")} mm`, bad: one.value < 0 })),
      read: (at) => {
        const ring = surfaces.find((other) => other.id === at.id)?.rides;
        const one = (ring ? told.standing : told.moving)[at.surface.rows[1][at.corner]];
        const value = at.value(0);
        return { words: value < 0 ? `${plain(-value)} mm into` : `${plain(value)} mm to`, to: one?.name, pose: one && poseWords(at), at };
      },
    };
  }

  async function stress() {
    const [, name, watched] = wanted.split(" ");
    const part = viewer().data.stress.find((one) => one.part === name);
    const load = part.loads.find((one) => one.watched === watched);
    const { row } = load;
    const found = await fetchSurface(`/stress/${encodeURIComponent(load.of)}?of=${part.stamp}`);
    const values = (found.rows[row] = found.rows[row].map((value) => value * load.times));
    const under = found.rows.at(-1); // a screw's head or a lip, whose pressure is only assumed
    const told = values.filter((_, corner) => !under[corner]);
    const most = told.reduce((a, b) => Math.max(a, b), 0);
    const made = viewer().data.made.find((one) => one.part === name);
    return {
      mode: "stress", scale: stressScale(topOf(told)), title: `Stress in the ${part.name}, MPa`,
      words: `${load.words} Most: ${plain(most)} MPa. The material bears ${plain(load.bears)} MPa as made.`,
      note: `${load.note} Places under screws and lips are left out; at a sharp inner corner no number is the last word.`.trim(),
      surfaces: [{ id: name, name: part.name, row, surface: found, places: made?.places, instead: load.of === name ? made?.id : null }],
      worst: peaks(found, row, name, made?.places[0]), read: (at) => ({ words: `${plain(at.value(row))} MPa`, to: under[at.corner] ? "under a screw or lip: of little meaning" : "", at }),
    };
  }

  function draw() {
    const { scale, surfaces } = now;
    viewer().coloured.clear();
    for (const one of surfaces) {
      const rides = one.rides ? viewer().meshOf(one.rides) : null;
      if (one.rides && !rides) continue; // not drawn
      viewer().coloured.add(one.id, one.surface, one.row, scale, { places: one.places, rides, shadow: now.mode === "stress" ? 0.35 : 0.12 });
    }
    viewer().stepBack(surfaces.map((one) => one.instead).filter(Boolean), now.mode === "stress");
    legend.hidden = false;
    fill(title, now.title);
    fill(words, now.words);
    ramp.setAttribute("aria-label", `Legend: ${scale.ticks.map(({ value }) => plain(value)).join(", ")} ${scale.unit}`);
    ramp.replaceChildren(...rampOf(scale));
    const open = worst.open;
    fill(worst, h("summary", {}, now.mode === "room" ? "Tightest places" : "Most stressed places"),
      h("ol", {}, now.worst.map((one) => h("li", {}, h("button", { type: "button", class: `link${one.bad ? " bad" : ""}`, onclick: () => go(one) }, h("strong", {}, one.number), ` ${one.words}`))), now.note && h("li", { class: "faint note" }, now.note)));
    worst.open = open;
    worst.hidden = !now.worst.length;
    probe(null);
    place.dataset.colours = wanted;
  }

  function go(one) {
    const at = viewer().coloured.at(one.surface, one.corner);
    if (!at) return;
    viewer().pointer = viewer().project(at.point);
    probe(at, true);
  }

  // What is under the pointer; by hand (a key, a tap, the list) it stays, and is read out.
  function probe(at, byHand = false) {
    if (!at && pin && now && !byHand) return void (pin.byHand || unpin());
    if (!at || !now) return void unpin();
    const told = now.read(at);
    pin = { at, told, byHand };
    const all = [told.words, told.to, told.pose].filter(Boolean).join(told.pose ? " " : "");
    fill(reading, h("strong", {}, told.words), told.to && ` ${told.to}`, told.pose && h("span", { class: "faint" }, ` ${told.pose}`));
    there.hidden = !(byHand && now.mode === "room");
    there.onclick = () => show({ travel: at.surface.rows[2][at.corner], lock: at.surface.rows[3][at.corner], roll: 0 });
    if (byHand) say(all);
    shown(pin);
  }

  function unpin() {
    pin = null;
    reading.textContent = hint;
    there.hidden = true;
    shown(null);
  }

  const place = h("span", { class: "colours" }, h("label", { for: "colours" }, "Colours "), select);
  listen(["settled"], load);
  offers();
  return {
    place, legend, probe,
    seek: () => now?.worst.length && go(now.worst[0]),
    put(here) { // another build's drawing is not coloured
      place.hidden = !here;
      if (!here && now) (clear(), (stamp = null));
      if (!here) legend.hidden = true;
    },
    refresh() {
      if (place.hidden) return;
      offers();
      if (now) draw();
      load();
    },
  };
}

// "in full bump, 40 % lock to the left"
function poseWords(at) {
  const [travel, lock] = [at.surface.rows[2][at.corner], at.surface.rows[3][at.corner]];
  const part = (share, up, down, level) => (Math.abs(share) < 0.02 ? level : `${Math.abs(share) > 0.98 ? "full" : `${Math.round(100 * Math.abs(share))} %`} ${share > 0 ? up : down}`);
  return `at ${part(travel, "bump", "droop", "ride height")}, ${part(lock, "lock to the left", "lock to the right", "straight ahead")}`;
}

function* rampOf(scale) {
  const [left, wide, steps] = [14, 232, 116];
  for (let i = 0; i < steps; i += 1) yield h("rect", { x: left + (wide * i) / steps, y: 2, width: wide / steps + 0.6, height: 13, fill: `rgb(${scale.colour((i + 0.5) / steps).join()})` });
  for (const { share, value } of scale.ticks) {
    const x = left + wide * share;
    yield h("line", { x1: x, x2: x, y1: 15, y2: 19 });
    yield h("text", { x, y: 31, "text-anchor": "middle" }, plain(value));
  }
}

// The highest corners, some way apart.
function peaks({ vertices, rows }, row, name, place) {
  const values = rows[row];
  const order = [...values.keys()].filter((corner) => !rows.at(-1)[corner]).sort((a, b) => values[b] - values[a]);
  const found = [];
  const apart = (a, b) => Math.hypot(vertices[3 * a] - vertices[3 * b], vertices[3 * a + 1] - vertices[3 * b + 1], vertices[3 * a + 2] - vertices[3 * b + 2]);
  for (const corner of order) {
    if (found.length === MOST || values[corner] < UNDER_MPA * values[order[0]]) break;
    if (found.every((other) => apart(other, corner) > APART_MM)) found.push(corner);
  }
  const own = (corner) => [0, 1, 2].map((i) => vertices[3 * corner + i]);
  const at = (corner) => (place ? place.slice(0, 3).map((to) => own(corner).reduce((sum, value, i) => sum + to[i] * value, to[3])) : own(corner)).map(Math.round);
  return found.map((corner) => {
    const [x, y, z] = at(corner);
    const side = Math.abs(y) < 2 ? "on the centreline" : `${Math.abs(y)} mm to the ${y > 0 ? "left" : "right"}`;
    return { surface: name, corner, number: `${plain(values[corner])} MPa`, words: `${Math.abs(x)} mm ${x > 0 ? "before" : "behind"} the front axle, ${side}, ${z} mm up`, bad: false };
  });
}
