"""Poses a second of a wheel against a shell of 200,000 triangles: a loop over a collision library, and the box tree.

The case is invented: a 1:10 shell's side and top around one wheel, its triangles as fine as a scan's, over 425 poses
(17 of travel, 25 of lock, each leaning and turning the wheel). Once with an arch cut out of its side, once with an
inner tub close around the whole tyre besides, where nothing much can be culled.

The baseline is what one would write with python-fcl: a bounding-volume tree over the shell and one over a tyre of
20,000 triangles, built once, then one distance query a pose. Building both is in its time, as building our tree is in
ours. Its tyre of flat triangles is off by up to 0.01 mm, ours is round; both are checked against each other.
"""

import resource
import sys
import time
from collections.abc import Iterator
from functools import partial

import numpy as np

from benchmarks.rows import Row
from coachwork.geometry.box_tree import BoxTree
from coachwork.geometry.rigid import Motion
from coachwork.geometry.sections import Barrel
from coachwork.geometry.solids import Revolved

TYRE = Barrel(outer=np.array([34.5]), half_width=np.array([11.5]), shoulder=np.array([3.0]), crown=np.array([60.0]))
TRIANGLES = 200_000
FINENESS_MM = 0.02  # of the library's tyre


def rows() -> Iterator[Row]:
    """Both shells; wanted: 5 times with arches, 3 times with a tub."""
    for name, wanted, shell in (("shell with arches", 5, with_arch()), ("with an inner tub", 3, with_tub())):
        motions = poses()
        centre, axis = motions.shift + np.array([0.0, 75.0, 25.0]), motions.turn(np.array([[0.0, 1.0, 0.0]]))
        started = time.perf_counter()
        search(shell, centre, axis)  # loads the compiled loop, or compiles it where it never ran
        first_s = time.perf_counter() - started
        ours, ours_s = best_of_three(partial(search, shell, centre, axis))
        theirs, theirs_s = best_of_three(partial(looped, shell, centre, axis))
        clear = ours > 0.05
        off = np.abs(ours - theirs)[clear]
        assert clear.sum() > 100, "the case must have poses to compare"
        assert off.max() < FINENESS_MM, off.max()
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        yield Row(
            name=f"{name} (poses, {len(shell):,} triangles)", per_second=len(ours) / ours_s, baseline="library loop",
            baseline_per_second=len(ours) / theirs_s, wanted_ratio=wanted,
        )  # fmt: skip
        print(
            f"    {ours_s:.2f} s (first run {first_s:.2f} s) against {theirs_s:.2f} s; least {ours.min():.2f} mm, "
            f"largest difference {off.max():.4f} mm; peak memory so far {peak:.0f} MB"
        )


def best_of_three(work):
    """The answer and the shortest time."""
    times = []
    for _ in range(3):
        started = time.perf_counter()
        answer = work()
        times.append(time.perf_counter() - started)
    return answer, min(times)


def poses() -> Motion:
    """17 x 25 motions of the wheel about its middle."""
    travel, lock = (array.ravel() for array in np.meshgrid(np.linspace(-7, 7, 17), np.linspace(-0.55, 0.55, 25)))
    turned = Motion.about(np.zeros(3), np.array([0.0, 0.1, 1.0]), lock)
    leant = Motion.about(np.zeros(3), np.array([1.0, 0.0, 0.0]), -0.01 * travel)
    both = turned @ leant
    return Motion(both.rotation, np.stack([np.zeros_like(travel), -0.1 * np.abs(travel), travel], axis=-1))


def search(shell, centre, axis):
    """Ours, with its tree and its word on how far it is."""
    tree = BoxTree.over([shell])

    def tell(done, of):
        if sys.stderr.isatty():
            sys.stderr.write(f"\r\x1b[K{done} of {of} poses")

    found = tree.least(Revolved(centre=centre, axis=axis, section=TYRE), over_all=False, watch=tell)
    if sys.stderr.isatty():
        sys.stderr.write("\r\x1b[K")
    return found.distance


def looped(shell, centre, axis):
    """The library's, 0 where they touch."""
    import fcl

    model = fcl.BVHModel()
    flat = shell.reshape(-1, 3)
    model.beginModel(len(flat), len(shell))
    model.addSubModel(flat, np.arange(len(flat)).reshape(-1, 3))
    model.endModel()
    vertices, faces = tyre_mesh()
    tyre = fcl.BVHModel()
    tyre.beginModel(len(vertices), len(faces))
    tyre.addSubModel(vertices, faces)
    tyre.endModel()
    body, wheel = fcl.CollisionObject(model), fcl.CollisionObject(tyre)
    distances = []
    for middle, out in zip(centre, axis, strict=True):
        turn = Motion.between(np.zeros(3), np.zeros(3), np.array([0.0, 1.0, 0.0]), out).rotation
        wheel.setTransform(fcl.Transform(turn, middle))
        result = fcl.DistanceResult()
        distances.append(fcl.distance(wheel, body, fcl.DistanceRequest(), result))
    return np.maximum(distances, 0.0)


def tyre_mesh(around: int = 200, along: int = 50):
    """The tyre's surface as triangles, its axis along y: vertices on the round surface."""
    edge = float(TYRE.half_width[0] - TYRE.shoulder[0])
    middle, crown = float(TYRE.outer[0] - TYRE.crown[0]), float(TYRE.crown[0])
    slope = np.arcsin(edge / (crown - TYRE.shoulder[0]))
    over = np.linspace(-slope, slope, along // 2)
    corner = middle + (crown - TYRE.shoulder[0]) * np.cos(slope)
    round_off = np.linspace(slope, np.pi / 2, along // 4)[1:]
    shoulder = np.stack([corner + TYRE.shoulder * np.cos(round_off), edge + TYRE.shoulder * np.sin(round_off)], axis=-1)
    side = np.array([[0.0, edge + TYRE.shoulder[0]]])
    crown_line = np.stack([middle + crown * np.cos(over), crown * np.sin(over)], axis=-1)
    half = np.concatenate([shoulder, side])
    line = np.concatenate([(half * [1, -1])[::-1], crown_line, half])
    angle = np.linspace(0, 2 * np.pi, around, endpoint=False)
    vertices = np.stack(
        [line[:, :1] * np.cos(angle), np.repeat(line[:, 1:], around, axis=1), line[:, :1] * np.sin(angle)], axis=-1
    )
    return vertices.reshape(-1, 3), quads(len(line), around, closed=True)


def quads(rings: int, around: int, *, closed: bool):
    """Faces between neighbouring rings of vertices."""
    columns = around if closed else around - 1
    i, j = (array.ravel() for array in np.meshgrid(np.arange(rings - 1), np.arange(columns), indexing="ij"))
    a, b = i * around + j, i * around + (j + 1) % around
    return np.concatenate([np.stack([a, b, a + around], axis=-1), np.stack([b, b + around, a + around], axis=-1)])


def with_arch(triangles: int = TRIANGLES):
    """A side wall with a round arch cut out and its lip turned in, and a roof; scan-like noise of 0.02 mm."""
    lip = triangles // 8
    side = sheet(
        triangles - lip, lambda u, v: np.stack([250 * (u - 0.5), 88 + 4 * np.sin(3 * v), 150 * v - 5], axis=-1)
    )
    centre = side.mean(axis=1)
    side = side[np.hypot(centre[:, 0], centre[:, 2] - 25) > 43]
    inner = sheet(
        triangles - len(side),
        lambda u, v: np.stack([43 * np.cos(np.pi * u), 88 - 2.2 * v, 25 + 43 * np.sin(np.pi * u)], axis=-1),
    )
    return noisy(np.concatenate([side, inner]))


def with_tub(triangles: int = TRIANGLES):
    """The same, and half of its triangles in a tub that follows the tyre's own sweep closely."""
    tub = sheet(
        triangles // 2,
        lambda u, v: np.stack([42 * np.cos(np.pi * u), 87 - 43 * v, 26 + 42.5 * np.sin(np.pi * u)], axis=-1),
    )
    back = sheet(
        triangles // 8,
        lambda u, v: np.stack([84 * (u - 0.5), 44 + 0 * u, 70 * v], axis=-1),
    )
    return noisy(np.concatenate([with_arch(triangles - len(tub) - len(back)), tub, back]))


def sheet(triangles, shape):
    """About so many triangles of a surface over the unit square."""
    side = max(2, round(np.sqrt(triangles / 2)) + 1)
    u, v = np.meshgrid(np.linspace(0, 1, side), np.linspace(0, 1, side), indexing="ij")
    return shape(u.ravel(), v.ravel())[quads(side, side, closed=False)]


def noisy(triangles):
    """Moved by what a scanner errs; neighbouring triangles alike."""
    wave = np.sin(triangles @ np.array([12.9898, 78.233, 37.719])) * 43758.5453
    return triangles + 0.02 * (wave - np.floor(wave) - 0.5)[..., None]
