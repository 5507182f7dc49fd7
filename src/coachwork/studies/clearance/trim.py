"""What to cut out of the shell so that a tyre passes with a wanted gap, and what would do instead of cutting.

The patch is all of the surface that some pose of the tyre comes nearer to than the gap. A point's distance from the
sweep is the least of its signed distances over the poses; it changes no faster than the point moves, so that a triangle
is all in or all out where its corners say so by more than its size, and is halved otherwise until it is small enough to
be clipped along a straight line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from coachwork.build.sections.corner import EndName
from coachwork.geometry.box_tree import BoxTree
from coachwork.geometry.least_distance import Index
from coachwork.geometry.sections import Barrel
from coachwork.geometry.solids import Revolved
from coachwork.geometry.vectors import Array, cross, length
from coachwork.studies.clearance.corner_scene import SIDES
from coachwork.studies.clearance.corners import LOCK, TRAVEL
from coachwork.studies.clearance.result import ClearanceResult
from coachwork.studies.clearance.scene import ENDS, Scene
from coachwork.studies.clearance.search import STEPS, Placed, Surroundings
from coachwork.studies.clearance.shapes import Turning
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.parts import CannotBe, is_missing, need

SMALL_MM = 0.4  # a triangle no longer than this is clipped; the curve leaves its chord by 0.4^2 / (8 x 3) = 0.007 mm
MOST_HALVINGS = 24
BETWEEN_MM = 0.03  # what the sweep between two poses of the finer grid may stand out beyond them
SAGS_MM = 0.3  # the sweep may stand out beyond the grid's poses: a shoulder of 3 mm moves 1.8 mm between two of them
SLACK_MM = 1.5
FAR_MM = 15.0  # a cure larger than this is none
MOST_POINTS = 400_000  # a patch that needs more is no patch


@dataclass(frozen=True, eq=False, kw_only=True)
class Patch:
    """What one tyre asks to be taken out of the shell; triangles (n, 3, 3) in the chassis frame."""

    wheel: str  # "front left"
    gap_mm: float
    least_mm: float  # signed distance before
    cut: Array  # triangles to take away
    kept: Array  # all the others, those on the edge clipped

    @property
    def area_mm2(self) -> float:
        """Of what is taken away, both skins of a doubly skinned shell counted."""
        a, b, c = self.cut[:, 0], self.cut[:, 1], self.cut[:, 2]
        return float(length(cross(b - a, c - a)).sum() / 2)


@dataclass(frozen=True, kw_only=True)
class Instead:
    """Another cure with its number; None where it alone does not do."""

    what: str  # "less lock"
    amount: float | None
    unit: str
    words: str


def patch(
    of: ClearanceResult, end: EndName, side: Side, *, gap_mm: float, shell: Surroundings | None = None
) -> Patch | None:
    """What to cut there; None where the gap is there already. Raises NotMeasured, CannotBe.

    shell : another one than the scene's, such as one that is trimmed already
    """
    scene = of.scene
    tyre = need(scene.ends[end].sides[side].tyre)
    shell = shell or _shell(scene, end, side)
    found = shell.around(tyre)[0].finer().found
    if found.distance >= gap_mm:
        return None
    triangles = shell.tree.triangles[shell.tree.first[0] : shell.tree.first[1]]
    assert tyre.corner is not None
    sweep = _Sweep.of(tyre, shell, gap_mm)
    near = _near(triangles, sweep, gap_mm)
    cut, kept = _split(triangles[near], sweep, gap_mm + BETWEEN_MM)
    return Patch(
        wheel=tyre.corner.name, gap_mm=gap_mm, least_mm=found.distance, cut=cut,
        kept=np.concatenate([triangles[~near], kept]),
    )  # fmt: skip


def all_trimmed(of: ClearanceResult, wheels: Sequence[str], *, gap_mm: float) -> Array:
    """The shell with the patches of all these wheels cut out, one after the other: triangles (n, 3, 3)."""
    shell: Surroundings | None = None
    for wheel in wheels:
        end, side = wheel.split()
        assert end in ENDS
        assert side in SIDES
        cut = patch(of, end, side, gap_mm=gap_mm, shell=shell)
        if cut is not None:
            (placed, number) = of.scene.surroundings(end, side).parts[0]
            shell = Surroundings(tree=BoxTree.over([cut.kept]), parts=((placed, number),))
    if shell is None:
        raise ValueError("no wheel is named that asks for a cut")
    return shell.tree.triangles


def axle_x_mm(of: ClearanceResult, end: EndName, side: Side) -> float:
    """Where the wheel's centre is along the vehicle, at ride height, straight ahead."""
    return float(_solids(need(of.scene.ends[end].sides[side].tyre), np.zeros((1, 3))).centre[0, 0])


def _shell(scene: Scene, end: EndName, side: Side) -> Surroundings:
    """The scan, or the measured arch, alone."""
    if is_missing(scene.scan):
        need(scene.ends[end].arches)
    around = scene.surroundings(end, side)
    return around.only([0])


@dataclass(frozen=True, eq=False, kw_only=True)
class _Sweep:
    """A tyre in all its poses: the grid's, and between those that matter a finer one."""

    tyre: Placed
    grid: Revolved
    shares: Array

    @classmethod
    def of(cls, tyre: Placed, shell: Surroundings, gap_mm: float) -> _Sweep:
        """Of the poses that come near the shell: between two poses of the grid a tyre moves less than SLACK_MM."""
        assert tyre.corner is not None
        grid = _solids(tyre, tyre.corner.grid)
        least = shell.tree.least(grid, over_all=False, within=gap_mm + SLACK_MM).distance
        near = np.flatnonzero(least < gap_mm + SLACK_MM)
        return cls(tyre=tyre, grid=grid.take(near), shares=np.asarray(tyre.corner.grid[near]))

    def rough(self, points: Array) -> Array:
        """The least over the grid's poses, (n,) for points (n, 3): too large by SAGS_MM at most."""
        return _least(self.grid, points)[0]

    def distance(self, points: Array) -> Array:
        """The least over the poses, the finer ones too."""
        points, back = np.unique(points, axis=0, return_inverse=True)  # corners belong to six triangles each
        least, pose = _least(self.grid, points)
        near = least < 2.0
        if near.any():
            steps = np.where(self.shares.max(axis=0) > self.shares.min(axis=0), STEPS, 0.0) / 3
            offsets = np.stack(np.meshgrid(*([-1, 0, 1] if step else [0] for step in steps), indexing="ij"), axis=-1)
            around = self.shares[np.unique(pose[near])][:, None] + offsets.reshape(-1, 3) * steps
            finer = np.unique(np.clip(around.reshape(-1, 3), -1, 1).round(9), axis=0)
            closer, _ = _least(_solids(self.tyre, finer), points[near])
            least[near] = np.minimum(least[near], closer)
        return np.asarray(least[back.ravel()])


def _solids(tyre: Placed, shares: Array) -> Revolved:
    solid = tyre.thing.shapes[0].solid(tyre.bodies(shares))
    assert isinstance(solid, Revolved)
    there = np.flatnonzero(np.isfinite(solid.centre).all(axis=-1))
    return solid.take(there)


def _least(solids: Revolved, points: Array) -> tuple[Array, Index]:
    least: Array = np.full(len(points), np.inf)
    pose: Index = np.zeros(len(points), dtype=np.intp)
    for i in range(solids.count):
        seen = solids.take(np.full(len(points), i)).signed(points).distance
        pose = np.where(seen < least, np.intp(i), pose)
        least = np.asarray(np.minimum(least, seen))
    return least, pose


def _near(triangles: Array, sweep: _Sweep, gap: float) -> NDArray[np.bool_]:
    """Triangles that may be nearer to the sweep than the gap: by a box around all the tyres."""
    solids = sweep.grid
    assert isinstance(solids.section, Barrel)
    reach = float(np.max(solids.section.outer + solids.section.half_width)) + gap + 1.0
    low, high = solids.centre.min(axis=0) - reach, solids.centre.max(axis=0) + reach
    return np.asarray(((triangles.max(axis=1) >= low) & (triangles.min(axis=1) <= high)).all(axis=-1))


def _split(triangles: Array, sweep: _Sweep, limit: float) -> tuple[Array, Array]:
    """What is nearer than the limit, and the rest: two arrays of triangles."""
    cut: list[Array] = []
    kept: list[Array] = []
    for _ in range(MOST_HALVINGS):
        if not len(triangles):
            break
        if len(triangles) * 3 > MOST_POINTS:
            raise CannotBe("the patch is too large to be cut out: look at the other cures")
        edges = length(triangles - np.roll(triangles, -1, axis=1))
        size = edges.max(axis=1)
        middle = sweep.rough(triangles.mean(axis=1)) - limit
        out, inside = middle > size + SAGS_MM, middle < -size
        kept.append(triangles[out])
        cut.append(triangles[inside])
        triangles, edges, size = (array[~(out | inside)] for array in (triangles, edges, size))
        if not len(triangles):
            break
        small = size <= SMALL_MM
        if small.any():
            values = sweep.distance(triangles[small].reshape(-1, 3)).reshape(-1, 3) - limit
            below, above = _clipped(triangles[small], values)
            cut.append(below)
            kept.append(above)
        triangles = _halved(triangles[~small], edges[~small].argmax(axis=1))
    none = np.zeros((0, 3, 3))
    return np.concatenate([none, *cut]), np.concatenate([none, *kept])


def _halved(triangles: Array, longest: Array) -> Array:
    row = np.arange(len(triangles))
    a, b = longest.astype(np.intp), ((longest + 1) % 3).astype(np.intp)
    middle = (triangles[row, a] + triangles[row, b]) / 2
    one, other = triangles.copy(), triangles.copy()
    one[row, a], other[row, b] = middle, middle
    return np.concatenate([one, other])


def _clipped(triangles: Array, values: Array) -> tuple[Array, Array]:
    """Split along the line where the values, linear between corners, are nought."""
    below: list[Array] = []
    above: list[Array] = []
    negative = values < 0
    count = negative.sum(axis=1)
    below.append(triangles[count == 3])
    above.append(triangles[count == 0])
    for alone, tips, rest in ((1, below, above), (2, above, below)):
        some = count == alone
        part, value = triangles[some], values[some]
        tip = (negative[some] if alone == 1 else ~negative[some]).argmax(axis=1)
        row = np.arange(len(part))
        order = (tip[:, None] + np.arange(3)) % 3
        a, b, c = (part[row, order[:, i]] for i in range(3))
        va, vb, vc = (value[row, order[:, i]] for i in range(3))
        ab = a + (va / (va - vb))[:, None] * (b - a)
        ac = a + (va / (va - vc))[:, None] * (c - a)
        tips.append(np.stack([a, ab, ac], axis=1))
        rest.append(np.concatenate([np.stack([ab, b, c], axis=1), np.stack([ab, c, ac], axis=1)]))
    return np.concatenate(below), np.concatenate(above)


def instead(of: ClearanceResult, end: EndName, side: Side, *, gap_mm: float) -> tuple[Instead, ...]:
    """What would leave the gap without cutting, each alone: the least that does, to a twentieth of a millimetre."""
    scene = of.scene
    tyre, shell = need(scene.ends[end].sides[side].tyre), _shell(scene, end, side)
    assert tyre.corner is not None
    grid = tyre.corner.grid
    full = tyre.corner.pose(np.array([1.0, 0.0, 0.0])), tyre.corner.pose(np.array([-1.0, 0.0, 0.0]))

    def clear(*, lock: float = 1.0, bump: float = 1.0, droop: float = 1.0, up: float = 0.0, out: float = 0.0) -> bool:
        shares = grid * np.array([1.0, lock, 1.0])
        shares[:, TRAVEL] = np.clip(shares[:, TRAVEL], -droop, bump)
        solid = _solids(_moved(tyre, out), np.unique(shares, axis=0))
        solid = replace(solid, centre=solid.centre - np.array([0.0, 0.0, up]))
        return float(shell.tree.least(solid, over_all=True, within=gap_mm).distance[0]) >= gap_mm

    found = []
    if grid[:, LOCK].any():
        share = _most(lambda share: clear(lock=share))
        angle = None if share is None else tyre.corner.pose(np.array([0.0, share, 0.0])).steer_rad
        degrees = None if angle is None else abs(float(np.degrees(angle)))
        words = "less lock" if degrees is None else f"less lock: no more than {degrees:.0f} deg at this wheel"
        found.append(Instead(what="less lock", amount=degrees, unit="deg", words=words))
    for what, stop, travel in (("bump", "bump", full[0]), ("droop", "droop", full[1])):
        share = _most(partial(_with, clear, stop))
        less = None if share is None else (1 - share) * abs(travel.travel_mm)
        words = f"a {what} stop" if less is None else f"a {what} stop {less:.1f} mm earlier"
        found.append(Instead(what=f"a {what} stop", amount=less, unit="mm", words=words))
    higher = _fewest(lambda mm: clear(up=mm))
    words = "the shell higher" if higher is None else f"the shell mounted {higher:.1f} mm higher"
    found.append(Instead(what="the shell higher", amount=higher, unit="mm", words=words))
    for what, sign in (("further in", -1.0), ("further out", 1.0)):
        moved = _fewest(partial(_with, clear, "out", sign=sign))
        more = "larger" if sign < 0 else "smaller"
        words = f"the wheels {what}" if moved is None else f"the wheels {moved:.1f} mm {what} (an inset so much {more})"
        found.append(Instead(what=f"the wheels {what}", amount=moved, unit="mm", words=words))
    return tuple(found)


def _with(clear: Callable[..., bool], what: str, amount: float, *, sign: float = 1.0) -> bool:
    return clear(**{what: sign * amount})


def _moved(tyre: Placed, out: float) -> Placed:
    shape = tyre.thing.shapes[0]
    assert isinstance(shape, Turning)
    shifted = replace(shape, centre=shape.centre + out * shape.axis)
    return replace(tyre, thing=replace(tyre.thing, shapes=(shifted,)))


def _most(does: Callable[[float], bool]) -> float | None:
    """The largest share from 0 to 1 that does, to a hundredth; None where none does."""
    if not does(0.0):
        return None
    low, high = 0.0, 1.0
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (middle, high) if does(middle) else (low, middle)
    return low


def _fewest(does: Callable[[float], bool]) -> float | None:
    """The least millimetres that do, to a twentieth; None where even far does not."""
    if not does(FAR_MM):
        return None
    low, high = 0.0, FAR_MM
    while high - low > 0.05:
        middle = (low + high) / 2
        low, high = (low, middle) if does(middle) else (middle, high)
    return high
