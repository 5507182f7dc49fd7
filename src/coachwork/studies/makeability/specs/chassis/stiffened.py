"""Ribs and boxed sides, as far as the build asks for any."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coachwork.studies.makeability.specs.chassis.spec import Bay, Tub
from coachwork.studies.makeability.specs.chassis.steering import crank_bosses
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.stiffening import Box, Coaming, Floor, Neck, Rect, boxed_sides, ribs
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe


def stiffeners_of(
    tables: PartTables,
    floor: Floor,
    floor_mm: float,
    bay: Bay | None,
    tubs: tuple[Tub, Tub],
    cut_outs: tuple[Rect, ...],
) -> Iterator[Box]:
    """As far as the build asks for any, lower where a bell-crank turns over them. Raises CannotBe."""
    own = tables.parts.chassis
    coaming = None if bay is None else Coaming(
        opening=bay.opening, ends_off_mm=bay.tongue_mm, thick_mm=bay.rim_mm, height_mm=bay.rim_height_mm
    )  # fmt: skip
    under = {tub.end: min((boss.top - floor.top_mm for boss in crank_bosses(tables, floor.top_mm)
                           if boss.name.startswith(tub.end)), default=np.inf) for tub in tubs}  # fmt: skip
    if own.neck_floor.given and number(own.neck_floor) - floor_mm > min(under.values()):
        raise CannotBe(
            f"a bell-crank turns {min(under.values()):.1f} mm over the floor; parts.chassis.neck-floor at most "
            f"{min(under.values()) + floor_mm:.1f} mm"
        )
    if own.box_width.given:
        yield from boxed_sides(replace(floor, in_way=(*floor.in_way, *cut_outs)), coaming, number(own.box_width))
    if own.rib_height.given:
        necks = [
            Neck(way=way, begins=tub.begins, shoulder=tub.neck_to - way * tub.shoulder_mm, ends=tub.neck_to,
                 half_mm=tub.neck_half_mm, narrow_mm=tub.half_mm, most_mm=float(under[tub.end]))
            for tub, way in zip(tubs, (1.0, -1.0), strict=True)
        ]  # fmt: skip
        yield from ribs(floor, coaming, necks, cut_outs, number(own.rib_height))
