// Where the drawing is looked at from, without perspective: the turned view and three elevations, to one scale.

import * as THREE from "./vendor/three.module.min.js";

const VIEWS = { // where the eye is, and what is up in the picture
  "3d": [[0.62, -0.66, 0.42], [0, 0, 1]],
  side: [[0, -1, 0], [0, 0, 1]],
  plan: [[0, 0, 1], [0, 1, 0]],
  end: [[1, 0, 0], [0, 0, 1]],
};
const RIM = 32; // pixels left free round the vehicle

export class Eye {
  constructor() {
    this.camera = new THREE.OrthographicCamera(-1, 1, 1, -1, -4000, 4000);
    this.centre = new THREE.Vector3(-140, 0, 60);
    this.zoom = 1;
    this.fit = 1;
    this.width = 0;
    this.height = 0;
    this.direct("3d");
  }

  direct(name) {
    this.name = name;
    const [at, up] = VIEWS[name];
    this.at = new THREE.Vector3(...at).normalize();
    this.up = new THREE.Vector3(...up);
  }

  get pixelsPerMm() {
    return this.fit * this.zoom;
  }

  // The elevations share one scale: that of the one which needs most room.
  fitTo(box) {
    const corners = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => new THREE.Vector3(i & 1 ? box.max.x : box.min.x, i & 2 ? box.max.y : box.min.y, i & 4 ? box.max.z : box.min.z));
    const room = (name) => {
      const [at, up] = VIEWS[name].map((way) => new THREE.Vector3(...way).normalize());
      const right = up.clone().cross(at).normalize();
      const over = at.clone().cross(right);
      const wide = (way) => Math.max(...corners.map((one) => one.dot(way))) - Math.min(...corners.map((one) => one.dot(way)));
      const rim = name === "3d" ? RIM : 2.6 * RIM; // where dimension lines go
      return Math.min(Math.max(this.width - 2 * rim, 80) / wide(right), Math.max(this.height - 2 * Math.min(rim, 0.3 * this.height), 60) / wide(over));
    };
    this.fit = this.name === "3d" ? room("3d") : Math.min(room("side"), room("plan"), room("end"));
  }

  aim() {
    const scale = 2 * this.pixelsPerMm;
    Object.assign(this.camera, { left: -this.width / scale, right: this.width / scale, top: this.height / scale, bottom: -this.height / scale });
    this.camera.up.copy(this.up);
    this.camera.position.copy(this.centre).addScaledVector(this.at, 1500);
    this.camera.lookAt(this.centre);
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
  }

  project(point) {
    const at = new THREE.Vector3(...point).project(this.camera);
    return [((at.x + 1) / 2) * this.width, ((1 - at.y) / 2) * this.height];
  }

  ray(x, y) {
    const ray = new THREE.Raycaster();
    ray.setFromCamera(new THREE.Vector2((x / this.width) * 2 - 1, 1 - (y / this.height) * 2), this.camera);
    return ray;
  }

  orbit(dx, dy) {
    if (this.name !== "3d") return void this.pan(dx, dy);
    const flat = Math.atan2(this.at.y, this.at.x) - dx * 0.008;
    const rise = Math.min(1.5, Math.max(-1.5, Math.asin(this.at.z) + dy * 0.008));
    this.at.set(Math.cos(rise) * Math.cos(flat), Math.cos(rise) * Math.sin(flat), Math.sin(rise));
  }

  pan(dx, dy) {
    const right = new THREE.Vector3().setFromMatrixColumn(this.camera.matrixWorld, 0);
    const up = new THREE.Vector3().setFromMatrixColumn(this.camera.matrixWorld, 1);
    this.centre.addScaledVector(right, -dx / this.pixelsPerMm).addScaledVector(up, dy / this.pixelsPerMm);
  }

  magnify(times) {
    this.zoom = Math.min(40, Math.max(0.2, this.zoom * times));
  }
}
