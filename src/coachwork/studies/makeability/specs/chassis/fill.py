"""From the deck, the stretch, the hardpoints and the boxes' places to a chassis's spec."""

from __future__ import annotations

import numpy as np

from coachwork.build import require
from coachwork.build.sections.boxes import words_of
from coachwork.studies.makeability.specs.chassis.bay import bay_of, pin_holes
from coachwork.studies.makeability.specs.chassis.bolts import damper_holes, end_bolts
from coachwork.studies.makeability.specs.chassis.moving import cut_outs_of, kept_ways
from coachwork.studies.makeability.specs.chassis.posts import post_rooms, post_screws
from coachwork.studies.makeability.specs.chassis.spec import WAY_MM, ChassisSpec
from coachwork.studies.makeability.specs.chassis.steering import crank_bosses, servo_seat
from coachwork.studies.makeability.specs.chassis.stiffened import stiffeners_of
from coachwork.studies.makeability.specs.chassis.stowed import passages_of, standing, wells_and_lands
from coachwork.studies.makeability.specs.chassis.tubs import tub_of
from coachwork.studies.makeability.specs.holes import HoleSpec, drilled, screw_of
from coachwork.studies.makeability.specs.plain import number, round_all
from coachwork.studies.makeability.specs.stiffening import Floor
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe
from coachwork.studies.stowage.surroundings import outline_of
from coachwork.studies.wording import first


def chassis_spec(tables: PartTables) -> ChassisSpec:
    """From the deck, the stretch, the hardpoints and the boxes' places. Raises NotMeasured and CannotBe."""
    own = tables.parts.chassis
    deck = tables.decks.each.get(own.deck)
    if deck is None:
        raise CannotBe(f'parts.chassis.deck = "{own.deck}": there is no such deck; give [decks.{own.deck}] an outline')
    require(deck.height, deck.thickness)
    outline = outline_of(own.deck, tables.decks, {})  # one that stands in a chassis file is made already
    top, floor = first(deck.height.mm), first(deck.thickness.mm)
    posts = post_screws(tables, top, floor)
    front, rear = tub_of(tables, "front", outline.bounds), tub_of(tables, "rear", outline.bounds)
    cut_outs = tuple(cut_outs_of(tables, top))
    bay = bay_of(tables, deck, posts, floor)
    wells, lands = wells_and_lands(tables, deck, outline.bounds, top, floor)
    seats, seat_holes = servo_seat(tables)
    boss_screw = screw_of(own.bolt_screw, "parts.chassis.bolt-screw")
    cranks = tuple(crank_bosses(tables, top))
    passages = tuple(passages_of(tables))
    rooms = tuple(post_rooms(tables))
    on_floor = (*standing(tables, top), *((x - r, x + r, y - r, y + r) for x, y, r in rooms))
    in_way = (*on_floor, *(well[:4] for well in wells), *(seat[:4] for seat in seats), *kept_ways(tables),
              *((x - WAY_MM, x + WAY_MM, y - WAY_MM, y + WAY_MM) for x, y in passages))  # fmt: skip
    stiffeners = tuple(stiffeners_of(tables, Floor(
        outline=outline, top_mm=top, wall_mm=number(own.wall), wall_height_mm=number(own.wall_height), in_way=in_way,
    ), floor, bay, (front, rear), cut_outs))  # fmt: skip
    holes = [
        *posts,
        *end_bolts(tables, "front", own.front_bolts, top - floor, floor),
        *end_bolts(tables, "rear", own.rear_bolts, top - floor, floor),
        *damper_holes(tables, (front, rear), number(own.tower)),
        *seat_holes,
        *(
            HoleSpec(name=f"bell-cranks.{boss.name}", at_mm=(boss.x, boss.y, boss.top), axis=(0.0, 0.0, -1.0),
                     diameter_mm=boss_screw.pilot_mm, purpose="thread-forming", screw=boss_screw.name,
                     depth_mm=boss.depth_mm)
            for boss in cranks
        ),
        *pin_holes(bay, top, floor),
        *(
            drilled(name, hole, f"parts.chassis.holes.{name}", reamed=tables.making.seats == "reamed")
            for name, hole in own.holes.items()
        ),
    ]  # fmt: skip
    return ChassisSpec(
        name="chassis",
        outline=round_all(_counterclockwise(outline.corners)),
        open_sides=tuple(side for side in words_of(deck.open_to) if side in ("front", "rear", "left", "right")),
        floor_mm=floor, top_mm=top, wall_mm=number(own.wall), wall_height_mm=number(own.wall_height),
        corner_mm=number(own.corner), tower_mm=number(own.tower),
        bay=bay, front=front, rear=rear, bosses=cranks, seats=seats, wells=wells,
        cut_outs=cut_outs, lands=lands, land_mm=number(own.land_depth),
        passages=passages, holes=tuple(holes), boss_screw_mm=boss_screw.diameter_mm,
        neck_mm=max(number(own.neck_floor), floor) if own.neck_floor.given else floor,
        stiffeners=tuple(tuple(round(edge, 6) for edge in box) for box in stiffeners),  # type: ignore[misc]
        on_floor=on_floor,
        posts=rooms,
    )  # fmt: skip


def _counterclockwise(corners: np.ndarray) -> np.ndarray:
    x, y = corners.T
    turned = np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) < 0
    return corners[::-1] if turned else corners
