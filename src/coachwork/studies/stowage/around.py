"""What other questions know to lie round the decks: measured parts, what moves past, the scanned shell's inside.

All of it as boxes along the axes. What moves is cut into slabs across the vehicle, each as large as all of it that ever
passes there, over travel and lock; the shell's inside into patches by their lowest point.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

import numpy as np

from coachwork.build import NotMeasured, Numbers
from coachwork.build.sections.boxes import Boxes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.decks import Decks
from coachwork.scans.ceiling import Ceiling
from coachwork.scans.deck_rim import DeckRim
from coachwork.studies.clearance.corner_scene import end_scene
from coachwork.studies.clearance.inputs import Sections
from coachwork.studies.clearance.scene import ENDS, standing
from coachwork.studies.clearance.search import Placed as Part
from coachwork.studies.clearance.swept import cloud, poses_of
from coachwork.studies.linkage.axle import AxleResult
from coachwork.studies.linkage.result import EndResult, LinkageResult
from coachwork.studies.memory import Memory
from coachwork.studies.parts import CannotBe, attempt, is_missing
from coachwork.studies.parts import Part as Answer
from coachwork.studies.stowage.placed import Around, Thing, size_of
from coachwork.studies.stowage.surroundings import outline_of
from coachwork.studies.wording import first

BESIDE_MM = 12.0  # what stays further from the decks than this is nobody's neighbour there
SLAB_MM = 2.0
REACH_MM = 1.0  # half of how far the points of a part lie from each other
PATCH_MM = 8.0
ALIKE_MM = 3.0  # one patch holds what is no higher than this over its lowest point
MOST_PATCHES = 40  # each is a choice of six sides for each box
ON_DECK_MM = 2.0  # what the scan shows below this over the deck is under it, not over it


def around(
    boxes: Boxes,
    decks: Decks,
    parts: tuple[Sections, LinkageResult] | None,
    overhead: Answer[Ceiling],
    rims: Mapping[str, Answer[DeckRim]] = MappingProxyType({}),
    memory: Memory | None = None,
) -> Around:
    """By the plain numbers; nothing while the decks are not measured. A part named like a box is that box."""
    memory = memory or Memory()
    space = attempt(_space, boxes, decks, rims)
    if is_missing(space):
        return Around()
    things: list[Thing] = []
    unseen: list[str] = []
    if parts is not None:
        of, linkage = parts
        moving = [_moving(name, of, getattr(linkage, name), space, memory) for name in ENDS]
        still = attempt(standing, of)
        for part in () if is_missing(still) else still:
            if part.key.partition(",")[0] not in boxes.each:
                things += _kept(memory, part, "part", space, whole=True)
        things += (thing for found, _ in moving for thing in found)
        unseen += ["the parts in [envelopes]"] if is_missing(still) else []
        unseen += (words for _, lacking in moving for words in lacking)
    if not is_missing(overhead):
        things += memory.once("patches", (overhead, space), lambda: tuple(_patches(overhead, space)))
    return Around(things=tuple(things), unseen=tuple(dict.fromkeys(unseen)))


Moving = tuple[list[Thing], list[str]]


def _moving(name: EndName, of: Sections, result: EndResult | AxleResult, space: Numbers, memory: Memory) -> Moving:
    """What an end's wheels carry past the decks, and what of it is not known."""

    def make() -> Moving:
        things: list[Thing] = []
        unseen: list[str] = []
        for corner in end_scene(name, of, result).sides.values():
            unseen += [] if not is_missing(corner.tyre) else [f"what the {name} tyres sweep"]
            for part in corner.all():
                if part.thing.kind not in ("rim", "shell") and part is not corner.ring:
                    things += _kept(memory, part, "sweep", space)
        return things, unseen

    return memory.once_reading(f"what moves at the {name}", (result, space), make)


def _kept(memory: Memory, part: Part, kind: str, space: Numbers, *, whole: bool = False) -> list[Thing]:
    poses = poses_of(part)
    where = tuple(poses.motions[body] for body in sorted(part.thing.on))
    return memory.once(
        f"slabs of {part.key}", (part.name, part.thing.shapes, where, poses.right, poses.shift, kind, space, whole),
        lambda: list(_slabs(part, kind, space, whole=whole)),
    )  # fmt: skip


def _space(boxes: Boxes, decks: Decks, rims: Mapping[str, Answer[DeckRim]]) -> Numbers:
    """Low and high corner of all that boxes may take up, (2, 3). Raises NotMeasured, CannotBe."""
    if not decks.each:
        raise CannotBe("no decks are listed under [decks]")
    bounds = np.array([outline_of(name, decks, rims).bounds for name in decks.each])
    levels = [first(deck.height.mm) for deck in decks.each.values()]
    tall = 0.0
    for box in boxes.each.values():
        try:
            tall += float(size_of(box)[0].max()) if box.carries else 0.0
        except NotMeasured:
            continue
    known = [attempt(size_of, box) for box in boxes.each.values()]
    tall += max((float(size[0].max()) for size in known if not is_missing(size)), default=0.0)
    return np.array([
        [bounds[:, 0].min(), bounds[:, 2].min(), min(levels)],
        [bounds[:, 1].max(), bounds[:, 3].max(), max(levels) + tall],
    ])  # fmt: skip


def _slabs(part: Part, kind: str, space: Numbers, *, whole: bool = False) -> Iterator[Thing]:
    """A part over all its poses, near the decks or below them; `whole`: as one box a shape."""
    name = part.name.replace(", ", "-").replace(" ", "-")
    low, high = space[0] - BESIDE_MM, space[1] + BESIDE_MM
    deep = np.array([low[0], low[1], -np.inf])  # a pack goes out downwards
    for points in cloud(part, low=deep, high=high, every_mm=2 * REACH_MM):
        x, y, z = np.ascontiguousarray(points.T)
        if whole:
            corners = np.array([[x.min(), y.min(), z.min()], [x.max(), y.max(), z.max()]])
            yield Thing(name=name, kind=kind, low=corners[:1], high=corners[1:])
            continue
        last = x.max()
        for start in np.arange(x.min(), last, SLAB_MM):
            end = min(start + SLAB_MM, last)
            if start > high[0] or end < low[0]:
                continue
            here = (x >= start - REACH_MM) & (x <= end + REACH_MM)
            across, up = y[here], z[here]
            slab = np.array([[start, across.min(), up.min()], [end, across.max(), up.max()]])
            if (slab[0] <= high).all() and (slab[1] >= deep).all():
                yield Thing(name=name, kind=kind, low=slab[:1], high=slab[1:])


def _patches(ceiling: Ceiling, space: Numbers) -> Iterable[Thing]:
    """Rectangles of the shell's inside by their lowest point, where a box might reach it."""
    step = float(ceiling.x_mm[1] - ceiling.x_mm[0])
    near = [
        np.flatnonzero((at >= space[0, a] - BESIDE_MM) & (at <= space[1, a] + BESIDE_MM))
        for a, at in enumerate((ceiling.x_mm, ceiling.y_mm))
    ]
    if any(len(each) == 0 for each in near):
        return []
    z = ceiling.z_mm[np.ix_(*near)]
    z = np.where(np.isfinite(z) & (z > space[0, 2] + ON_DECK_MM) & (z < space[1, 2]), z, np.inf)
    each = max(1, round(PATCH_MM / step))
    along = np.minimum.reduceat(z, np.arange(0, z.shape[0], each), axis=0)
    tiles = np.minimum.reduceat(along, np.arange(0, z.shape[1], each), axis=1)
    alike = ALIKE_MM
    while len(found := list(_rectangles(tiles, alike))) > MOST_PATCHES:
        alike *= 1.5
    start = [float(at[index[0]]) - step / 2 for at, index in zip((ceiling.x_mm, ceiling.y_mm), near, strict=True)]
    wide = each * step
    return [
        Thing(
            name="shell", kind="ceiling",
            low=np.array([[start[0] + wide * i, start[1] + wide * j, height]]),
            high=np.array([[start[0] + wide * k, start[1] + wide * m, np.inf]]),
        )
        for i, k, j, m, height in found
    ]  # fmt: skip


def _rectangles(tiles: Numbers, alike: float) -> Iterator[tuple[int, int, int, int, float]]:
    """Tiles that differ by no more than `alike`, joined from the lowest on: i from, i to, j from, j to, lowest."""
    left = tiles.copy()
    while np.isfinite(left).any():
        i, j = (int(at) for at in np.unravel_index(np.argmin(left), left.shape))
        height = float(left[i, j])
        like = np.isfinite(left) & (left <= height + alike)
        low_j, high_j = j, j + 1
        while low_j > 0 and like[i, low_j - 1]:
            low_j -= 1
        while high_j < left.shape[1] and like[i, high_j]:
            high_j += 1
        low_i, high_i = i, i + 1
        while low_i > 0 and like[low_i - 1, low_j:high_j].all():
            low_i -= 1
        while high_i < left.shape[0] and like[high_i, low_j:high_j].all():
            high_i += 1
        left[low_i:high_i, low_j:high_j] = np.inf
        yield low_i, high_i, low_j, high_j, height
