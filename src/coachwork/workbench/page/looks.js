// What each kind of thing is drawn with, in light and dark, plain, lit, or as a ghost behind what is coloured.

import * as THREE from "./vendor/three.module.min.js";

const LOOKS = {
  light: { tyre: 0x3c4650, rim: 0xa9b3bd, shaft: 0x6a7b8c, damper: 0x7c93ab, links: 0x42688f, steering: 0x2b6a74, parts: 0x9aa3ac, pins: 0x42688f, "anti-roll-bar": 0x42688f, box: 0x9fbfdf, "keep-out": 0xc8c4b8, mass: 0xb9a77a, deck: 0xd7dce0, made: 0xb7bfae, sweep: 0xb98a2f, shell: 0x0b3866, outline: 0x0b3866, edge: 0x5d7389, ink: 0x16212c, lit: 0xd55e00, litBeside: 0xb0478a },
  dark: { tyre: 0x6e7a86, rim: 0xb5c0ca, shaft: 0x8fa2b5, damper: 0x93aac2, links: 0x7fa9d6, steering: 0x6fb3bd, parts: 0x8d98a3, pins: 0x7fa9d6, "anti-roll-bar": 0x7fa9d6, box: 0x5c7ea3, "keep-out": 0x75705f, mass: 0xa9966a, deck: 0x2f3a45, made: 0x8d9a86, sweep: 0xd9b35f, shell: 0x9cc4f0, outline: 0x9cc4f0, edge: 0x8aa2ba, ink: 0xe8edf1, lit: 0xff9a3d, litBeside: 0xe08ac0 },
};
const CLEAR = { box: 0.75, "keep-out": 0.3, deck: 0.5, outline: 0.1, sweep: 0.28 };
const GHOST = 0.1;

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

export class Looks {
  constructor(cut) {
    this.cut = cut;
    this.theme = "light";
    this.lit = new Set();
    this.ghostly = false;
    this.painted = false; // something is coloured by numbers: what is lit then has a hue that no legend has
    this.made = new Map();
  }

  of(kind, thing) {
    const lit = this.lit.has(thing);
    const ghost = this.ghostly && !lit;
    const name = `${this.theme} ${kind} ${lit} ${ghost} ${lit && this.painted}`;
    if (!this.made.has(name)) this.made.set(name, this.make(kind, lit, ghost));
    return this.made.get(name);
  }

  // Of what the section plane goes through.
  ink() {
    const name = `${this.theme} ink`;
    if (!this.made.has(name)) this.made.set(name, new THREE.LineBasicMaterial({ color: LOOKS[this.theme].ink, depthTest: false }));
    return this.made.get(name);
  }

  make(kind, lit, ghost) {
    const look = LOOKS[this.theme];
    const color = lit ? (this.painted ? look.litBeside : look.lit) : look[kind] ?? look.parts;
    const opacity = Math.min(CLEAR[kind] ?? 1, ghost ? GHOST : 1);
    const clippingPlanes = [this.cut];
    if (kind === "edge") return new THREE.LineBasicMaterial({ color, opacity, transparent: opacity < 1, depthWrite: opacity === 1, clippingPlanes });
    if (kind === "shell") {
      const uniforms = { ink: { value: new THREE.Color(color) }, least: { value: ghost ? 0.01 : 0.05 }, most: { value: ghost ? 0.15 : lit ? 0.42 : 0.6 } };
      return new THREE.ShaderMaterial({ ...SHELL, uniforms, transparent: true, depthWrite: false, side: THREE.DoubleSide, clipping: true, clippingPlanes });
    }
    return new THREE.MeshLambertMaterial({ color, opacity, transparent: opacity < 1, depthWrite: opacity === 1, side: THREE.DoubleSide, clippingPlanes });
  }
}
