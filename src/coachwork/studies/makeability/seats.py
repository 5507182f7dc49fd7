"""Bearing seats: what comes out of the machine, against the fit that a ring needs (ISO 286, ISO 492)."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from coachwork.catalogue.bearings import bore_h7_mm, ring_under_mm
from coachwork.catalogue.processes import Process
from coachwork.studies.solids import Hole, HoleFound, PartSolid, Vector

LEFT_TO_REAM_MM = 0.05  # a reamer that finds less to cut only rubs; common practice, no source
LARGEST_MM = 50.0  # that the tables of fits go up to


@dataclass(frozen=True, kw_only=True)
class Seat:
    """One seat as it comes out.

    comes_mm  : its diameter by what was found on the solid, less what the process takes off
    spread_mm : half-width that the process scatters by
    zone_mm   : how much larger than the ring's size a bore of H7 may be
    loosest_mm: play of the smallest ring that is allowed in the largest such bore
    """

    name: str
    point_mm: Vector
    ring_mm: float
    comes_mm: float
    spread_mm: float
    zone_mm: float
    loosest_mm: float
    reamed: bool

    @property
    def left_mm(self) -> float:
        """That the reamer still takes off, on the diameter, where the machine made the seat widest."""
        return self.ring_mm - self.comes_mm - self.spread_mm

    @property
    def margin_mm(self) -> float:
        """What the verdict turns on."""
        return self.left_mm - LEFT_TO_REAM_MM if self.reamed else self.zone_mm / 2 - self.spread_mm


def worst_seat(
    solid: PartSolid, pairs: Iterable[tuple[Hole, HoleFound]], rules: Process, *, shrink_mm: float, reamed: bool
) -> Seat | None:
    """The one with the least margin; None where there is none that was found."""
    return min(_seats(solid, pairs, rules, shrink_mm, reamed), key=lambda seat: seat.margin_mm, default=None)


def _seats(
    solid: PartSolid, pairs: Iterable[tuple[Hole, HoleFound]], rules: Process, shrink: float, reamed: bool
) -> Iterator[Seat]:
    for hole, found in pairs:
        if hole.purpose != "bearing" or not math.isfinite(found.diameter_mm) or hole.diameter_mm > LARGEST_MM:
            continue
        zone = bore_h7_mm(hole.diameter_mm)
        yield Seat(
            name=hole.name, point_mm=solid.on_chassis(hole.centre_mm), ring_mm=hole.diameter_mm,
            comes_mm=found.diameter_mm - shrink, spread_mm=rules.spread_mm, zone_mm=zone,
            loosest_mm=zone + ring_under_mm(hole.diameter_mm), reamed=reamed,
        )  # fmt: skip
