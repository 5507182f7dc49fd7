// The right half: the one drawing that stays in view, the sliders that move it, and what was picked in it.

import { hear, tell } from "./bus.js";
import { callipers } from "./callipers.js";
import { colours } from "./colours.js";
import { fill, h, say } from "./dom.js";
import { signed } from "./figures.js";
import { sharesOf, slidersFor, travelOf } from "./pose.js";
import { overlay } from "./overlay.js";
import { verdictLink } from "./questions.js";
import { get, listen, state } from "./store.js";

const VIEWS = [["3d", "Turned"], ["side", "Side"], ["plan", "Plan"], ["end", "End"]];
const LOOKS = [["shell", "Shell"], ["made", "Parts made"], ["box", "Boxes"], ["mass", "Weights"], ["sweep", "Sweeps"], ["marks", "Rub marks"], ["dimensions", "Dimensions"]];
const SLIDERS = [["travel", "Travel", "full droop", "full bump"], ["lock", "Lock", "full right", "full left"], ["roll", "Roll", "left down", "left up"]];
const CSS_MM = 96 / 25.4; // pixels; a true millimetre where the screen tells its size truly

export function drawing(place) {
  const canvas = h("canvas", { tabindex: "0", role: "img", "aria-label": "The vehicle. Arrow keys turn it, with shift they move it, plus and minus magnify, 0 shows all; where it is coloured, P reads the worst place, and Alt with the arrow keys moves on from there. The list of parts below tells what is drawn." });
  const over = h("svg", { class: "overlay", "aria-hidden": "true" });
  const empty = callipers();
  const banner = h("p", { class: "banner", role: "status", hidden: true });
  const old = h("p", { class: "old-parts", role: "status", hidden: true });
  const frame = h("div", { class: "frame" }, canvas, over, empty.place, h("div", { class: "banners" }, banner, old),
    h("div", { class: "group sizes", role: "group", "aria-label": "Size" },
      h("button", { type: "button", class: "small", id: "true-scale", onclick: trueScale, title: "As large as it is, where the screen tells its size truly" }, "1:1"),
      h("button", { type: "button", class: "small", onclick: () => viewer?.frame(), title: "All of it in the frame" }, "Fit")));
  const views = h("div", { class: "group", role: "group", "aria-label": "View" });
  const looks = h("div", { class: "group looks", role: "group", "aria-label": "Shown" });
  const sliders = h("div", { class: "sliders" });
  const picked = h("div", { class: "picked", "aria-live": "polite" });
  const parts = h("select", { id: "parts" });
  const cutWay = h("select", { id: "cut-way", "aria-label": "Section from" }, [["along", "from the side"], ["across", "from the front"], ["level", "from above"]].map(([value, words]) => h("option", { value }, words)));
  const cut = h("input", { type: "range", id: "cut", min: "0", max: "1", step: "0.01", value: "1" });
  const cutAt = h("output", { for: "cut", id: "cut-at" });
  const now = { travel: 0, lock: 0, roll: 0 };
  const shown = { marks: true, dimensions: true };
  let lit = null;
  let viewer = null;
  let module = null;
  let shell = null;
  let stamp = null;
  let other = null; // the build that is drawn in place of this one
  let queue = Promise.resolve();
  let pin = null; // what the probe reads
  const painted = colours({
    viewer: () => viewer,
    show: (sliders) => move(sliders),
    shown: (one) => {
      pin = one;
      viewer?.draw();
    },
  });

  fill(place, h("div", { class: "toolbar" }, views, painted.place, looks), painted.legend, frame, sliders,
    h("div", { class: "below" }, h("label", { for: "parts" }, "Parts "), parts, h("label", { for: "cut" }, "Section "), cutWay, h("span", { class: "cutting" }, cut, cutAt)), picked);

  for (const [name, title] of VIEWS) {
    const button = h("button", { type: "button", "aria-pressed": name === "3d" ? "true" : "false", "data-view": name, onclick: () => {
      viewer?.direct(name);
      for (const one of views.children) one.setAttribute("aria-pressed", one === button ? "true" : "false");
    } }, title);
    views.append(button);
  }
  for (const [name, title] of LOOKS) {
    const box = h("input", { type: "checkbox", id: `show-${name}`, checked: name !== "mass" && name !== "sweep" });
    box.addEventListener("change", () => {
      if (name === "sweep") sweeps();
      else if (name in shown) (shown[name] = box.checked), viewer?.draw();
      else viewer?.look(name, box.checked);
    });
    looks.append(h("label", { for: `show-${name}` }, box, ` ${title}`));
  }
  for (const [name, title, low, high] of SLIDERS) {
    const input = h("input", { type: "range", id: `slide-${name}`, min: "-1", max: "1", step: "0.02", value: "0" });
    const told = h("output", { for: `slide-${name}`, id: `told-${name}` });
    input.addEventListener("input", () => move({ [name]: Number(input.value) }));
    sliders.append(h("div", { class: "slider" }, h("label", { for: `slide-${name}` }, title), input, told));
    input.dataset.low = low;
    input.dataset.high = high;
  }
  sliders.append(h("button", { type: "button", class: "small", onclick: () => move({ travel: 0, lock: 0, roll: 0 }) }, "At rest"));
  const section = () => {
    const where = viewer?.section(Number(cut.value), cutWay.value) ?? null;
    cut.setAttribute("aria-valuetext", where ?? "nothing is cut");
    cutAt.textContent = where ?? "nothing is cut";
  };
  for (const one of [cut, cutWay]) one.addEventListener("input", section);
  section();
  parts.addEventListener("change", () => pick(parts.value || null));

  function move(wanted) {
    Object.assign(now, wanted);
    for (const [name, , low, high] of SLIDERS) {
      const input = document.getElementById(`slide-${name}`);
      if (Number(input.value) !== now[name]) input.value = String(now[name]);
      const words = tellOf(name, low, high);
      document.getElementById(`told-${name}`).textContent = words;
      input.setAttribute("aria-valuetext", words);
    }
    viewer?.pose({ ...now });
    place.dataset.marks = String(viewer ? marksNow() : 0);
  }

  function tellOf(name, low, high) {
    const corners = viewer?.data?.corners ?? [];
    if (name === "travel" && corners.length) {
      const told = ["front left", "rear left"].map((one) => corners.find((corner) => corner.name === one)).filter(Boolean)
        .map((corner) => signed(travelOf(corner, sharesOf(corner, { ...now, roll: 0 }))));
      return `${told.join(" / ")} mm`;
    }
    const share = now[name];
    if (Math.abs(share) < 0.005) return name === "lock" ? "straight ahead" : "level";
    return Math.abs(share) > 0.995 ? (share > 0 ? high : low) : `${Math.round(100 * Math.abs(share))} % ${(share > 0 ? high : low).replace("full ", "")}`;
  }

  function marksNow() {
    return over.querySelectorAll('.touching[data-now="true"]').length;
  }

  function trueScale() {
    if (!viewer) return;
    if (viewer.name === "3d") views.querySelector('[data-view="side"]').click();
    viewer.scaleTo(CSS_MM);
  }

  function litThings() {
    if (!lit) return [];
    const moving = (viewer?.data?.marks ?? []).filter((mark) => mark.verdict === lit).flatMap((mark) => [mark.moving, mark.other]);
    const named = (viewer?.things ?? []).filter((one) => moving.includes(one.name)).map((one) => one.id);
    return [...(state.verdicts[lit]?.things ?? []), ...named];
  }

  function redraw() {
    if (!viewer) return;
    const verdict = state.verdicts[lit];
    const keys = new Set((verdict?.keys ?? []).map(({ key }) => key));
    const named = verdict?.id.startsWith("likeness.") ? [`shell.${verdict.id.slice(9)}`] : [];
    overlay(over, viewer, {
      marks: viewer.data?.marks ?? [], lit, showMarks: shown.marks, showDimensions: shown.dimensions,
      litKeys: new Set([...named, ...keys]), label: verdict?.where?.point_mm ? { at: verdict.where.point_mm } : gravity(verdict), probe: pin,
    });
    place.dataset.marks = String(marksNow());
    place.dataset.lit = [...viewer.looks.lit].join("; ");
  }

  function gravity(verdict) {
    const at = viewer.data?.gravity;
    return at && (verdict?.things ?? []).includes("gravity") ? { at } : null;
  }

  function pick(thing) {
    const found = [...(viewer?.things ?? []), { id: "shell", name: "shell" }].find((one) => one.id === thing);
    if (parts.value !== (thing ?? "")) parts.value = thing ?? "";
    if (!found) {
      viewer?.light([]);
      return void fill(picked);
    }
    lit = null;
    viewer.light([found.id]);
    redraw();
    const its = Object.values(state.verdicts).filter((verdict) => verdict.things.includes(found.id) || (viewer.data.marks ?? []).some((mark) => mark.verdict === verdict.id && [mark.moving, mark.other].includes(found.name)));
    const order = ["fails", "tight", "unmeasured", "holds"];
    its.sort((a, b) => order.indexOf(a.state) - order.indexOf(b.state));
    fill(picked, h("h2", {}, found.name, found.grams ? `, ${found.grams} g` : ""),
      its.length ? h("ul", {}, its.slice(0, 12).map((verdict) => h("li", {}, verdictLink(verdict.id)))) : h("p", { class: "faint" }, "No question hangs on this part alone."),
      h("button", { type: "button", class: "small", onclick: () => tell("find", { words: found.name }) }, "Its numbers"));
  }

  async function start() {
    if (viewer) return;
    try {
      module ??= await import("./viewer.js");
      viewer = new module.Viewer(canvas, { drawn: redraw, picked: pick, probed: painted.probe, sought: painted.seek });
      viewer.setTheme(document.documentElement.dataset.theme);
    } catch (error) {
      viewer = null;
      frame.replaceChildren(h("p", { class: "nothing" }, `This browser cannot draw in three dimensions (${error.message}). Questions, numbers and curves do not need it.`));
    }
  }

  // What the tyres pass through over all travel and lock; made when it is asked for.
  async function sweeps() {
    const wanted = document.getElementById("show-sweep").checked;
    if (!viewer) return;
    viewer.clearSweeps();
    if (!wanted || other) return;
    const made = stamp;
    for (const part of viewer.parts.filter((one) => one.kind === "tyre")) {
      const answer = await fetch(`/sweep/${encodeURIComponent(part.id.replace(/ ring$/, ""))}`);
      if (answer.ok && made === stamp && document.getElementById("show-sweep").checked) viewer.addSweep(await answer.arrayBuffer());
    }
  }

  async function refresh() {
    const now = other ? `${other.id} ${other.stamp}` : state.sceneStamp;
    const base = other ? `/beside/${other.id}` : "";
    if (!state.questions || stamp === now) return;
    stamp = now;
    banner.hidden = !other;
    fill(banner, other && `Drawn: ${other.name}. The questions are of ${state.name}.`);
    painted.put(!other);
    await start();
    if (!viewer) return;
    const scene = { ...(await get(`${base}/scene`)), stamp };
    viewer.show(scene);
    const something = scene.parts.length > 0 || Boolean(scene.outline.shell) || scene.outline.wheels.length > 0 || scene.boxes.length > 0 || scene.made.length > 0;
    empty.put(!something);
    document.body.classList.toggle("nothing-drawn", !something);
    const others = scene.made.filter((one) => one.old).map((one) => one.name);
    old.hidden = !others.length || Boolean(other);
    fill(old, `Made before the last changes, and not counted with: ${others.slice(0, 3).join(", ")}${others.length > 3 ? ` and ${others.length - 3} more` : ""}. Make the parts again to have them as they are asked for now.`);
    for (const [name] of LOOKS) {
      const box = document.getElementById(`show-${name}`);
      if (!(name in shown) && name !== "sweep" && !box.checked) viewer.look(name, false);
    }
    sweeps();
    for (const part of scene.made) {
      const answer = viewer.hasMade(part) ? null : await fetch(`${base}/made/${encodeURIComponent(part.part)}?of=${part.stamp}`);
      if (!answer || answer.ok) viewer.addMade(part, await answer?.arrayBuffer());
    }
    if (!document.getElementById("show-made").checked) viewer.look("made", false);
    const chosen = parts.value;
    fill(parts, h("option", { value: "" }, "choose one"), h("option", { value: "shell" }, "shell"), viewer.things.map((one) => h("option", { value: one.id }, one.old ? `${one.name}, made before the last changes` : one.name)));
    parts.value = chosen;
    move({});
    viewer.light(litThings());
    painted.refresh();
    requestAnimationFrame(() => (place.dataset.geometries = String(viewer.renderer.info.memory.geometries)));
    if (scene.shellStamp !== shell) {
      shell = scene.shellStamp;
      if (!shell) viewer.setShell(null);
      else {
        const [vertices, faces] = await Promise.all(["vertices", "faces"].map((part) => fetch(`${base}/shell/${part}?of=${shell}`).then((answer) => answer.arrayBuffer())));
        viewer.setShell(new Float32Array(vertices), new Uint32Array(faces));
        place.dataset.triangles = String(faces.byteLength / 12);
      }
    }
  }

  // Words come first: the frame that shows them is not kept waiting by the drawing.
  const afterWords = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const again = () => {
    queue = queue.then(afterWords).then(refresh).catch((error) => say(`The drawing could not be fetched: ${error.message}`));
  };
  listen(["sceneStamp", "questions"], again);
  hear("draw", (wanted) => {
    other = wanted.other;
    again();
  });
  hear("look", ({ verdict }) => {
    if (verdict === null && lit === null) return;
    lit = verdict;
    viewer?.light(litThings());
    redraw();
  });
  hear("pose", ({ verdict }) => {
    lit = verdict;
    const mark = (viewer?.data?.marks ?? []).find((one) => one.verdict === verdict);
    if (mark) move(slidersFor(mark));
    viewer?.light(litThings());
    redraw();
    place.scrollIntoView({ block: "nearest" });
    say(mark ? `Shown: ${mark.pose?.words ?? "in every pose"}` : "Lit in the drawing");
  });
  addEventListener("coachwork-theme", () => viewer?.setTheme(document.documentElement.dataset.theme));
}

