// The vehicle in one drawing, without perspective: parallel lines stay parallel, so that the three elevations and the
// turned view are one thing seen from different sides, to one scale. Drawn when something has changed, not before.

import * as THREE from "./vendor/three.module.min.js";
import { buildBoxes, buildOutline, buildParts } from "./bodies.js";

const VIEWS = { // where the eye is, and what is up in the picture
  "3d": [[0.62, -0.66, 0.42], [0, 0, 1]],
  side: [[0, -1, 0], [0, 0, 1]],
  plan: [[0, 0, 1], [0, 1, 0]],
  end: [[1, 0, 0], [0, 0, 1]],
};
const LOOKS = {
  light: { tyre: 0x3c4650, rim: 0xa9b3bd, shaft: 0x6a7b8c, damper: 0x7c93ab, links: 0x42688f, steering: 0x2b6a74, parts: 0x9aa3ac, pins: 0x42688f, "anti-roll-bar": 0x42688f, box: 0x9fbfdf, "keep-out": 0xc8c4b8, mass: 0xb9a77a, deck: 0xd7dce0, made: 0xb7bfae, sweep: 0xb98a2f, shell: 0x0b3866, outline: 0x0b3866, edge: 0x5d7389, lit: 0xd55e00 },
  dark: { tyre: 0x6e7a86, rim: 0xb5c0ca, shaft: 0x8fa2b5, damper: 0x93aac2, links: 0x7fa9d6, steering: 0x6fb3bd, parts: 0x8d98a3, pins: 0x7fa9d6, "anti-roll-bar": 0x7fa9d6, box: 0x5c7ea3, "keep-out": 0x75705f, mass: 0xa9966a, deck: 0x2f3a45, made: 0x8d9a86, sweep: 0xd9b35f, shell: 0x9cc4f0, outline: 0x9cc4f0, edge: 0x8aa2ba, lit: 0xff9a3d },
};
const RIM = 32; // pixels left free round the vehicle
const CLEAR = { box: 0.75, "keep-out": 0.3, deck: 0.5, outline: 0.1, sweep: 0.28 };

// Dense where the surface is seen edge on, clear where one looks through it, as a drawing of a glass body would be.
const SHELL = {
  vertexShader: `
    #include <clipping_planes_pars_vertex>
    varying vec3 vNormal;
    void main() {
      vNormal = normalize(normalMatrix * normal);
      vec4 mvPosition = modelViewMatrix * vec4(position, 1.0);
      #include <clipping_planes_vertex>
      gl_Position = projectionMatrix * mvPosition;
    }`,
  fragmentShader: `
    #include <clipping_planes_pars_fragment>
    uniform vec3 ink;
    uniform float least;
    uniform float most;
    varying vec3 vNormal;
    void main() {
      #include <clipping_planes_fragment>
      float facing = abs(normalize(vNormal).z);
      gl_FragColor = vec4(ink, least + most * pow(1.0 - facing, 2.2));
      #include <colorspace_fragment>
    }`,
};

export class Viewer {
  constructor(canvas, { drawn, picked, turned }) {
    this.canvas = canvas;
    this.drawn = drawn;
    this.picked = picked;
    this.turned = turned;
    this.renderer = new THREE.WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.renderer.localClippingEnabled = true;
    this.scene = new THREE.Scene();
    this.scene.add(new THREE.HemisphereLight(0xffffff, 0x8a8f95, 2.2));
    this.sun = new THREE.DirectionalLight(0xffffff, 1.6);
    this.scene.add(this.sun, this.sun.target);
    this.camera = new THREE.OrthographicCamera(-1, 1, 1, -1, -4000, 4000);
    this.cut = new THREE.Plane(new THREE.Vector3(0, 1, 0), 1e6);
    this.centre = new THREE.Vector3(-140, 0, 60);
    this.zoom = 1;
    this.fit = 1;
    this.name = "3d";
    this.theme = "light";
    this.lit = new Set();
    this.materials = new Map();
    this.parts = [];
    this.things = [];
    this.swept = new THREE.Group();
    this.scene.add(this.swept);
    this.sliders = { travel: 0, lock: 0, roll: 0 };
    this.shellLook = "clear";
    this.direct("3d");
    this.hands();
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
  }

  material(kind, thing) {
    const lit = this.lit.has(thing);
    const name = `${this.theme} ${kind} ${lit}`;
    if (!this.materials.has(name)) {
      const look = LOOKS[this.theme];
      const color = lit ? look.lit : look[kind] ?? look.parts;
      const opacity = CLEAR[kind] ?? 1;
      let made;
      if (kind === "edge") made = new THREE.LineBasicMaterial({ color });
      else if (kind === "shell") {
        made = new THREE.ShaderMaterial({ ...SHELL, uniforms: { ink: { value: new THREE.Color(color) }, least: { value: 0.05 }, most: { value: lit ? 0.42 : 0.6 } }, transparent: true, depthWrite: false, side: THREE.DoubleSide, clipping: true });
      } else made = new THREE.MeshLambertMaterial({ color, opacity, transparent: opacity < 1, depthWrite: opacity === 1, side: THREE.DoubleSide });
      made.clippingPlanes = [this.cut];
      this.materials.set(name, made);
    }
    return this.materials.get(name);
  }

  show(scene) {
    for (const one of this.things) this.scene.remove(one.group);
    if (this.outline) this.scene.remove(this.outline);
    this.data = scene;
    const material = (kind, thing) => this.material(kind, thing);
    this.parts = buildParts(scene, material);
    this.things = [...this.parts, ...buildBoxes(scene, material)];
    this.outline = buildOutline(scene.outline, material, !this.parts.some((part) => part.kind === "tyre"));
    for (const one of this.things) this.scene.add(one.group);
    this.scene.add(this.outline);
    this.outlineShown();
    this.pose(this.sliders);
    if (!this.framed) this.frame();
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
      this.shell = new THREE.Mesh(geometry, this.material("shell", "shell"));
      this.shell.renderOrder = 5;
      this.shell.userData.thing = "shell";
      this.scene.add(this.shell);
    }
    this.outlineShown();
    this.frame();
  }

  unpacked(raw) {
    const [count] = new Uint32Array(raw, 0, 1);
    const geometry = new THREE.BufferGeometry();
    geometry.setAttribute("position", new THREE.BufferAttribute(new Float32Array(raw, 4, 3 * count), 3));
    geometry.setIndex(new THREE.BufferAttribute(new Uint32Array(raw, 4 + 12 * count), 1));
    return geometry;
  }

  // A made part, once for each place it is fitted; its edges are sharp, as they were drawn.
  addMade(part, raw) {
    const geometry = this.unpacked(raw).toNonIndexed();
    geometry.computeVertexNormals();
    const group = new THREE.Group();
    for (const place of part.places) {
      const mesh = new THREE.Mesh(geometry, this.material("made", part.id));
      mesh.userData.thing = part.id;
      mesh.matrixAutoUpdate = false;
      mesh.matrix.set(...place.flat());
      group.add(mesh);
    }
    this.things.push({ ...part, kind: "made", group, made: true });
    this.scene.add(group);
    this.draw();
  }

  addSweep(raw) {
    const geometry = this.unpacked(raw);
    geometry.computeVertexNormals();
    const mesh = new THREE.Mesh(geometry, this.material("sweep", "sweep"));
    mesh.renderOrder = 4;
    this.swept.add(mesh);
    this.draw();
  }

  clearSweeps() {
    for (const mesh of this.swept.children) mesh.geometry.dispose();
    this.swept.clear();
    this.draw();
  }

  outlineShown() {
    if (!this.outline) return;
    for (const mesh of this.outline.children) if (mesh.userData.thing === "shell") mesh.visible = !this.shell && this.shellLook !== "off";
    if (this.shell) this.shell.visible = this.shellLook !== "off";
  }

  look(name, shown) {
    if (name === "shell") {
      this.shellLook = shown ? "clear" : "off";
      this.outlineShown();
    } else for (const one of this.things) if (one.kind === name || (name === "box" && ["deck", "keep-out"].includes(one.kind))) one.group.visible = shown;
    this.draw();
  }

  light(things) {
    this.lit = new Set(things);
    this.paint();
  }

  setTheme(theme) {
    this.theme = theme;
    this.paint();
  }

  paint() {
    for (const one of this.parts) for (const { mesh } of one.pieces) mesh.material = this.material(one.kind, one.id);
    for (const one of this.things) {
      if (one.pieces) continue;
      if (one.made) {
        for (const mesh of one.group.children) mesh.material = this.material("made", one.id);
        continue;
      }
      one.group.material = this.material(one.kind, one.id);
      for (const edge of one.group.children) edge.material = this.material("edge", one.id);
    }
    for (const mesh of this.outline?.children ?? []) {
      mesh.material = this.material(mesh.userData.thing === "shell" ? "outline" : "tyre", mesh.userData.thing);
      for (const edge of mesh.children) edge.material = this.material("edge", "shell");
    }
    if (this.shell) this.shell.material = this.material("shell", "shell");
    for (const mesh of this.swept.children) mesh.material = this.material("sweep", "sweep");
    this.draw();
  }

  pose(sliders) {
    this.sliders = sliders;
    for (const part of this.parts) part.pose(sliders);
    this.draw();
  }

  // Cuts away what lies to the right of a plane along the vehicle; 1 cuts nothing.
  section(share) {
    const box = this.bounds();
    this.cut.constant = share >= 1 ? 1e6 : -(box.min.y + (box.max.y - box.min.y) * (1 - share));
    this.draw();
  }

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
    const box = this.bounds();
    box.getCenter(this.centre);
    this.zoom = 1;
    this.resize();
  }

  direct(name) {
    this.name = name;
    const [eye, up] = VIEWS[name];
    this.eye = new THREE.Vector3(...eye).normalize();
    this.up = new THREE.Vector3(...up);
    if (this.width) this.fit = this.fitted();
    this.draw();
  }

  resize() {
    const box = this.canvas.parentElement.getBoundingClientRect();
    if (!box.width || !box.height) return;
    this.width = box.width;
    this.height = box.height;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.renderer.setSize(box.width, box.height, false);
    this.fit = this.fitted();
    this.draw();
  }

  // The elevations share one scale: that of the one which needs most room.
  get pixelsPerMm() {
    return this.fit * this.zoom;
  }

  fitted() {
    const box = this.bounds();
    const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => new THREE.Vector3(i & 1 ? box.max.x : box.min.x, i & 2 ? box.max.y : box.min.y, i & 4 ? box.max.z : box.min.z));
    const room = (name) => {
      const [eye, up] = VIEWS[name].map((way) => new THREE.Vector3(...way).normalize());
      const right = up.clone().cross(eye).normalize();
      const over = eye.clone().cross(right);
      const wide = (way) => Math.max(...corners.map((one) => one.dot(way))) - Math.min(...corners.map((one) => one.dot(way)));
      const rim = name === "3d" ? RIM : 2.6 * RIM; // where dimension lines go
      return Math.min(Math.max(this.width - 2 * rim, 80) / wide(right), Math.max(this.height - 2 * Math.min(rim, 0.2 * this.height), 60) / wide(over));
    };
    return this.name === "3d" ? room("3d") : Math.min(room("side"), room("plan"), room("end"));
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
    const scale = 2 * this.pixelsPerMm;
    Object.assign(this.camera, { left: -this.width / scale, right: this.width / scale, top: this.height / scale, bottom: -this.height / scale });
    this.camera.up.copy(this.up);
    this.camera.position.copy(this.centre).addScaledVector(this.eye, 1500);
    this.camera.lookAt(this.centre);
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    this.sun.position.copy(this.camera.position).add(new THREE.Vector3(200, 150, 500));
    this.sun.target.position.copy(this.centre);
    this.renderer.render(this.scene, this.camera);
    this.drawn();
  }

  project(point) {
    const at = new THREE.Vector3(...point).project(this.camera);
    return [((at.x + 1) / 2) * this.width, ((1 - at.y) / 2) * this.height];
  }

  pick(x, y) {
    const ray = new THREE.Raycaster();
    ray.setFromCamera(new THREE.Vector2((x / this.width) * 2 - 1, 1 - (y / this.height) * 2), this.camera);
    const solid = this.things.filter((one) => one.group.visible).map((one) => one.group);
    const kept = (hit) => this.cut.distanceToPoint(hit.point) >= 0;
    const hit = ray.intersectObjects([...solid, ...(this.outline?.children ?? []).filter((one) => one.userData.thing !== "shell")], true).find(kept);
    if (hit) return hit.object.userData.thing ?? hit.object.parent.userData.thing;
    const over = [this.shell, ...(this.outline?.children ?? [])].filter((one) => one?.visible);
    return over.some((one) => ray.intersectObject(one, false).length) ? "shell" : null;
  }

  orbit(dx, dy) {
    if (this.name !== "3d") return this.pan(dx, dy);
    const flat = Math.atan2(this.eye.y, this.eye.x) - dx * 0.008;
    const rise = Math.min(1.5, Math.max(-1.5, Math.asin(this.eye.z) + dy * 0.008));
    this.eye.set(Math.cos(rise) * Math.cos(flat), Math.cos(rise) * Math.sin(flat), Math.sin(rise));
    this.draw();
    return null;
  }

  pan(dx, dy) {
    const right = new THREE.Vector3().setFromMatrixColumn(this.camera.matrixWorld, 0);
    const up = new THREE.Vector3().setFromMatrixColumn(this.camera.matrixWorld, 1);
    this.centre.addScaledVector(right, -dx / this.pixelsPerMm).addScaledVector(up, dy / this.pixelsPerMm);
    this.draw();
  }

  magnify(times) {
    this.zoom = Math.min(40, Math.max(0.2, this.zoom * times));
    this.draw();
    this.turned();
  }

  hands() {
    const held = new Map();
    let moved = 0;
    this.canvas.addEventListener("pointerdown", (event) => {
      this.canvas.setPointerCapture(event.pointerId);
      held.set(event.pointerId, event);
      moved = 0;
    });
    this.canvas.addEventListener("pointermove", (event) => {
      const before = held.get(event.pointerId);
      if (!before) return;
      const [dx, dy] = [event.clientX - before.clientX, event.clientY - before.clientY];
      moved += Math.abs(dx) + Math.abs(dy);
      if (held.size === 2) {
        const other = [...held.values()].find((one) => one.pointerId !== event.pointerId);
        const apart = (one) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
        this.magnify(apart(event) / Math.max(apart(before), 1));
      } else if (event.buttons === 2 || event.shiftKey) this.pan(dx, dy);
      else this.orbit(dx, dy);
      held.set(event.pointerId, event);
    });
    const up = (event) => {
      held.delete(event.pointerId);
      if (event.type === "pointerup" && moved < 5) this.picked(this.pick(event.offsetX, event.offsetY));
    };
    this.canvas.addEventListener("pointerup", up);
    this.canvas.addEventListener("pointercancel", up);
    this.canvas.addEventListener("contextmenu", (event) => event.preventDefault());
    this.canvas.addEventListener("wheel", (event) => {
      event.preventDefault();
      this.magnify(Math.exp(-event.deltaY * 0.0012));
    }, { passive: false });
    this.canvas.addEventListener("keydown", (event) => {
      const way = { ArrowLeft: [-12, 0], ArrowRight: [12, 0], ArrowUp: [0, -12], ArrowDown: [0, 12] }[event.key];
      if (way) event.shiftKey ? this.pan(...way) : this.orbit(...way);
      else if (event.key === "+" || event.key === "=") this.magnify(1.2);
      else if (event.key === "-") this.magnify(1 / 1.2);
      else if (event.key === "0") this.frame();
      else return;
      event.preventDefault();
    });
  }
}
