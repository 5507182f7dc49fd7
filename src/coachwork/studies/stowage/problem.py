"""The packing problem in whole steps of the grid: what the constraint programme and the quick look both read.

Every demand has a name, such as "lead motor.phase": constraints belong to demands, and a demand can be given up.
Coordinates are whole steps; a box's own are those of its lower corner. Boxes are rounded up, the room they have down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from math import ceil
from typing import Literal

from coachwork.build.sections.boxes import Face
from coachwork.studies.stowage.turns import Turn

Triple = tuple[int, int, int]
FINE = 10  # parts of a step in which exits and leads are counted: a rounded exit may not make a lead too short
FAR = 100_000  # steps: beyond every deck
SCALE = 10_000  # of the cost, so that small weights are whole numbers


@dataclass(frozen=True, kw_only=True)
class Pose:
    """One way a box may stand, in steps.

    exits : {name: place of the exit from the lower corner, in parts of a step}
    room  : {side: how much air its plugs ask for}
    sides : {face that must stay in reach: the side it looks to}    usual : on a face it is meant to stand on
    """

    turn: Turn
    size: Triple
    exits: Mapping[str, Triple] = field(default_factory=dict)
    room: Mapping[Face, int] = field(default_factory=dict)
    sides: Mapping[Face, Face] = field(default_factory=dict)
    usual: bool = True


@dataclass(frozen=True, kw_only=True)
class Item:
    """One box. `fixed`, `hint`: the corner at which it has to stay, or is now, and in which pose."""

    name: str
    poses: tuple[Pose, ...]
    surfaces: tuple[str, ...]  # names of decks, and of boxes that carry
    mass_g: int = 0
    carries: bool = False
    out: bool = False
    fixed: tuple[Triple, int] | None = None
    hint: tuple[Triple, int] | None = None


@dataclass(frozen=True, kw_only=True)
class Block:
    """Space that is taken, low to high corner; `demand` is what it belongs to."""

    name: str
    low: Triple
    high: Triple
    demand: str
    kind: Literal["thing", "ceiling", "plate"] = "thing"


@dataclass(frozen=True, kw_only=True)
class Surface:
    """A deck. `edges`: a x + b y <= c, for every corner of a footprint, in whole numbers; `bays` are no deck."""

    name: str
    level: int
    edges: tuple[tuple[int, int, int], ...]
    bays: tuple[tuple[int, int, int, int], ...] = ()
    open_to: tuple[Face, ...] = ()
    doors: tuple[tuple[int, int, int, int], ...] = ()
    bounds: tuple[int, int, int, int] = (0, 0, 0, 0)


@dataclass(frozen=True, kw_only=True)
class Tie:
    """A lead between two exits; `most`: the longest way it goes, in parts of a step."""

    name: str
    begins: tuple[str, str]
    ends: tuple[str, str]
    most: int | None
    weight: int = 1
    slack: float = 1.0  # how many times its way a lead has to be long


@dataclass(frozen=True, kw_only=True)
class Apart:
    """A least distance between a box and another box or block."""

    one: str
    two: str
    gap: int


@dataclass(frozen=True, kw_only=True)
class Pull:
    """How much it is worth to have the weight over a line across one axis.

    worth : of each gram-half-step of moment about the line, in 1 / SCALE of a step of lead
    rest  : what is added to the boxes' moments about the grid's origin to have the whole vehicle's about the line
    """

    axis: Literal[0, 1]
    worth: int
    rest: int = 0


@dataclass(frozen=True, kw_only=True)
class Problem:
    """All of it. `step_mm` and `origin_mm` lead back to the chassis frame."""

    items: tuple[Item, ...]
    surfaces: tuple[Surface, ...]
    blocks: tuple[Block, ...] = ()
    ties: tuple[Tie, ...] = ()
    aparts: tuple[Apart, ...] = ()
    gap: int = 0
    pulls: tuple[Pull, ...] = ()
    step_mm: float = 1.0
    origin_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def item(self, name: str) -> Item:
        """By its name."""
        return next(item for item in self.items if item.name == name)

    def demands(self) -> Iterator[str]:
        """Every demand, each once, what is easiest changed last: it is given up on trial in this order, and what can be
        spared is not told.
        """
        for item in self.items:
            yield f"carry {item.name}"
        for surface in self.surfaces:
            yield f"outline {surface.name}"
        yield from dict.fromkeys(block.demand for block in self.blocks)
        for item in self.items:
            if item.fixed is not None:
                yield f"keep {item.name}"
        for item in self.items:
            for face in item.poses[0].sides:
                yield f"reach {item.name} {face}"
            if item.out:
                yield f"out {item.name}"
        for apart in self.aparts:
            yield f"apart {apart.one} {apart.two}"
        for item in self.items:
            if any(pose.room for pose in item.poses):
                yield f"room {item.name}"
        for tie in self.ties:
            if tie.most is not None:
                yield f"lead {tie.name}"
        for item in self.items:
            if any(not pose.usual for pose in item.poses):
                yield f"stand {item.name}"

    def told(self, demand: str, steps: int) -> int:
        """Steps by which a demand has to give, as the builder would measure it: a lead's slack counts, too."""
        slack = next((tie.slack for tie in self.ties if f"lead {tie.name}" == demand), 1.0)
        return ceil(steps * slack - 1e-6)

    def only(self, names: set[str]) -> Problem:
        """The problem of some of the boxes, nothing said of the others."""
        return replace(
            self,
            items=tuple(
                replace(item, surfaces=tuple(s for s in item.surfaces if s in names or self.is_deck(s)))
                for item in self.items
                if item.name in names
            ),
            ties=tuple(tie for tie in self.ties if {tie.begins[0], tie.ends[0]} <= names),
            aparts=tuple(
                apart
                for apart in self.aparts
                if apart.one in names and (apart.two in names or any(b.name == apart.two for b in self.blocks))
            ),
        )

    def is_deck(self, name: str) -> bool:
        """Whether a surface is a deck."""
        return any(surface.name == name for surface in self.surfaces)

    def without(self, dropped: set[str]) -> Problem:
        """The problem with some demands given up. Boxes that are not carried are gone with their leads."""
        gone = {demand.removeprefix("carry ") for demand in dropped if demand.startswith("carry ")}
        left = self.only({item.name for item in self.items} - gone) if gone else self
        return replace(
            left,
            items=tuple(_eased(item, dropped) for item in left.items),
            blocks=tuple(block for block in left.blocks if block.demand not in dropped),
            ties=tuple(replace(t, most=None) if f"lead {t.name}" in dropped else t for t in left.ties),
            aparts=tuple(a for a in left.aparts if f"apart {a.one} {a.two}" not in dropped),
            surfaces=tuple(
                replace(s, edges=(), bays=()) if f"outline {s.name}" in dropped else s for s in left.surfaces
            ),
        )


def _eased(item: Item, dropped: set[str]) -> Item:
    poses = item.poses
    if f"stand {item.name}" in dropped:
        poses = tuple(replace(pose, usual=True) for pose in poses)
    if f"room {item.name}" in dropped:
        poses = tuple(replace(pose, room={}) for pose in poses)
    faces = {face for face in poses[0].sides if f"reach {item.name} {face}" in dropped}
    if faces:
        poses = tuple(replace(p, sides={f: s for f, s in p.sides.items() if f not in faces}) for p in poses)
    return replace(
        item,
        poses=poses,
        out=item.out and f"out {item.name}" not in dropped,
        fixed=None if f"keep {item.name}" in dropped else item.fixed,
    )
