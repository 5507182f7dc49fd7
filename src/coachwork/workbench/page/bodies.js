// The scene's shapes as meshes, placed anew for every pose.

import * as THREE from "./vendor/three.module.min.js";
import { STANDING, bodyAt, pointAt, sharesOf } from "./pose.js";

const AROUND = 40;
const UP = new THREE.Vector3(0, 1, 0);
const HERE = { shift: [0, 0, 0], mirror: false };

export function buildParts(scene, material) {
  return scene.parts.map((part) => {
    const group = new THREE.Group();
    const corner = scene.corners.find((one) => one.name === part.corner) ?? null;
    const pieces = part.shapes.map((shape) => {
      const mesh = new THREE.Mesh(geometry(shape), material(part.kind, part.id));
      mesh.matrixAutoUpdate = false;
      mesh.userData.thing = part.id;
      group.add(mesh);
      return { mesh, shape };
    });
    const one = { ...part, group, pieces, at: corner ?? { ...HERE, shift: part.shift, mirror: part.mirror } };
    one.pose = (sliders) => place(one, corner, sliders);
    return one;
  });
}

function geometry(shape) {
  if (shape.kind === "box") return new THREE.BoxGeometry(2, 2, 2);
  if (shape.kind === "turning") return new THREE.LatheGeometry(shape.profile.map(([r, h]) => new THREE.Vector2(Math.max(r, 0), h)), AROUND);
  if (same(shape)) return new THREE.SphereGeometry(shape.radius, 20, 14);
  return new THREE.CylinderGeometry(shape.radius, shape.radius, 1, 20);
}

function same(shape) {
  return shape.kind === "rod" && shape.body === shape.other && shape.start.every((value, i) => Math.abs(value - shape.end[i]) < 1e-6);
}

function place(part, corner, sliders) {
  const shares = corner ? sharesOf(corner, sliders) : null;
  const where = (body) => (corner ? bodyAt(corner, body, shares) : STANDING);
  part.missing = false;
  for (const { mesh, shape } of part.pieces) {
    const pose = where(shape.body);
    const other = shape.kind === "rod" ? where(shape.other) : pose;
    mesh.visible = Boolean(pose && other);
    if (!mesh.visible) {
      part.missing = true;
      continue;
    }
    if (shape.kind === "rod" || shape.kind === "cylinder") {
      const start = new THREE.Vector3(...pointAt(part.at, pose, shape.start));
      const end = new THREE.Vector3(...pointAt(part.at, other, shape.end));
      if (same(shape)) mesh.matrix.makeTranslation(start.x, start.y, start.z);
      else along(mesh.matrix, start, end);
    } else {
      body(mesh.matrix, part.at, pose);
      const local = new THREE.Matrix4();
      if (shape.kind === "box") local.makeTranslation(...shape.middle).multiply(new THREE.Matrix4().makeScale(...shape.half));
      else local.compose(new THREE.Vector3(...shape.centre), new THREE.Quaternion().setFromUnitVectors(UP, new THREE.Vector3(...shape.axis).normalize()), new THREE.Vector3(1, 1, 1));
      mesh.matrix.multiply(local);
    }
    mesh.matrixWorldNeedsUpdate = true;
  }
}

function along(matrix, start, end) {
  const way = end.clone().sub(start);
  const length = Math.max(way.length(), 1e-6);
  const turn = new THREE.Quaternion().setFromUnitVectors(UP, way.clone().divideScalar(length));
  matrix.compose(start.add(end).multiplyScalar(0.5), turn, new THREE.Vector3(1, length, 1));
}

function body(matrix, at, pose) {
  const turned = new THREE.Matrix4().compose(new THREE.Vector3(pose[4], pose[5], pose[6]), new THREE.Quaternion(pose[0], pose[1], pose[2], pose[3]), new THREE.Vector3(1, 1, 1));
  matrix.makeTranslation(...at.shift).multiply(new THREE.Matrix4().makeScale(1, at.mirror ? -1 : 1, 1)).multiply(turned);
}

export function buildBoxes(scene, material) {
  const boxes = scene.boxes.map((box) => {
    const size = box.high.map((value, i) => value - box.low[i]);
    const mesh = new THREE.Mesh(new THREE.BoxGeometry(...size), material(box.kind, box.id));
    mesh.position.set(...box.low.map((value, i) => value + size[i] / 2));
    mesh.userData.thing = box.id;
    mesh.add(new THREE.LineSegments(new THREE.EdgesGeometry(mesh.geometry), material("edge", box.id)));
    return { ...box, group: mesh };
  });
  const masses = scene.masses.map((mass) => {
    const mesh = new THREE.Mesh(new THREE.SphereGeometry(1.1 * Math.cbrt(mass.grams), 18, 12), material("mass", mass.id));
    mesh.position.set(...mass.at);
    mesh.userData.thing = mass.id;
    return { ...mass, kind: "mass", group: mesh };
  });
  const decks = scene.decks.map((deck) => {
    const outline = new THREE.Shape(deck.outline.map(([x, y]) => new THREE.Vector2(x, y)));
    const mesh = new THREE.Mesh(new THREE.ShapeGeometry(outline), material("deck", deck.id));
    mesh.position.z = deck.height;
    mesh.userData.thing = deck.id;
    return { ...deck, kind: "deck", group: mesh };
  });
  return [...boxes, ...masses, ...decks];
}

// What the numbers alone say: a prism with its arches for the shell, discs for wheels that have no linkage yet.
export function buildOutline(outline, material, withWheels) {
  const group = new THREE.Group();
  const shell = outline.shell;
  if (shell) {
    const ground = outline.ground;
    const side = new THREE.Shape();
    const [nose, tail] = [shell.nose, shell.tail];
    const sill = ground + shell.sill;
    side.moveTo(nose, sill).lineTo(nose, ground + 0.55 * shell.height).lineTo(nose - 0.06 * (nose - tail), ground + shell.height);
    side.lineTo(tail, ground + shell.height).lineTo(tail, sill);
    const arches = [[-(outline.wheelbase ?? 0), shell.openings[1]], [0, shell.openings[0]]];
    for (const [x, wide] of arches) if (wide && (x === 0 || outline.wheelbase)) side.lineTo(x - wide / 2, sill).absarc(x, sill, wide / 2, Math.PI, 0, true);
    side.lineTo(nose, sill);
    const prism = new THREE.ExtrudeGeometry(side, { depth: 2 * shell.half_width, bevelEnabled: false, curveSegments: 24 });
    prism.rotateX(Math.PI / 2);
    prism.translate(0, shell.half_width, 0);
    const mesh = new THREE.Mesh(prism, material("outline", "shell"));
    mesh.userData.thing = "shell";
    mesh.add(new THREE.LineSegments(new THREE.EdgesGeometry(prism, 30), material("edge", "shell")));
    group.add(mesh);
  }
  for (const wheel of withWheels ? outline.wheels : []) {
    for (const side of [1, -1]) {
      const mesh = new THREE.Mesh(new THREE.CylinderGeometry(wheel.radius, wheel.radius, wheel.width, AROUND), material("tyre", wheel.name));
      mesh.position.set(wheel.x, side * wheel.half_track, outline.ground + wheel.radius);
      mesh.userData.thing = wheel.name;
      group.add(mesh);
    }
  }
  return group;
}

