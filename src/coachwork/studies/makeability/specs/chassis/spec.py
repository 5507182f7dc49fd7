"""What a chassis is drawn from, all in the chassis frame, mm."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.stiffening import Box, Rect

WAY_MM = 7.0  # half the width left free where a lead crosses the coaming


@dataclass(frozen=True, kw_only=True)
class Bay:
    """The opening below the pack, for a door that goes in rear end first.

    lip_mm    : of the sides: the floor's upper half, over the door
    tongue_mm : of the ends: the floor's lower half, under the door's tongue and noses
    notches   : stretches of the sides where a post's screw takes the lip's place
    pins      : of the door, in the lips    pry : y of the slots in front of the latches' noses
    round_mm  : where a lip ends, and along both sides of a ledge; the opening's corners have twice that
    """

    opening: Rect
    lip_mm: float
    tongue_mm: float
    pin_mm: float
    pins: tuple[tuple[float, float], ...]
    pry: tuple[float, ...]
    rim_mm: float
    rim_height_mm: float
    notches: tuple[Rect, ...]
    round_mm: float

    @property
    def corner_mm(self) -> float:
        """Radius of the opening's corners, upright."""
        return 2 * self.round_mm

    @property
    def lips(self) -> tuple[float, float]:
        """Where the lips begin and end along x."""
        end = lips_end_mm(self.round_mm)
        return self.opening[0] + end, self.opening[1] - end


def lips_end_mm(round_mm: float) -> float:
    """From the bay's end to a lip's: past the opening's rounded corner and the lip's own round."""
    return 3.5 * round_mm


@dataclass(frozen=True, kw_only=True)
class Tub:
    """One end: from the deck's edge over a neck, past the arms, to its end; the tower stands at `tower_x`.

    half_mm : half the floor's width between the arms    neck_half_mm : before them, from `neck_to`
    """

    end: Literal["front", "rear"]
    begins: float
    neck_to: float
    ends: float
    half_mm: float
    neck_half_mm: float
    tower_x: tuple[float, float]
    damper_y: float
    damper_z: float

    @property
    def shoulder_mm(self) -> float:
        """Length over which the neck narrows to the floor between the arms."""
        return min(abs(self.neck_half_mm - self.half_mm), 0.6 * abs(self.neck_to - self.begins), 7.0)


@dataclass(frozen=True, kw_only=True)
class Boss:
    """A round boss on the floor that a screw cuts its thread in."""

    name: str
    x: float
    y: float
    top: float
    diameter_mm: float
    depth_mm: float


@dataclass(frozen=True, kw_only=True)
class ChassisSpec:
    """All that the solid follows from.

    neck_mm    : thickness of the floor from the deck to where an end is bolted on
    stiffeners : ribs, inner walls and lids of boxed sides
    on_floor   : what stands on the floor, and would not fit on a thicker one
    posts      : x, y, and the radius kept free for each
    """

    name: str
    outline: tuple[tuple[float, ...], ...]
    open_sides: tuple[str, ...]
    floor_mm: float
    top_mm: float
    wall_mm: float
    wall_height_mm: float
    corner_mm: float
    tower_mm: float
    bay: Bay | None
    front: Tub | None
    rear: Tub | None
    bosses: tuple[Boss, ...]
    seats: tuple[Box, ...]
    wells: tuple[Box, ...]
    cut_outs: tuple[Rect, ...]
    lands: tuple[Rect, ...]
    land_mm: float
    passages: tuple[tuple[float, float], ...]
    holes: tuple[HoleSpec, ...]
    boss_screw_mm: float
    neck_mm: float
    stiffeners: tuple[Box, ...]
    on_floor: tuple[Rect, ...]
    posts: tuple[tuple[float, float, float], ...]
