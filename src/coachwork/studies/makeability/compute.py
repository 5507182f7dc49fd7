"""From tables and measured solids to what fits the process and what does not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache

import numpy as np

from coachwork.build import require
from coachwork.build.sections.boxes import Boxes
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.keep_outs import KeepOuts
from coachwork.build.sections.making import Making
from coachwork.build.sections.masses import Masses
from coachwork.build.sections.parts import Parts
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.catalogue.processes import PROCESSES, Process
from coachwork.catalogue.screws import SCREWS
from coachwork.studies.makeability.assembly import assembly
from coachwork.studies.makeability.bodies import stamps
from coachwork.studies.makeability.joints import placed_parts
from coachwork.studies.makeability.meets import meets_boxes, meets_parts
from coachwork.studies.makeability.order import CHASSIS
from coachwork.studies.makeability.result import Checked, MakeabilityResult, Roomed, ScrewTip, Spot
from coachwork.studies.makeability.room import best_turn
from coachwork.studies.makeability.screws import screw_tips
from coachwork.studies.makeability.seats import worst_seat
from coachwork.studies.makeability.specs.chassis import ChassisSpec
from coachwork.studies.makeability.specs.door import DoorSpec
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.own import OwnSpec
from coachwork.studies.makeability.specs.plain import by_plain_numbers, number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.makeability.weight import mass_g
from coachwork.studies.parts import Part, attempt, is_missing, need
from coachwork.studies.solids import Hole, HoleFound, MadeParts, Measured, PartSolid, Vector

UNSEEN_MM = 3.0  # walls and gaps wider than this are not listed
LOST_MM = 2.0  # no round hole within this of where one should be


def makeability(
    parts: Parts, making: Making, gear: RunningGear, changes: Changes, decks: Decks, boxes: Boxes, places: BoxPlaces,
    keep_outs: KeepOuts, masses: Masses, made: MadeParts,
) -> MakeabilityResult:  # fmt: skip
    """Every part that [parts] asks for; nothing where it asks for none."""
    if not parts.made:
        return MakeabilityResult(wanted={}, checked={}, unmade=(), screws={}, price=(0.0, 0.0), mass_g=0.0)
    tables = PartTables(
        parts=by_plain_numbers(parts), making=by_plain_numbers(making), gear=by_plain_numbers(gear),
        changes=by_plain_numbers(changes), decks=by_plain_numbers(decks), boxes=by_plain_numbers(boxes),
        places=by_plain_numbers(places), keep_outs=by_plain_numbers(keep_outs), masses=by_plain_numbers(masses),
    )  # fmt: skip
    wanted = {each.name: each for each in every_part(tables)}
    checked: dict[str, Checked] = {}
    unmade: list[str] = []
    screws: dict[str, Part[ScrewTip]] = {}
    for name, each in wanted.items():
        if each.fingerprint is None:
            continue
        if isinstance(each.spec, ChassisSpec | DoorSpec | OwnSpec):
            screws |= screw_tips(tables, name, each.spec.holes)
        solid = made.parts.get(name)
        if solid is None or solid.spec != each.fingerprint or solid.measured is None:
            unmade.append(name)
        else:
            checked[name] = check(each, solid, solid.measured, tables.making)
    solids = [each.solid for each in checked.values()]
    placed, here = placed_parts(solids), stamps(tables)
    return MakeabilityResult(
        wanted=wanted, checked=checked, unmade=tuple(unmade), screws=screws,
        price=attempt(_price, tables.making, checked.values()),
        mass_g=sum(each.wanted.pieces * each.mass_g for each in checked.values()),
        order=None if unmade or CHASSIS not in checked
        else attempt(assembly, solids, made.reach, tables),
        parts_near=attempt(meets_parts, made.near, placed) if len(placed) > 1 else None,
        boxes_near=attempt(meets_boxes, made.near, placed, here) if placed and here else None,
    )  # fmt: skip


def check(wanted: Wanted, solid: PartSolid, measured: Measured, making: Making) -> Checked:
    """One solid against the rules of its process."""
    settings = need(wanted.settings)
    rules = PROCESSES[settings.process]
    pairs = list(zip(solid.holes, measured.holes, strict=True))
    overhang = min(measured.overhang_mm2.items(), key=lambda pair: pair[1], default=("", 0.0))
    driver = attempt(number, making.driver_length)
    return Checked(
        wanted=wanted, solid=solid, process=rules,
        wall=_wall(solid, measured, pairs, rules),
        gap=_gap(solid, measured, rules),
        screw_wall=_least(_screw_walls(solid, pairs, rules)),
        edge=_least(_edges(solid, pairs, rules)),
        places=_least(_places(solid, pairs), most=True),
        smallest_hole=_least(
            Spot(value=found.diameter_mm, limit=rules.hole_mm, point_mm=solid.on_chassis(hole.centre_mm),
                 name=hole.name)
            for hole, found in pairs if math.isfinite(found.diameter_mm)
        ),
        passes=_least(_passes(solid, pairs, settings.shrink_mm)),
        driver=None if is_missing(driver) else _least(
            Spot(value=found.free_mm, limit=driver, point_mm=solid.on_chassis(hole.centre_mm), name=hole.name)
            for hole, found in pairs if hole.screw
        ),
        seat=worst_seat(solid, pairs, rules, shrink_mm=settings.shrink_mm, reamed=making.seats == "reamed"),
        trapped_cm3=measured.trapped_cm3, overhang_mm2=overhang[1], overhang_on=overhang[0],
        room=attempt(_room, measured, making), mass_g=mass_g(solid, measured),
        price=attempt(_price_of, measured, making),
    )  # fmt: skip


Pairs = list[tuple[Hole, HoleFound]]


def _wall(solid: PartSolid, measured: Measured, pairs: Pairs, rules: Process) -> Spot:
    spots = [
        Spot(value=thin.wall_mm, limit=rules.wall_mm, point_mm=solid.on_chassis(thin.point_mm), name=thin.near)
        for thin in measured.thin
    ]
    spots += [
        Spot(value=found.edge_mm, limit=rules.wall_mm, point_mm=solid.on_chassis(hole.centre_mm), name=hole.name)
        for hole, found in pairs
        if math.isfinite(found.edge_mm)
    ]
    return _least(spots) or Spot(value=UNSEEN_MM, limit=rules.wall_mm, point_mm=None)


def _gap(solid: PartSolid, measured: Measured, rules: Process) -> Spot | None:
    """The narrowest gap that is not one of its holes: those have a rule of their own."""
    return _least(
        Spot(value=gap.wall_mm, limit=rules.gap_mm, point_mm=solid.on_chassis(gap.point_mm))
        for gap in measured.narrow
        if not any(abs(gap.wall_mm - hole.drawn_mm) < 0.05 and _near(gap.point_mm, hole) for hole in solid.holes)
    )


def _near(point: Vector, hole: Hole) -> bool:
    rel = np.array(point) - hole.centre_mm
    along = float(rel @ hole.axis)
    return float(np.linalg.norm(rel - along * np.array(hole.axis))) < hole.drawn_mm / 2


def _screw_walls(solid: PartSolid, pairs: Pairs, rules: Process) -> Iterator[Spot]:
    for hole, found in pairs:
        if hole.purpose == "thread-forming" and math.isfinite(found.edge_mm):
            yield Spot(value=found.edge_mm, limit=rules.screw_wall_mm, point_mm=solid.on_chassis(hole.centre_mm),
                       name=hole.name)  # fmt: skip


def _edges(solid: PartSolid, pairs: Pairs, rules: Process) -> Iterator[Spot]:
    """From the axis to the edge in hole diameters."""
    for hole, found in pairs:
        if hole.purpose == "clearance" and hole.screw and math.isfinite(found.edge_mm):
            far = (found.edge_mm + found.diameter_mm / 2) / found.diameter_mm
            yield Spot(value=far, limit=rules.edge_diameters, point_mm=solid.on_chassis(hole.centre_mm),
                       name=hole.name)  # fmt: skip


def _places(solid: PartSolid, pairs: Pairs) -> Iterator[Spot]:
    """How far each hole is off, against what its screw or pin has room for."""
    for hole, found in pairs:
        screw = SCREWS.get(hole.screw)
        play = (hole.diameter_mm - screw.diameter_mm) / 2 if screw and hole.purpose == "clearance" else 0.1
        off = found.off_mm if math.isfinite(found.off_mm) else LOST_MM
        yield Spot(value=off, limit=max(play, 0.1), point_mm=solid.on_chassis(hole.centre_mm), name=hole.name)


def _passes(solid: PartSolid, pairs: Pairs, shrink: float) -> Iterator[Spot]:
    """Finished clearance holes, as drawn less what the process takes off, against the fine series of ISO 273."""
    for hole, found in pairs:
        screw = SCREWS.get(hole.screw)
        if screw and hole.purpose == "clearance" and math.isfinite(found.diameter_mm):
            yield Spot(value=found.diameter_mm - shrink, limit=screw.fine_mm,
                       point_mm=solid.on_chassis(hole.centre_mm), name=hole.name)  # fmt: skip


def _least(spots: Iterable[Spot], *, most: bool = False) -> Spot | None:
    """The one with the least margin; `most`: the limit is an upper one."""
    return min(spots, key=lambda s: (s.limit - s.value) if most else (s.value - s.limit), default=None)


def _room(measured: Measured, making: Making) -> Roomed:
    require(making.room_x, making.room_y, making.room_z)
    return _turned(measured.hull_mm, (number(making.room_x), number(making.room_y), number(making.room_z)))


@lru_cache(maxsize=256)  # asked again with every number that changes, and these seldom do
def _turned(hull_mm: tuple[Vector, ...], room_mm: Vector) -> Roomed:
    return best_turn(np.array(hull_mm), np.array(room_mm))


def _price_of(measured: Measured, making: Making) -> float:
    require(making.rate_per_cm3, making.rate_per_part)
    return number(making.rate_per_cm3) * measured.volume_mm3 / 1000 + number(making.rate_per_part)


def _price(making: Making, checked: Iterable[Checked]) -> tuple[float, float]:
    """(of all parts, what they may cost)."""
    require(making.rate_per_cm3, making.rate_per_part, making.most_price)
    return sum(each.wanted.pieces * need(each.price) for each in checked), number(making.most_price)
