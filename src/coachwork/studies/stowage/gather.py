"""Boxes, decks and the rest of the tables, as lengths over samples; and from the first sample the packing problem."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil, floor

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.entries import BLANKS, Length, Mass
from coachwork.build.sections.boxes import Box, Boxes, BoxLead, Face, words_of
from coachwork.build.sections.ceilings import Ceilings
from coachwork.build.sections.decks import Deck, Decks, Patch
from coachwork.build.sections.keep_outs import KeepOut, KeepOuts
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.masses import Masses
from coachwork.build.sections.stowed import BoxPlace, BoxPlaces
from coachwork.build.sections.stowing import Stowing
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.parts import CannotBe
from coachwork.studies.stowage.outline import Outline
from coachwork.studies.stowage.problem import (
    FAR,
    FINE,
    SCALE,
    Apart,
    Block,
    Item,
    Pose,
    Problem,
    Pull,
    Surface,
    Tie,
    Triple,
)  # fmt: skip
from coachwork.studies.stowage.turns import Turn, exit_point, turns_on
from coachwork.studies.wording import first

THICK = 3  # how many times a millimetre of a thick lead counts; common practice, no source
RESERVE_MM = 0.4  # on top of distances asked for, so that they hold with readings a tenth off; ours
ROUNDED = 3  # parts of a step: six coordinates of two exits, each rounded by half a part at most
MIDDLE = ""  # the exit of a box that names none


@dataclass(frozen=True, kw_only=True)
class Placing:
    """What says where a box is."""

    boxes: Boxes
    decks: Decks
    places: BoxPlaces


@dataclass(frozen=True, kw_only=True)
class Tables(Placing):
    """What stowage reads."""

    ceilings: Ceilings
    keep_outs: KeepOuts
    stowing: Stowing
    wiring: Wiring
    loads: Loads
    masses: Masses


@dataclass(frozen=True, kw_only=True, eq=False)
class Thing:
    """A box where it is, a keep-out, a ceiling or a deck's plate: low and high corner in the chassis frame, mm.

    low, high : (samples, 3); infinite where it has no end
    """

    name: str
    low: Numbers
    high: Numbers
    kind: str = "box"


@dataclass(frozen=True, kw_only=True, eq=False)
class Placed(Thing):
    """A box in its place."""

    turn: Turn
    on: str
    own: Numbers  # (samples, 3), length, width, height

    @property
    def middle(self) -> Numbers:
        """(samples, 3)."""
        return (self.low + self.high) / 2


def size_of(box: Box) -> Numbers:
    """Length, width and height, (samples, 3). Raises NotMeasured."""
    require(box.length, box.width, box.height)
    return np.stack(np.broadcast_arrays(box.length.mm, box.width.mm, box.height.mm), axis=-1)


def mass_entry(name: str, tables: Tables) -> Mass:
    """Where a box's mass stands: with the box, or with the part of this name in [masses]."""
    own = tables.boxes.each[name].mass
    return tables.masses.each[name].mass if not own.given and name in tables.masses.each else own


def has_place(place: BoxPlace | None) -> bool:
    """Whether a place is meant for the box."""
    return place is not None and (place.x.given or place.y.given)


def placed(name: str, tables: Placing, seen: tuple[str, ...] = ()) -> Placed:
    """A box where the build puts it. Raises NotMeasured, and CannotBe where it has no place or stands on nothing."""
    place = tables.places.each.get(name)
    if place is None or not has_place(place):
        raise CannotBe("it has no place yet; coachwork stow looks for one")
    own = size_of(tables.boxes.each[name])
    turn = Turn(place.down, place.turned)
    size = turn.sizes(own)
    on = place.on.strip()
    require(place.x, place.y)
    if on in tables.decks.each:
        level = tables.decks.each[on].height.mm
    elif on in tables.boxes.each and on not in (*seen, name):
        level = placed(on, tables, (*seen, name)).high[..., 2]
    elif on in BLANKS:
        level = place.z.mm
    else:
        raise CannotBe(f'it is placed on "{on}", which is neither a deck nor a box below it')
    middle = np.stack(np.broadcast_arrays(place.x.mm, place.y.mm, level + size[..., 2] / 2), axis=-1)
    return Placed(name=name, low=middle - size / 2, high=middle + size / 2, turn=turn, on=on, own=own)


def exit_of(box: Box, name: str, own: Numbers) -> Numbers:
    """An exit from the box's middle in its own directions, (samples, 3)."""
    if name == MIDDLE:
        return np.zeros_like(own)
    exit = box.exits[name]
    return exit_point(exit.face, own, across_mm=_or_0(exit.across), up_mm=_or_0(exit.up))


def _or_0(entry: Length) -> Numbers:
    return entry.mm if entry.given else np.zeros(1)


def ends_of(name: str, lead: BoxLead, boxes: Mapping[str, Box]) -> tuple[tuple[str, str], tuple[str, str]]:
    """Box and exit at both ends of a lead. Raises CannotBe where it does not say where it goes."""
    if lead.to.strip() in BLANKS:
        raise CannotBe("it does not say where it goes")
    leaves = lead.leaves.strip()
    begins = (name, leaves if leaves not in BLANKS else _only(boxes[name]))
    to, _, exit = lead.to.strip().partition(".")
    return begins, (to, exit or _only(boxes[to]))


def _only(box: Box) -> str:
    return next(iter(box.exits)) if len(box.exits) == 1 else MIDDLE


def length_of(name: str, lead: BoxLead, wiring: Wiring) -> Numbers:
    """How long the lead is, mm. Raises NotMeasured."""
    if not lead.length.given and name in wiring.leads:
        return wiring.leads[name].length.mm
    return lead.length.mm


def outline_of(deck: Deck) -> Outline:
    """By its plain numbers. Raises NotMeasured, and CannotBe where it has no outline."""
    if len(deck.outline) < 3:
        raise CannotBe("a deck has no outline yet: three corners or more")
    require(*(entry for corner in deck.outline.values() for entry in (corner.x, corner.y)))
    return Outline(np.array([[first(corner.x.mm), first(corner.y.mm)] for corner in deck.outline.values()]))


def _flat(patch: Patch) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    require(patch.x_from, patch.x_to, patch.y_from, patch.y_to)
    x, y = (patch.x_from.mm, patch.x_to.mm), (patch.y_from.mm, patch.y_to.mm)
    return np.minimum(*x), np.maximum(*x), np.minimum(*y), np.maximum(*y)


def thing_of(name: str, patch: Patch, low: Numbers, high: Numbers, kind: str) -> Thing:
    """A patch between two heights. Raises NotMeasured."""
    x0, x1, y0, y1 = _flat(patch)
    return Thing(
        name=name,
        low=np.stack(np.broadcast_arrays(x0, y0, low), axis=-1),
        high=np.stack(np.broadcast_arrays(x1, y1, high), axis=-1),
        kind=kind,
    )


def keep_out(name: str, held: KeepOut) -> Thing:
    """Raises NotMeasured naming every number it lacks."""
    no_low, no_high = held.goes_on in ("down", "both"), held.goes_on in ("up", "both")
    require(held.x_from, held.x_to, held.y_from, held.y_to,
            *([] if no_low else [held.z_from]), *([] if no_high else [held.z_to]))  # fmt: skip
    low = np.array([-np.inf]) if no_low else held.z_from.mm
    high = np.array([np.inf]) if no_high else held.z_to.mm
    return thing_of(name, held, low, high, "keep-out")


def ceiling(name: str, tables: Tables) -> Thing:
    """Raises NotMeasured."""
    low = tables.ceilings.each[name]
    require(low.x_from, low.x_to, low.y_from, low.y_to, low.height)
    return thing_of(name, low, low.height.mm, np.array([np.inf]), "ceiling")


def plates(tables: Tables) -> Iterator[Thing]:
    """The decks' own plates, in the way of what is on other decks: where there is more than one. Raises NotMeasured."""
    if len(tables.decks.each) < 2:
        return
    for name, deck in tables.decks.each.items():
        x0, x1, y0, y1 = outline_of(deck).bounds
        top, thick = first(deck.height.mm), first(deck.thickness.mm)
        low, high = np.array([[x0, y0, top - thick]]), np.array([[x1, y1, top]])
        yield Thing(name=name, low=low, high=high, kind="plate")


# ---- the packing problem


@dataclass(frozen=True)
class Grid:
    """Whole steps, from an origin at the decks' lowest corner."""

    step: float
    origin: tuple[float, float, float]

    def up(self, length: float) -> int:
        """Rounded up, but not for a hair."""
        return ceil(length / self.step - 1e-6)

    def down(self, length: float) -> int:
        """Rounded down."""
        return floor(length / self.step + 1e-6)

    def at(self, value: float, axis: int, *, up: bool) -> int:
        """A coordinate; beyond all decks where it is infinite."""
        if not np.isfinite(value):
            return FAR if value > 0 else -FAR
        return (self.up if up else self.down)(value - self.origin[axis])


def problem_of(tables: Tables, *, move: frozenset[str] | None = None) -> Problem:
    """The problem by the plain numbers.

    move   : the boxes that may be moved; None: all but those that `keep` their place
    Raises : NotMeasured naming all that is blank; CannotBe where there is nothing to place, or nowhere
    """
    if not tables.boxes.each:
        raise CannotBe("no boxes are listed under [boxes]")
    if not tables.decks.each:
        raise CannotBe("no decks are listed under [decks]")
    require(*all_needed(tables))
    outlines = {name: outline_of(deck) for name, deck in tables.decks.each.items()}
    bounds = np.array([outline.bounds for outline in outlines.values()])
    levels = [first(deck.height.mm) for deck in tables.decks.each.values()]
    grid = Grid(first(tables.stowing.grid.mm), (float(bounds[:, 0].min()), float(bounds[:, 2].min()), min(levels)))
    gap = first(tables.stowing.gap.mm)
    return Problem(
        items=tuple(_item(name, box, tables, grid, move) for name, box in tables.boxes.each.items()),
        surfaces=tuple(_surface(name, deck, outlines[name], grid, gap) for name, deck in tables.decks.each.items()),
        blocks=tuple(_blocks(tables, grid)),
        ties=tuple(_ties(tables, grid)),
        aparts=tuple(_aparts(tables, grid)),
        gap=grid.up(gap),
        pulls=tuple(_pulls(tables, grid)),
        step_mm=grid.step,
        origin_mm=grid.origin,
    )


def all_needed(tables: Tables) -> Iterator[Length]:
    """Every length that the whole question hangs on."""
    for box in tables.boxes.each.values():
        yield from (box.length, box.width, box.height)
        yield from (exit.room for exit in box.exits.values())
        for name, lead in box.leads.items():
            yield lead.length if name not in tables.wiring.leads else tables.wiring.leads[name].length
        yield from (other.gap for other in box.keep_from.values())
    for deck in tables.decks.each.values():
        yield deck.height
        yield from (entry for corner in deck.outline.values() for entry in (corner.x, corner.y))
        for door in deck.doors.values():
            yield from (door.x_from, door.x_to, door.y_from, door.y_to)
        if len(tables.decks.each) > 1:
            yield deck.thickness
    for low in tables.ceilings.each.values():
        yield from (low.x_from, low.x_to, low.y_from, low.y_to, low.height)
    for out in tables.keep_outs.each.values():
        yield from (out.x_from, out.x_to, out.y_from, out.y_to)
        if out.goes_on not in ("down", "both"):
            yield out.z_from
        if out.goes_on not in ("up", "both"):
            yield out.z_to


def _poses(box: Box, own: Numbers, grid: Grid) -> tuple[Pose, ...]:
    """Ways to stand that differ; those it is meant for first, so that a like one is not taken for another."""
    meant = [
        face
        for face in ("bottom", "top", "left", "right", "front", "rear")
        if face in (words_of(box.stands_on) or ("bottom",))
    ]
    others: list[Face] = [face for face in ("bottom", "left", "right", "front", "rear") if face not in meant]
    reach = words_of(box.reach)
    found: dict[object, Pose] = {}
    for turn in [*turns_on(meant), *turns_on(others)]:
        sizes = turn.sizes(own)[0]
        size = tuple(grid.up(float(side)) for side in sizes)
        exits, room = {MIDDLE: tuple(FINE * side // 2 for side in size)}, dict[Face, int]()
        for name, exit in box.exits.items():
            at = turn.offset(exit_of(box, name, own))[0]
            exits[name] = tuple(round(FINE * (float(at[a]) / grid.step + size[a] / 2)) for a in range(3))
            side = turn.side_of(exit.face)
            asked = grid.up(first(exit.room.mm) + RESERVE_MM) if first(exit.room.mm) else 0
            if asked:
                room[side] = max(asked, room.get(side, 0))
        sides = {face: turn.side_of(face) for face in reach}  # type: ignore[arg-type]
        pose = Pose(turn=turn, size=size, exits=exits, room=room, sides=sides, usual=turn.down in meant)  # type: ignore[arg-type]
        found.setdefault((size, *exits.values(), *room.items(), *sides.values()), pose)
    return tuple(found.values())


def _item(name: str, box: Box, tables: Tables, grid: Grid, move: frozenset[str] | None) -> Item:
    own, place, mass = size_of(box), tables.places.each.get(name), mass_entry(name, tables)
    poses = _poses(box, own, grid)
    allowed = words_of(box.decks) or tuple(tables.decks.each)
    carriers = () if box.comes_out else tuple(n for n, b in tables.boxes.each.items() if b.carries and n != name)
    stays = place is not None and has_place(place) and (place.keep if move is None else name not in move)
    now = _now(name, tables, poses, grid) if place is not None and has_place(place) else None
    on_deck = not (stays and place is not None and place.on.strip() in BLANKS)
    return Item(
        name=name,
        poses=poses,
        surfaces=(*(deck for deck in allowed if deck in tables.decks.each), *carriers) if on_deck else (),
        mass_g=round(first(mass.g)) if mass.given else 0,
        carries=box.carries,
        out=box.comes_out == "down",
        fixed=now if stays else None,
        hint=now,
    )


def _now(name: str, tables: Tables, poses: tuple[Pose, ...], grid: Grid) -> tuple[Triple, int]:
    here = placed(name, tables)
    size = tuple(grid.up(float(side)) for side in (here.high - here.low)[0])
    k = _pose_like(poses, here, size)
    corner = [(float(here.middle[0, a]) - grid.origin[a]) / grid.step - size[a] / 2 for a in range(2)]
    return (round(corner[0]), round(corner[1]), grid.at(float(here.low[0, 2]), 2, up=True)), k


def _pose_like(poses: tuple[Pose, ...], here: Placed, size: tuple[int, ...]) -> int:
    for k, pose in enumerate(poses):
        if pose.turn == here.turn:
            return k
    alike = [k for k, pose in enumerate(poses) if pose.size == size]
    looks = [k for k in alike if all(here.turn.side_of(face) == side for face, side in poses[k].sides.items())]
    same = [k for k in looks if (poses[k].turn.matrix @ here.turn.matrix.T == np.eye(3)).all()]
    return next(iter([*same, *looks, *alike]), 0)


def _surface(name: str, deck: Deck, outline: Outline, grid: Grid, gap: float) -> Surface:
    o, g = grid.origin, grid.step
    edges = tuple(
        (round(1000 * a), round(1000 * b), floor(1000 * (c - gap - a * o[0] - b * o[1]) / g + 1e-3))
        for a, b, c in outline.edges()
    )
    x0, x1, y0, y1 = outline.bounds
    return Surface(
        name=name,
        level=grid.at(first(deck.height.mm), 2, up=True),
        edges=edges,
        bays=tuple(_steps((x - gap, X + gap, y - gap, Y + gap), grid) for x, X, y, Y in outline.bays()),
        open_to=words_of(deck.open_to),  # type: ignore[arg-type]
        doors=tuple(_inner(door, grid) for door in deck.doors.values()),
        bounds=(grid.at(x0, 0, up=True), grid.at(x1, 0, up=False), grid.at(y0, 1, up=True), grid.at(y1, 1, up=False)),
    )


def _steps(of: tuple[float, float, float, float], grid: Grid) -> tuple[int, int, int, int]:
    x0, x1, y0, y1 = of
    return grid.at(x0, 0, up=False), grid.at(x1, 0, up=True), grid.at(y0, 1, up=False), grid.at(y1, 1, up=True)


def _inner(door: Patch, grid: Grid) -> tuple[int, int, int, int]:
    x0, x1, y0, y1 = (first(side) for side in _flat(door))
    return grid.at(x0, 0, up=True), grid.at(x1, 0, up=False), grid.at(y0, 1, up=True), grid.at(y1, 1, up=False)


def _blocks(tables: Tables, grid: Grid) -> Iterator[Block]:
    things = [ceiling(name, tables) for name in tables.ceilings.each]
    things += [keep_out(name, held) for name, held in tables.keep_outs.each.items()]
    things += plates(tables)
    for thing in things:
        air = 0.0 if thing.kind == "plate" else first(tables.stowing.gap.mm)
        low = tuple(grid.at(float(thing.low[0, a]) - air, a, up=False) for a in range(3))
        high = tuple(grid.at(float(thing.high[0, a]) + air, a, up=True) for a in range(3))
        kind = thing.kind if thing.kind in ("ceiling", "plate") else "thing"
        yield Block(name=thing.name, low=low, high=high, demand=f"{thing.kind} {thing.name}", kind=kind)  # type: ignore[arg-type]


def _ties(tables: Tables, grid: Grid) -> Iterator[Tie]:
    slack = 1 + first(tables.stowing.slack.ratio)
    for name, box in tables.boxes.each.items():
        for lead, held in box.leads.items():
            if held.to.strip() in BLANKS:
                continue
            begins, ends = ends_of(name, held, tables.boxes.each)
            longest = first(length_of(lead, held, tables.wiring)) / slack / grid.step
            most = floor(FINE * longest) - ROUNDED
            yield Tie(
                name=f"{name}.{lead}",
                begins=begins,
                ends=ends,
                most=most,
                weight=THICK if held.thick else 1,
                slack=slack,
            )


def gaps_asked(tables: Tables) -> dict[tuple[str, str], Numbers]:
    """{(box, box or keep-out): the distance they keep}, mm; from `keep-from` and from heat. Raises NotMeasured."""
    asked: dict[tuple[str, str], Numbers] = {}
    known = {**tables.boxes.each, **tables.keep_outs.each}
    order = {name: k for k, name in enumerate(known)}

    def ask(one: str, two: str, gap: Numbers) -> None:
        if two in tables.boxes.each and order[two] < order[one]:
            one, two = two, one
        asked[one, two] = np.maximum(gap, asked[one, two]) if (one, two) in asked else gap

    for name, box in tables.boxes.each.items():
        for other, held in box.keep_from.items():
            if other in known and other != name:
                ask(name, other, held.gap.mm)
        if box.heat == "spoilt by heat":
            hot = [n for n, b in tables.boxes.each.items() if b.heat == "hot"]
            for other in [*hot, *(n for n, k in tables.keep_outs.each.items() if k.hot)]:
                ask(name, other, tables.stowing.heat_gap.mm)
    return asked


def _aparts(tables: Tables, grid: Grid) -> Iterator[Apart]:
    for (one, two), gap in gaps_asked(tables).items():
        yield Apart(one=one, two=two, gap=grid.up(first(gap) + RESERVE_MM))


def _pulls(tables: Tables, grid: Grid) -> Iterator[Pull]:
    """Nothing is made of balance while a mass is not known."""
    masses = [mass_entry(name, tables) for name in tables.boxes.each]
    if not all(mass.given for mass in masses):
        return
    boxes = sum(round(first(mass.g)) for mass in masses)
    whole = max(first(tables.loads.mass.g), sum(first(mass.g) for mass in masses))
    worth = first(tables.stowing.side_worth.ratio)
    if worth > 0:
        middle = -grid.origin[1] / grid.step
        yield Pull(axis=1, worth=round(SCALE / 2 * worth / whole), rest=-round(2 * middle * boxes))
