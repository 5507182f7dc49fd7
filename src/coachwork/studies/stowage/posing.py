"""From the tables, by their plain numbers, to the packing problem in whole steps of the grid."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor
from typing import Literal

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.entries import BLANKS
from coachwork.build.sections.boxes import Box, Face, words_of
from coachwork.build.sections.decks import Deck, Patch
from coachwork.studies.parts import CannotBe
from coachwork.studies.stowage.leads import MIDDLE, ends_of, exit_of, length_of
from coachwork.studies.stowage.outline import Outline
from coachwork.studies.stowage.placed import Placed, has_place, placed, size_of
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
from coachwork.studies.stowage.surroundings import ceiling, flat, keep_out, outline_of, plates
from coachwork.studies.stowage.tables import Tables, all_needed, gaps_asked, mass_entry
from coachwork.studies.stowage.turns import turns_on
from coachwork.studies.wording import first

THICK = 3  # how many times a millimetre of a thick lead counts; common practice, no source
RESERVE_MM = 0.4  # on top of distances asked for, so that they hold with readings a tenth off; ours
ROUNDED = 3  # parts of a step: six coordinates of two exits, each rounded by half a part at most


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
    outlines = {name: outline_of(name, tables.decks, tables.rims) for name in tables.decks.each}
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
    x0, x1, y0, y1 = (first(side) for side in flat(door))
    return grid.at(x0, 0, up=True), grid.at(x1, 0, up=False), grid.at(y0, 1, up=True), grid.at(y1, 1, up=False)


def _blocks(tables: Tables, grid: Grid) -> Iterator[Block]:
    things = [ceiling(name, tables) for name in tables.ceilings.each]
    things += [keep_out(name, held) for name, held in tables.keep_outs.each.items()]
    things += plates(tables)
    things += tables.around.things
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


def _aparts(tables: Tables, grid: Grid) -> Iterator[Apart]:
    for (one, two), gap in gaps_asked(tables).items():
        yield Apart(one=one, two=two, gap=grid.up(first(gap) + RESERVE_MM))


def _pulls(tables: Tables, grid: Grid) -> Iterator[Pull]:
    """Sideways about the centreline; lengthwise about where the wanted share of the front wheels has it.

    Nothing is made of either while a box's mass is not known. Of the rest of the vehicle, parts of [masses] with a mass
    and a place count lengthwise; all else is taken to be where it is wanted.
    """
    masses = {name: mass_entry(name, tables) for name in tables.boxes.each}
    if not all(mass.given for mass in masses.values()):
        return
    boxes = sum(round(first(mass.g)) for mass in masses.values())
    whole = max(first(tables.loads.mass.g), sum(first(mass.g) for mass in masses.values()))

    def pull(axis: Literal[0, 1], line_mm: float, rest_gmm: float, worth_mm: float) -> Pull:
        line = (line_mm - grid.origin[axis]) / grid.step
        rest = round(2 * rest_gmm / grid.step - 2 * line * boxes)
        return Pull(axis=axis, worth=round(SCALE / 2 * worth_mm / whole), rest=rest)

    if (sideways := first(tables.stowing.side_worth.ratio)) > 0:
        yield pull(1, 0.0, 0.0, sideways)
    wheelbase, lengthwise = tables.wheelbase_mm, first(tables.stowing.front_worth.ratio)
    if wheelbase is not None and lengthwise > 0:
        line = -(1 - first(tables.wanted.front_share.ratio)) * first(wheelbase)
        others = [part for name, part in tables.masses.each.items() if name not in masses]
        rest = sum(
            first(part.mass.g) * (float(part.at.mm[0, 0]) - line)
            for part in others if part.mass.known and part.at.known
        )  # fmt: skip
        yield pull(0, line, rest, lengthwise * 100 / first(wheelbase))
