// Where a body is between the poses that were computed: straight from one to the next, turned the short way round.
// No library here, so that it can be tested by itself.

export const STANDING = [0, 0, 0, 1, 0, 0, 0]; // quaternion x y z w, shift

// Shares of a corner for the three sliders: what lifts one side of the vehicle drops the other.
export function sharesOf(corner, { travel, lock, roll }) {
  const clamp = (share) => Math.min(1, Math.max(-1, share));
  const left = clamp(travel + roll);
  const right = clamp(travel - roll);
  const mine = corner.name.endsWith("right") ? right : left;
  return [mine, corner.steered ? lock : 0, corner.name.endsWith("right") ? left : right];
}

// Pose of a body at shares; null where no computed pose near it can be.
export function bodyAt(corner, body, shares) {
  if (body === "chassis" || body === "shell") return STANDING;
  const poses = corner.poses[body];
  if (!poses) return STANDING;
  const sum = [0, 0, 0, 0, 0, 0, 0];
  let first = null;
  let weight = 0;
  for (const [index, part] of around(corner.axes, shares)) {
    const pose = poses[index];
    if (!pose || part === 0) continue;
    first ??= pose;
    const same = pose[0] * first[0] + pose[1] * first[1] + pose[2] * first[2] + pose[3] * first[3] < 0 ? -1 : 1;
    for (let i = 0; i < 4; i += 1) sum[i] += part * same * pose[i];
    for (let i = 4; i < 7; i += 1) sum[i] += part * pose[i];
    weight += part;
  }
  if (weight < 0.5) return null;
  const size = Math.hypot(sum[0], sum[1], sum[2], sum[3]);
  return sum.map((value, i) => (i < 4 ? value / size : value / weight));
}

// Indices of the grid's corners round the shares, with the part each has.
function around(axes, shares) {
  let found = [[0, 1]];
  axes.forEach((axis, i) => {
    const [low, high, part] = between(axis, shares[i]);
    found = found.flatMap(([index, weight]) => [
      [index * axis.length + low, weight * (1 - part)],
      [index * axis.length + high, weight * part],
    ]);
  });
  return found.filter(([, weight]) => weight > 0);
}

function between(axis, share) {
  if (axis.length === 1) return [0, 0, 0];
  const at = ((share - axis[0]) / (axis.at(-1) - axis[0])) * (axis.length - 1);
  const low = Math.min(axis.length - 2, Math.max(0, Math.floor(at)));
  return [low, low + 1, Math.min(1, Math.max(0, at - low))];
}

// Millimetres of travel of a corner's hub.
export function travelOf(corner, shares) {
  const [low, high, part] = between(corner.axes[0], shares[0]);
  return corner.travel_mm[low] * (1 - part) + corner.travel_mm[high] * part;
}

// A drawn point on a body, in the chassis frame.
export function pointAt(corner, pose, point) {
  const [x, y, z, w] = pose;
  const [px, py, pz] = point;
  const tx = 2 * (y * pz - z * py);
  const ty = 2 * (z * px - x * pz);
  const tz = 2 * (x * py - y * px);
  const turned = [px + w * tx + y * tz - z * ty, py + w * ty + z * tx - x * tz, pz + w * tz + x * ty - y * tx];
  return [turned[0] + pose[4] + corner.shift[0], (corner.mirror ? -1 : 1) * (turned[1] + pose[5]) + corner.shift[1], turned[2] + pose[6] + corner.shift[2]];
}

// Whether a mark's pose is the one shown; a mark that does not depend on travel or lock is in every one.
export function inPose(mark, corners, sliders) {
  if (!mark.pose) return true;
  const corner = corners.find((one) => one.name === mark.pose.wheel);
  if (!corner) return true;
  const [travel, lock] = sharesOf(corner, sliders);
  const near = (wanted, share, within) => wanted === null || Math.abs(wanted - share) <= within;
  return near(mark.pose.travel, travel, 0.2) && near(mark.pose.lock, lock, 0.15);
}

// Sliders that show a mark's pose.
export function slidersFor(mark) {
  return { travel: mark.pose?.travel ?? 0, lock: mark.pose?.lock ?? 0, roll: 0 };
}
