"""What makeability answers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.catalogue.processes import Process
from coachwork.studies.makeability.order import Order
from coachwork.studies.makeability.seats import Seat
from coachwork.studies.makeability.specs.every import Wanted
from coachwork.studies.parts import Part
from coachwork.studies.solids import Nearby, PartSolid, Vector


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A least size on a solid: what and where, in the chassis frame."""

    value: float
    limit: float
    point_mm: Vector | None
    name: str = ""  # of the hole, if any


@dataclass(frozen=True, kw_only=True)
class Roomed:
    """How the part lies in the build volume best: what is left on the tightest side, mm; negative: too large.

    ends_mm : the two points of the part that are farthest apart along that side, in the part's own frame
    """

    left_mm: float
    size_mm: Vector  # of the part so turned, against the room's sides, longest first
    room_mm: Vector
    ends_mm: tuple[Vector, Vector]


@dataclass(frozen=True, kw_only=True)
class Checked:
    """One made part. A part of the answer is None where there is nothing to ask."""

    wanted: Wanted
    solid: PartSolid = field(metadata={"json": False})
    process: Process
    wall: Spot
    gap: Spot | None
    screw_wall: Spot | None
    edge: Spot | None
    places: Spot | None
    smallest_hole: Spot | None
    passes: Spot | None
    driver: Spot | None
    seat: Seat | None
    trapped_cm3: float
    overhang_mm2: float
    overhang_on: str
    room: Part[Roomed]
    mass_g: float
    price: Part[float]


@dataclass(frozen=True, kw_only=True)
class ScrewTip:
    """A screw of known length against the boxes: the nearest one, and the room left, mm; negative: into it.

    fits_mm : the longest screw that leaves the room asked for; 0 where that is none at all, shorter than thick
    """

    hole: str
    box: str
    room_mm: float
    limit_mm: float
    screw_mm: float
    fits_mm: float
    tip_mm: Vector


@dataclass(frozen=True, kw_only=True)
class MakeabilityResult:
    """By the parts' names.

    wanted   : all that are to be made, drawn or not
    checked  : those that stand made as the build asks now
    unmade   : those that could be drawn and are not made, or not any more as they should be
    screws   : by part and hole, those whose length is known
    order    : of assembly; None while a part is not made
    parts_near, boxes_near : made parts with each other and with the boxes in their places, the nearest first; None
               where there is no pair
    price    : of all parts, in the builder's money    mass_g : of all parts that are made
    """

    wanted: Mapping[str, Wanted]
    checked: Mapping[str, Checked]
    unmade: tuple[str, ...]
    screws: Mapping[str, Part[ScrewTip]]
    price: Part[tuple[float, float]]
    mass_g: float
    order: Part[Order] | None = None
    parts_near: Part[tuple[Nearby, ...]] | None = None
    boxes_near: Part[tuple[Nearby, ...]] | None = None

    def current(self, name: str) -> PartSolid | None:
        """The solid of a part, if it stands made as the build asks now."""
        checked = self.checked.get(name)
        return checked.solid if checked is not None else None
