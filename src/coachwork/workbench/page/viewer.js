// The vehicle in one drawing, without perspective: parallel lines stay parallel, so that the three elevations and the
// turned view are one thing seen from different sides, to one scale. Drawn when something has changed, not before.

import * as THREE from "./vendor/three.module.min.js";
import { buildBoxes, buildOutline, buildParts } from "./bodies.js";
import { Coloured } from "./coloured.js";
import { Eye } from "./eye.js";
import { hands } from "./hands.js";
import { Looks } from "./looks.js";
import { CUTS, cutOf, standsAt } from "./section.js";
import { surfaceOf } from "./surface.js";

const BEHIND_MM = 0.6; // something solid so much nearer hides what is coloured from the probe

const keyOf = (part) => `${part.part} ${part.stamp}`;

export class Viewer {
  // drawn: after each picture; picked: a thing, or null; probed: what is coloured there, or null, and whether by hand;
  // sought: the probe is wanted where it is worst
  constructor(canvas, { drawn, picked, probed, sought }) {
    this.canvas = canvas;
    this.drawn = drawn;
    this.picked = picked;
    this.probed = probed;
    this.sought = sought;
    this.renderer = new THREE.WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.localClippingEnabled = true;
    this.scene = new THREE.Scene();
    this.scene.add(new THREE.HemisphereLight(0xffffff, 0x8a8f95, 2.2));
    this.sun = new THREE.DirectionalLight(0xffffff, 1.6);
    this.scene.add(this.sun, this.sun.target);
    this.eye = new Eye();
    this.cut = new THREE.Plane(new THREE.Vector3(0, 1, 0), 1e6);
    this.looks = new Looks(this.cut);
    this.coloured = new Coloured(this.cut);
    this.swept = new THREE.Group();
    this.cutLines = new THREE.LineSegments(new THREE.BufferGeometry());
    this.cutLines.renderOrder = 7;
    this.scene.add(this.swept, this.coloured.group, this.cutLines);
    this.parts = [];
    this.things = [];
    this.hidden = new Set(); // kinds, and made parts that are coloured instead
    this.made = new Map(); // shapes of made parts, by part and content
    this.sliders = { travel: 0, lock: 0, roll: 0 };
    this.pointer = null;
    hands(this, canvas);
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
  }

  get name() {
    return this.eye.name;
  }

  get width() {
    return this.eye.width;
  }

  get height() {
    return this.eye.height;
  }

  get pixelsPerMm() {
    return this.eye.pixelsPerMm;
  }

  // ---------------------------------------------------------------- what is there

  show(scene) {
    for (const one of this.things) this.away(one.group, !one.made);
    if (this.outline) this.away(this.outline, true);
    for (const [key, geometry] of this.made) if (!scene.made.some((part) => keyOf(part) === key)) (geometry.dispose(), this.made.delete(key));
    this.data = scene;
    const material = (kind, thing) => this.looks.of(kind, thing);
    this.parts = buildParts(scene, material);
    this.things = [...this.parts, ...buildBoxes(scene, material)];
    this.outline = buildOutline(scene.outline, material, !this.parts.some((part) => part.kind === "tyre"));
    for (const one of this.things) this.scene.add(one.group);
    this.scene.add(this.outline);
    this.appear();
    this.pose(this.sliders);
    if (!this.framed) this.frame();
  }

  // Out of the scene; a made part's shape is kept for the next scene that has it.
  away(group, wholly) {
    this.scene.remove(group);
    if (wholly) group.traverse((one) => one.geometry?.dispose());
  }

  setShell(vertices, faces) {
    if (this.shell) {
      this.scene.remove(this.shell);
      this.shell.geometry.dispose();
      this.shell = null;
    }
    if (vertices) {
      const geometry = new THREE.BufferGeometry();
      geometry.setAttribute("position", new THREE.BufferAttribute(vertices, 3));
      geometry.setIndex(new THREE.BufferAttribute(faces, 1));
      geometry.computeVertexNormals();
      geometry.computeBoundingBox();
      this.shell = new THREE.Mesh(geometry, this.looks.of("shell", "shell"));
      this.shell.renderOrder = 5;
      this.shell.userData.thing = "shell";
      this.scene.add(this.shell);
    }
    this.appear();
    this.frame();
  }

  unpacked(raw) {
    const { vertices, faces } = surfaceOf(raw);
    const geometry = new THREE.BufferGeometry();
    geometry.setAttribute("position", new THREE.BufferAttribute(vertices, 3));
    geometry.setIndex(new THREE.BufferAttribute(faces, 1));
    return geometry;
  }

  // Whether a made part's shape is here from an earlier scene.
  hasMade(part) {
    return this.made.has(keyOf(part));
  }

  // A made part, once for each place it is fitted; its edges are sharp, as they were drawn. Of one that is here, no bytes.
  addMade(part, raw) {
    if (raw) {
      const sharp = this.unpacked(raw).toNonIndexed();
      sharp.computeVertexNormals();
      this.made.set(keyOf(part), sharp);
    }
    const geometry = this.made.get(keyOf(part));
    const group = new THREE.Group();
    for (const place of part.places) {
      const mesh = new THREE.Mesh(geometry, this.looks.of("made", part.id));
      mesh.userData.thing = part.id;
      mesh.matrixAutoUpdate = false;
      mesh.matrix.set(...place.flat());
      group.add(mesh);
    }
    this.things.push({ ...part, kind: "made", group, made: true });
    this.scene.add(group);
    this.appear();
  }

  addSweep(raw) {
    const geometry = this.unpacked(raw);
    geometry.computeVertexNormals();
    const mesh = new THREE.Mesh(geometry, this.looks.of("sweep", "sweep"));
    mesh.renderOrder = 4;
    this.swept.add(mesh);
    this.draw();
  }

  clearSweeps() {
    for (const mesh of this.swept.children) mesh.geometry.dispose();
    this.swept.clear();
    this.draw();
  }

  // ---------------------------------------------------------------- how it is shown

  look(name, shown) {
    for (const kind of name === "box" ? ["box", "deck", "keep-out"] : [name]) shown ? this.hidden.delete(kind) : this.hidden.add(kind);
    this.appear();
  }

  appear() {
    this.cutStale = true;
    const shell = !this.hidden.has("shell");
    for (const one of this.things) one.group.visible = !this.hidden.has(one.kind) && !this.hidden.has(one.id);
    for (const mesh of this.outline?.children ?? []) if (mesh.userData.thing === "shell") mesh.visible = shell && !this.shell;
    if (this.shell) this.shell.visible = shell;
    this.draw();
  }

  // The drawn mesh of a moving thing.
  meshOf(id) {
    return this.parts.find((one) => one.id === id)?.pieces[0]?.mesh ?? null;
  }

  // Behind what is coloured: the coloured parts' own plain ones are away, all else is a ghost where that is wanted.
  stepBack(instead, ghostly) {
    for (const id of [...this.hidden]) if (id.startsWith("part ")) this.hidden.delete(id);
    for (const id of instead) this.hidden.add(id);
    this.looks.ghostly = ghostly;
    this.looks.painted = this.coloured.surfaces.length > 0;
    this.appear();
    this.paint();
  }

  light(things) {
    this.looks.lit = new Set(things);
    this.paint();
  }

  setTheme(theme) {
    this.looks.theme = theme;
    this.cutStale = true;
    this.paint();
  }

  paint() {
    const of = (kind, thing) => this.looks.of(kind, thing);
    for (const part of this.parts) for (const { mesh } of part.pieces) mesh.material = of(part.kind, part.id);
    for (const one of this.things) {
      if (one.pieces) continue;
      if (one.made) {
        for (const mesh of one.group.children) mesh.material = of("made", one.id);
        continue;
      }
      one.group.material = of(one.kind, one.id);
      for (const edge of one.group.children) edge.material = of("edge", one.id);
    }
    for (const mesh of this.outline?.children ?? []) {
      mesh.material = of(mesh.userData.thing === "shell" ? "outline" : "tyre", mesh.userData.thing);
      for (const edge of mesh.children) edge.material = of("edge", "shell");
    }
    if (this.shell) this.shell.material = of("shell", "shell");
    for (const mesh of this.swept.children) mesh.material = of("sweep", "sweep");
    this.draw();
  }

  pose(sliders) {
    this.sliders = sliders;
    this.cutStale = true;
    for (const part of this.parts) part.pose(sliders);
    this.coloured.moved();
    this.draw();
  }

  // Cuts away what lies before a plane: to the right, in front, or above; share 1 cuts nothing.
  // Returns where that is, in words; null where nothing is cut.
  section(share, way = "along") {
    const box = this.bounds();
    this.cut.normal.set(...CUTS[way]);
    const ends = [box.min.dot(this.cut.normal), box.max.dot(this.cut.normal)].sort((a, b) => a - b);
    const at = ends[0] + (ends[1] - ends[0]) * (1 - share);
    this.cutting = share < 1;
    this.cutStale = true;
    this.cut.constant = this.cutting ? -at : 1e6;
    this.draw();
    return this.cutting ? standsAt(way, way === "along" ? at : -at) : null;
  }

  // Turning the drawing leaves the cut as it is.
  outlineCut() {
    if (!this.cutStale) return;
    this.cutStale = false;
    const meshes = [];
    if (this.cutting) {
      const seen = (one) => one.isMesh && one.visible && !one.isLineSegments && meshes.push(one);
      for (const one of this.things) if (one.group.visible && one.kind !== "deck") one.group.traverse(seen);
      for (const one of this.outline?.children ?? []) if (one.visible) one.traverse(seen);
      if (this.shell?.visible) meshes.push(this.shell);
    }
    const { geometry } = this.cutLines;
    if (!meshes.length && !this.cutLines.visible) return;
    geometry.dispose(); // of the last cut
    geometry.setAttribute("position", new THREE.BufferAttribute(cutOf(meshes, this.cut), 3));
    geometry.computeBoundingSphere();
    this.cutLines.visible = meshes.length > 0;
    this.cutLines.material = this.looks.ink();
  }

  // ---------------------------------------------------------------- the picture

  bounds() {
    const box = new THREE.Box3();
    if (this.shell) box.copy(this.shell.geometry.boundingBox);
    for (const part of this.parts) for (const { mesh } of part.pieces) if (mesh.visible) box.expandByPoint(new THREE.Vector3().setFromMatrixPosition(mesh.matrix));
    if (this.outline?.children.length) box.union(new THREE.Box3().setFromObject(this.outline));
    for (const one of this.things) if (!one.pieces) box.expandByPoint(one.group.position);
    return box.isEmpty() ? new THREE.Box3(new THREE.Vector3(-300, -90, -10), new THREE.Vector3(80, 90, 200)) : box;
  }

  frame() {
    this.framed = this.parts.length > 0 || this.outline?.children.length > 0 || Boolean(this.shell);
    this.bounds().getCenter(this.eye.centre);
    this.eye.zoom = 1;
    this.resize();
  }

  direct(name) {
    this.eye.direct(name);
    if (this.width) this.eye.fitTo(this.bounds());
    this.draw();
  }

  resize() {
    const box = this.canvas.parentElement.getBoundingClientRect();
    if (!box.width || !box.height) return;
    Object.assign(this.eye, { width: box.width, height: box.height });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(box.width, box.height, false);
    this.eye.fitTo(this.bounds());
    this.draw();
  }

  draw() {
    if (this.asked) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      this.paintNow();
    });
  }

  paintNow() {
    if (!this.width) return;
    this.eye.aim();
    this.sun.position.copy(this.eye.camera.position).add(new THREE.Vector3(200, 150, 500));
    this.sun.target.position.copy(this.eye.centre);
    this.scene.updateMatrixWorld();
    this.outlineCut();
    this.renderer.render(this.scene, this.eye.camera);
    this.drawn();
  }

  project(point) {
    return this.eye.project(point);
  }

  orbit(dx, dy) {
    this.eye.orbit(dx, dy);
    this.draw();
  }

  pan(dx, dy) {
    this.eye.pan(dx, dy);
    this.draw();
  }

  magnify(times) {
    this.eye.magnify(times);
    this.draw();
  }

  // One millimetre as so many pixels: true scale where the screen tells its size truly.
  scaleTo(pixelsPerMm) {
    this.eye.zoom = pixelsPerMm / this.eye.fit;
    this.draw();
  }

  // ---------------------------------------------------------------- what is under the hand

  solids() {
    const outline = (this.outline?.children ?? []).filter((one) => one.userData.thing !== "shell");
    return [...this.things.filter((one) => one.group.visible).map((one) => one.group), ...outline];
  }

  first(ray) {
    return ray.intersectObjects(this.solids(), true).find((hit) => this.cut.distanceToPoint(hit.point) >= 0);
  }

  pick(x, y) {
    const ray = this.eye.ray(x, y);
    const hit = this.first(ray);
    if (hit) return hit.object.userData.thing ?? hit.object.parent.userData.thing;
    const over = [this.shell, ...(this.outline?.children ?? [])].filter((one) => one?.visible);
    return over.some((one) => ray.intersectObject(one, false).length) ? "shell" : null;
  }

  pointed(x, y, byHand) {
    if (!this.coloured.surfaces.length) return;
    this.pointer = x === null ? this.pointer : [x, y];
    if (x === null) return void this.probed(null, false);
    const ray = this.eye.ray(x, y);
    const found = this.coloured.probe(ray);
    const before = found && !this.looks.ghostly ? this.first(ray) : null;
    this.probed(before && before.distance < found.distance - BEHIND_MM ? null : found, byHand);
  }

  // The probe by keys, from where it is.
  stepped(dx, dy) {
    if (!this.pointer) return void this.sought();
    const [x, y] = this.pointer;
    this.pointed(Math.min(this.width, Math.max(0, x + dx / 2)), Math.min(this.height, Math.max(0, y + dy / 2)), true);
  }
}
