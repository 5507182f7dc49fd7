"""Makes the harbour mail van's shell as a scanner would bring it home: python make_shell.py shell.stl

Invented, like the rest of the van. A forward-control panel van, open below, two skins with a wall between them, arches
with lips, openings for the windows; then what scanning does to it: noise on every vertex, a slow waviness, patches that
were not seen, and a pose of the scanner's choosing. The same arguments give the same file, byte for byte. Prints the
dimensions it was made to, as JSON. Needs numpy only.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Van:
    """What the shell is made to, in mm; heights over the sill, the lower edge of the body side."""

    length: float = 448.3
    width: float = 174.4
    roof_over_sill: float = 182.6
    nose_to_front_arch: float = 82.1
    wheelbase: float = 272.1
    arch_radius: float = 43.1
    arch_centre_over_sill: float = 3.5
    across_front: float = 174.2  # arch lip to arch lip, outside
    across_rear: float = 174.0
    wall: float = 2.0
    lip: float = 2.2  # wall at the arch's edge
    waist_over_sill: float = 89.9
    windscreen_width: float = 148.4
    windscreen_height: float = 61.8

    @property
    def rear_overhang(self) -> float:
        """Rear arch centre to the rearmost point."""
        return self.length - self.nose_to_front_arch - self.wheelbase


AS_FINISHED = Van()
AS_FOUND = replace(AS_FINISHED, width=182.9, across_front=182.6, across_rear=182.4, windscreen_width=155.8,
                   windscreen_height=57.6)  # fmt: skip

EDGE_RADIUS = 10.0  # of the body's long edges
BUMPER = 3.0  # it stands out by
TUMBLEHOME = 8.9  # the side leans in from waist to roof
TUCK_UNDER = 1.5  # and from waist to sill


@dataclass(frozen=True, eq=False)
class Skin:
    """The body's box as a lattice: where each corner lies before it is bent to shape, and its quads."""

    box: Floats  # (n, 3), x forward from the front arch centre, y left, z over the sill
    quads: Ints  # (m, 4)


def lattice(van: Van, step: float) -> Skin:
    """Five sides of a box in squares of about `step`; nothing below."""
    nose = van.nose_to_front_arch
    lines = [_line(nose - van.length + BUMPER, nose - BUMPER, step), _line(-van.width / 2, van.width / 2, step),
             _line(0.0, van.roof_over_sill, step)]  # fmt: skip
    counts = [len(line) for line in lines]
    corners = []
    for axis, end in ((0, 0), (0, -1), (1, 0), (1, -1), (2, -1)):
        first, second = (i for i in range(3) if i != axis)
        u, v = np.meshgrid(np.arange(counts[first] - 1), np.arange(counts[second] - 1), indexing="ij")
        quad = np.empty((u.size, 4, 3), dtype=np.int64)
        quad[..., axis] = end % counts[axis]
        for corner, (du, dv) in enumerate(((0, 0), (1, 0), (1, 1), (0, 1))):
            quad[:, corner, first], quad[:, corner, second] = u.ravel() + du, v.ravel() + dv
        outward = (end == -1) != (axis == 1)  # so that all normals point out
        corners.append(quad if outward else quad[:, ::-1])
    every = np.concatenate(corners)
    number = np.ravel_multi_index(tuple(every.reshape(-1, 3).T), tuple(counts))
    used, index = np.unique(number, return_inverse=True)
    places = np.unravel_index(used, tuple(counts))
    box = np.stack([line[place] for line, place in zip(lines, places, strict=True)], axis=-1)
    return Skin(box, index.reshape(-1, 4))


def _line(low: float, high: float, step: float) -> Floats:
    return np.linspace(low, high, max(2, round((high - low) / step) + 1))


def arch_distance(van: Van, x: Floats, z: Floats) -> Floats:
    """From the edge of the nearer arch opening, positive in the wall: a circle with straight legs down to the sill."""
    distances = []
    for centre in (0.0, -van.wheelbase):
        dx, dz = np.abs(x - centre), z - van.arch_centre_over_sill
        circle = np.hypot(dx, dz) - van.arch_radius
        legs = np.where(dz > 0, np.hypot(np.maximum(dx - van.arch_radius, 0), dz), dx - van.arch_radius)
        distances.append(np.where(dz > 0, circle, legs))
    return np.minimum(*distances)


def window(centre: tuple[float, float], size: tuple[float, float], corner: float) -> Callable[[Floats, Floats], Floats]:
    """Distance from the edge of a rectangle with rounded corners, positive outside."""

    def distance(u: Floats, v: Floats) -> Floats:
        qu, qv = np.abs(u - centre[0]) - size[0] / 2 + corner, np.abs(v - centre[1]) - size[1] / 2 + corner
        return np.hypot(np.maximum(qu, 0), np.maximum(qv, 0)) + np.minimum(np.maximum(qu, qv), 0) - corner

    return distance


def openings(van: Van) -> Iterator[tuple[int, int, Callable[[Floats, Floats], Floats]]]:
    """Axis and side (-1, 1) of the box's face, and the distance from the opening's edge in that face."""
    nose, tail = van.nose_to_front_arch, van.nose_to_front_arch - van.length
    for side in (-1, 1):
        yield 1, side, lambda x, z: arch_distance(van, x, z)
        yield 1, side, window((nose - 78.0, 122.0), (62.0, 48.0), 6.0)  # cab door
        yield 0, -1, window((side * 38.0, 125.0), (46.0, 44.0), 5.0)  # load doors
    yield 1, 1, window(((nose + tail) / 2 - 40.0, 125.0), (90.0, 36.0), 5.0)  # a counter hatch, on the left only
    yield 0, 1, window((0.0, 98.0 + van.windscreen_height / 2), (van.windscreen_width, van.windscreen_height), 8.0)


def cut(van: Van, skin: Skin) -> Skin:
    """The lattice without what lies in an opening; its edge is drawn onto the opening's outline."""
    box, keep = skin.box.copy(), np.ones(len(skin.quads), dtype=bool)
    low, high = skin.box.min(axis=0), skin.box.max(axis=0)
    for axis, side, distance in openings(van):
        face = (high if side > 0 else low)[axis]
        on_face = (skin.box[skin.quads, axis] == face).all(axis=1)
        first, second = (i for i in range(3) if i != axis)
        middle = skin.box[skin.quads].mean(axis=1)
        gone = on_face & (distance(middle[:, first], middle[:, second]) < 0)
        edge = np.intersect1d(skin.quads[gone], skin.quads[on_face & ~gone])
        u, v = skin.box[edge, first], skin.box[edge, second]
        for _ in range(3):  # along the gradient; the second and third time for the corners
            away, tiny = distance(u, v), 1e-4
            du = (distance(u + tiny, v) - distance(u - tiny, v)) / (2 * tiny)
            dv = (distance(u, v + tiny) - distance(u, v - tiny)) / (2 * tiny)
            size = np.maximum(du * du + dv * dv, 0.25)
            u, v = u - away * du / size, v - away * dv / size
        box[edge, first], box[edge, second] = u, v
        at_sill = skin.box[edge, 2] == low[2]
        box[edge[at_sill], 2] = low[2]
        keep &= ~gone
    return Skin(box, skin.quads[keep])


def shaped(van: Van, box: Floats, *, inner: bool) -> Floats:
    """Where the box's points lie on the finished body: edges rounded, sides, nose and roof bent."""
    low, high = box.min(axis=0), box.max(axis=0)
    core_low, core_high = low + EDGE_RADIUS, high - EDGE_RADIUS
    core_low[2] = low[2]  # the sill's edge is not rounded
    core = np.clip(box, core_low, core_high)
    away = box - core
    reach = np.linalg.norm(away, axis=-1, keepdims=True)
    radius = EDGE_RADIUS - (van.wall if inner else 0.0)
    x, y, z = np.moveaxis(core + away / np.where(reach > 0, reach, 1.0) * radius, -1, 0)
    half = van.width / 2

    over_waist = z - van.waist_over_sill
    lean = np.where(over_waist > 0, TUMBLEHOME * (over_waist / (van.roof_over_sill - van.waist_over_sill)) ** 2,
                    TUCK_UNDER * (over_waist / van.waist_over_sill) ** 2)  # fmt: skip
    at_lip = 1.0 - _smooth((arch_distance(van, box[..., 0], box[..., 2]) - 3.0) / 3.0)
    across = np.where(box[..., 0] > -van.wheelbase / 2, van.across_front, van.across_rear)
    out = (1 - at_lip) * -lean + at_lip * (across / 2 - half)  # the lip's outer face stands upright
    if inner:
        out = out - at_lip * (van.lip - van.wall)
    on_side = np.clip(np.abs(y) / (half - EDGE_RADIUS), 0, 1)  # the roof's middle stays where it is
    y = y + np.sign(y) * on_side * out

    front, rear = _smooth((x - high[0]) / 33.0 + 1.0), _smooth((low[0] - x) / 33.0 + 1.0)  # clear of the arches
    bumper = _smooth((z - 4.0) / 2.0) * _smooth((18.0 - z) / 2.0) * BUMPER
    crown = 8.0 * np.maximum(np.abs(y) / half - 0.2, 0.0) ** 2  # flat in the middle
    x = x + front * (bumper - crown - 0.22 * np.maximum(over_waist, 0)) - rear * (bumper - crown)
    z = z - 3.0 * (y / half) ** 2 * np.clip(z / van.roof_over_sill, 0, 1) ** 8
    return np.stack([x, y, z], axis=-1)


def _smooth(t: Floats) -> Floats:
    t = np.clip(t, 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)


def drawn(van: Van, *, step: float) -> tuple[Floats, Ints]:
    """The shell as designed, without scanning: vertices (n, 3) and triangles (m, 3), both skins and the edges."""
    skin = cut(van, lattice(van, step))
    outer, inner = shaped(van, skin.box, inner=False), shaped(van, skin.box, inner=True)
    n = len(outer)
    sides = np.concatenate([skin.quads[:, [i, (i + 1) % 4]] for i in range(4)])
    key = np.sort(sides, axis=1) @ np.array([n, 1])
    _, first, count = np.unique(key, return_index=True, return_counts=True)
    rim = sides[first[count == 1]]
    ends = np.unique(rim)
    middle = (outer[ends] + inner[ends]) / 2  # so that an edge's face has three rows of vertices
    between = np.full(n, -1)
    between[ends] = 2 * n + np.arange(len(ends))
    a, b = rim.T
    edge = np.concatenate([np.stack([b, a, between[a], between[b]], -1),
                           np.stack([between[b], between[a], a + n, b + n], -1)])  # fmt: skip
    quads = np.concatenate([skin.quads, skin.quads[:, ::-1] + n, edge])
    faces = np.concatenate([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]])
    vertices = np.concatenate([outer, inner, middle])
    used, index = np.unique(faces, return_inverse=True)
    return vertices[used], index.reshape(-1, 3)


def scanned(vertices: Floats, faces: Ints, *, noise: float, holes: int, random: np.random.Generator
            ) -> tuple[Floats, Ints]:  # fmt: skip
    """What the scanner makes of it: `noise` is one standard deviation, each way, of every vertex."""
    wave = random.normal(size=(3, 3)) * 0.02
    phase = random.uniform(0, 2 * np.pi, 3)
    seen = vertices + noise / 3 * np.sin(vertices @ wave + phase)  # slow, over some hundred millimetres
    seen = seen + random.normal(scale=noise, size=vertices.shape)
    middle = vertices[faces].mean(axis=1)
    gone = np.zeros(len(faces), dtype=bool)
    for spot in random.choice(len(faces), holes, replace=False):
        gone |= np.linalg.norm(middle - middle[spot], axis=1) < random.uniform(2.0, 7.0)
    return seen, faces[~gone]


def anyhow(random: np.random.Generator) -> Floats:
    """A rotation matrix, every pose equally likely."""
    q, r = np.linalg.qr(random.normal(size=(3, 3)))
    q = q * np.sign(np.diag(r))
    return q if np.linalg.det(q) > 0 else q[:, [1, 0, 2]]


@dataclass(frozen=True, eq=False, kw_only=True)
class Made:
    """A scan and what it was made to."""

    vertices: Floats
    faces: Ints
    truth: dict[str, Any]


def make(van: Van = AS_FINISHED, *, seed: int = 1, step: float = 2.2, noise: float = 0.07, holes: int = 14,
         posed: bool = True) -> Made:  # fmt: skip
    """The scan, in mm, and its truth; `file_from_shell` carries the shell's frame (front arch centre, sill) to it."""
    random = np.random.default_rng(seed)
    vertices, faces = scanned(*drawn(van, step=step), noise=noise, holes=holes, random=random)
    rotation = anyhow(random) if posed else np.eye(3)
    shift = random.uniform(-300, 300, 3) if posed else np.zeros(3)
    sides = {"front": (0.0, van.across_front), "rear": (-van.wheelbase, van.across_rear)}
    arches = {
        f"{end} {side}": {"x": x, "y": sign * across / 2, "z": van.arch_centre_over_sill, "radius": van.arch_radius}
        for end, (x, across) in sides.items() for side, sign in (("left", 1), ("right", -1))
    }  # fmt: skip
    truth = {**asdict(van), "rear_overhang": van.rear_overhang, "arches": arches, "noise": noise, "seed": seed,
             "triangles": len(faces), "file_from_shell": np.column_stack([rotation, shift]).tolist()}  # fmt: skip
    return Made(vertices=vertices @ rotation.T + shift, faces=faces, truth=truth)


def write_stl(path: Path, vertices: Floats, faces: Ints) -> None:
    """Binary STL: 80 bytes, a count, then 50 bytes a triangle."""
    corners = vertices[faces].astype("<f4")
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-12)
    rows = np.zeros(len(faces), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    rows["normal"], rows["corners"] = normals, corners
    header = b"harbour mail van, invented".ljust(80)
    path.write_bytes(header + np.uint32(len(faces)).tobytes() + rows.tobytes())


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description="Writes the harbour mail van's shell as a scan; prints its truth.")
    parser.add_argument("file", type=Path, help="where to write it, binary STL in mm")
    parser.add_argument("--as-found", action="store_true", help="the wide shell, before 8.5 mm were taken out of it")
    parser.add_argument("--seed", type=int, default=1, help="another number, another scan and pose")
    parser.add_argument("--step", type=float, default=2.2, help="about how far vertices lie apart, mm")
    parser.add_argument("--noise", type=float, default=0.07, help="standard deviation of a vertex, mm")
    options = parser.parse_args()
    made = make(AS_FOUND if options.as_found else AS_FINISHED, seed=options.seed, step=options.step,
                noise=options.noise)  # fmt: skip
    write_stl(options.file, made.vertices, made.faces)
    sys.stdout.write(json.dumps(made.truth) + "\n")


if __name__ == "__main__":
    main()
