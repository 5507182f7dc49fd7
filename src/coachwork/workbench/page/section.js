// Where the section plane cuts: the outline of everything it goes through, as a heavy line, and where the plane stands.

import * as THREE from "./vendor/three.module.min.js";

export const CUTS = { along: [0, 1, 0], across: [-1, 0, 0], level: [0, 0, -1] }; // which side of the plane is left

// Points of the pieces in which a plane cuts meshes' triangles, two a piece.
export function cutOf(meshes, plane) {
  const points = [];
  const local = new THREE.Plane();
  const point = new THREE.Vector3();
  for (const mesh of meshes) {
    const { index, attributes } = mesh.geometry;
    const xyz = attributes.position.array;
    const count = index ? index.count : attributes.position.count;
    local.copy(plane).applyMatrix4(mesh.matrixWorld.clone().invert());
    const { normal: { x, y, z }, constant } = local;
    const high = (i) => x * xyz[i] + y * xyz[i + 1] + z * xyz[i + 2] + constant;
    const crossed = (i, u, j, v) => {
      if (u > 0 === v > 0) return;
      const share = u / (u - v);
      point.set(xyz[i] + share * (xyz[j] - xyz[i]), xyz[i + 1] + share * (xyz[j + 1] - xyz[i + 1]), xyz[i + 2] + share * (xyz[j + 2] - xyz[i + 2]));
      point.applyMatrix4(mesh.matrixWorld);
      points.push(point.x, point.y, point.z);
    };
    for (let k = 0; k + 2 < count; k += 3) {
      const [i, j, l] = index ? [3 * index.array[k], 3 * index.array[k + 1], 3 * index.array[k + 2]] : [3 * k, 3 * k + 3, 3 * k + 6];
      const [u, v, w] = [high(i), high(j), high(l)];
      if (u > 0 === v > 0 && v > 0 === w > 0) continue;
      crossed(i, u, j, v);
      crossed(j, v, l, w);
      crossed(l, w, i, u);
    }
  }
  return new Float32Array(points);
}

// Where a plane stands, in words a builder can put the callipers to.
export function standsAt(way, mm) {
  const size = `${Math.abs(mm).toFixed(0)} mm`;
  if (way === "level") return `${size} ${mm < 0 ? "below" : "above"} the underside`;
  if (Math.abs(mm) < 0.5) return way === "along" ? "on the centreline" : "through the front axle";
  if (way === "along") return `${size} to the ${mm > 0 ? "left" : "right"}`;
  return `${size} ${mm > 0 ? "before" : "behind"} the front axle`;
}
