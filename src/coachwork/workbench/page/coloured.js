// Surfaces coloured by a number at each of their corners, and the number read off where one points.

import * as THREE from "./vendor/three.module.min.js";

const SHADES = 512;
const PAINT = {
  vertexShader: `
    #include <clipping_planes_pars_vertex>
    attribute float share;
    varying float vShare;
    varying vec3 vNormal;
    void main() {
      vShare = share;
      vNormal = normalize(normalMatrix * normal);
      vec4 mvPosition = modelViewMatrix * vec4(position, 1.0);
      #include <clipping_planes_vertex>
      gl_Position = projectionMatrix * mvPosition;
    }`,
  fragmentShader: `
    #include <clipping_planes_pars_fragment>
    uniform sampler2D shades;
    uniform float shadow;
    varying float vShare;
    varying vec3 vNormal;
    void main() {
      #include <clipping_planes_fragment>
      float facing = abs(normalize(vNormal).z);
      vec3 colour = texture2D(shades, vec2(clamp(vShare, 0.001, 0.999), 0.5)).rgb;
      gl_FragColor = vec4(colour * (1.0 - shadow * (1.0 - facing)), 1.0);
    }`,
};
const HERE = new THREE.Matrix4();

export class Coloured {
  constructor(cut) {
    this.cut = cut;
    this.group = new THREE.Group();
    this.surfaces = [];
  }

  clear() {
    for (const { geometry, material } of this.surfaces) (geometry.dispose(), material.uniforms.shades.value.dispose(), material.dispose());
    this.group.clear();
    this.surfaces = [];
  }

  // places: matrices, row by row, one for each place where the part is fitted; rides: a drawn mesh that it goes with
  add(id, surface, row, scale, { places = null, rides = null, shadow = 0.15 } = {}) {
    let geometry = new THREE.BufferGeometry();
    geometry.setAttribute("position", new THREE.BufferAttribute(surface.vertices, 3));
    geometry.setAttribute("share", new THREE.BufferAttribute(Float32Array.from(surface.rows[row], scale.place), 1));
    geometry.setIndex(new THREE.BufferAttribute(surface.faces, 1));
    geometry = geometry.toNonIndexed();
    geometry.computeVertexNormals();
    const material = new THREE.ShaderMaterial({
      ...PAINT, uniforms: { shades: { value: shadesOf(scale) }, shadow: { value: shadow } }, side: THREE.DoubleSide, transparent: true, // with the clear ones, and after them
      clipping: true, clippingPlanes: [this.cut], polygonOffset: true, polygonOffsetFactor: -2, polygonOffsetUnits: -2,
    });
    for (const place of places ?? [null]) {
      const mesh = new THREE.Mesh(geometry, material);
      mesh.matrixAutoUpdate = false;
      if (place) mesh.matrix.set(...place.flat());
      if (rides) mesh.matrix = rides.matrix; // the very same, moved with it
      mesh.renderOrder = 6;
      mesh.userData = { id, surface };
      this.group.add(mesh);
    }
    this.surfaces.push({ id, surface, geometry, material, matrix: rides?.matrix ?? (places ? new THREE.Matrix4().set(...places[0].flat()) : HERE), rides });
  }

  // After the sliders have moved what it goes with.
  moved() {
    for (const mesh of this.group.children) {
      const { rides } = this.surfaces.find((one) => one.id === mesh.userData.id);
      if (!rides) continue;
      mesh.visible = rides.visible;
      mesh.matrixWorldNeedsUpdate = true;
    }
  }

  // What is met first along a ray: rows of values there, the nearest corner, how far away.
  probe(ray) {
    if (!this.surfaces.length) return null;
    const hit = ray.intersectObject(this.group, true).find((one) => this.cut.distanceToPoint(one.point) >= 0);
    if (!hit) return null;
    const { id, surface } = hit.object.userData;
    const [a, b, c] = surface.faces.subarray(3 * hit.faceIndex, 3 * hit.faceIndex + 3);
    const parts = [hit.barycoord.x, hit.barycoord.y, hit.barycoord.z];
    const corner = [a, b, c][parts.indexOf(Math.max(...parts))];
    const value = (row) => surface.rows[row][a] * parts[0] + surface.rows[row][b] * parts[1] + surface.rows[row][c] * parts[2];
    return { id, surface, corner, value, point: hit.point.toArray(), distance: hit.distance };
  }

  // The same at a corner of a surface.
  at(id, corner) {
    const found = this.surfaces.find((one) => one.id === id);
    if (!found) return null;
    const { surface, matrix } = found;
    const point = new THREE.Vector3().fromArray(surface.vertices, 3 * corner).applyMatrix4(matrix);
    return { id, surface, corner, value: (row) => surface.rows[row][corner], point: point.toArray() };
  }
}

function shadesOf(scale) {
  const shades = new Uint8Array(4 * SHADES);
  for (let i = 0; i < SHADES; i += 1) shades.set([...scale.colour((i + 0.5) / SHADES), 255], 4 * i);
  const texture = new THREE.DataTexture(shades, SHADES, 1);
  texture.needsUpdate = true;
  return texture;
}
