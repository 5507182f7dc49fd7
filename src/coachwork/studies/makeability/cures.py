"""What to change when something is too thin, and what the change does: worked out on the spec, exact where said so."""

from __future__ import annotations

from math import ceil, dist, floor

from coachwork.studies.makeability.result import Checked, Spot
from coachwork.studies.makeability.specs.chassis import ChassisSpec
from coachwork.studies.parts import is_missing

ROUNDED = 0.1  # cures are told in tenths, rounded to the safe side


def up(value: float) -> float:
    """To the next tenth.

    >>> up(0.41)
    0.5
    """
    return ceil(value / ROUNDED - 1e-6) * ROUNDED


def down(value: float) -> float:
    """To the tenth before, and to nothing at the least.

    >>> down(9.69), down(-0.3)
    (9.6, 0.0)
    """
    return round(max(0.0, floor(value / ROUNDED + 1e-6) * ROUNDED), 1)


def wall_cure(spot: Spot, checked: Checked) -> str:
    """Thicker by what lacks; for our own chassis the key and the weight it costs."""
    short = up(spot.limit - spot.value)
    if spot.name.startswith(("bell-cranks.", "servo.")):
        return screw_wall_cure(spot, checked)
    spec = None if is_missing(checked.wanted.spec) else checked.wanted.spec
    if isinstance(spec, ChassisSpec) and not spot.name and spot.point_mm is not None:
        if spot.point_mm[2] > spec.top_mm + 0.5:
            grams = _ring_mm(spec) * spec.wall_height_mm * short / 1000 * checked.mass_g / volume_cm3(checked)
            return f"parts.chassis.wall = {spec.wall_mm + short:.1f} mm, {short:.1f} more; it weighs {grams:.0f} g more"
        return f"make the deck {short:.1f} mm thicker, thickness and height in [decks], or its seats shallower"
    return f"{short:.1f} mm more material there"


def _ring_mm(spec: ChassisSpec) -> float:
    around = zip(spec.outline, (*spec.outline[1:], spec.outline[0]), strict=True)
    return sum(dist(a, b) for a, b in around)


def volume_cm3(checked: Checked) -> float:
    """Of the part as measured."""
    measured = checked.solid.measured
    assert measured is not None
    return measured.volume_mm3 / 1000


def screw_wall_cure(spot: Spot, checked: Checked) -> str:
    """A boss grows by twice what lacks, and the wall with it by half as much: exact."""
    short = up(spot.limit - spot.value)
    spec = None if is_missing(checked.wanted.spec) else checked.wanted.spec
    if isinstance(spec, ChassisSpec) and spot.name.startswith("bell-cranks."):
        now = next(boss.diameter_mm for boss in spec.bosses if spot.name == f"bell-cranks.{boss.name}")
        return (
            f"parts.chassis.boss = {now + 2 * short:.1f} mm instead of {now:.1f} mm: that leaves "
            f"{spot.value + short:.2f} mm round the screw"
        )
    return f"{short:.1f} mm more material all round the screw: {spot.value + short:.2f} mm are left then"


def edge_cure(spot: Spot, checked: Checked) -> str:
    """The hole further in, in mm."""
    hole = next(each for each in checked.solid.holes if each.name == spot.name)
    move = up((spot.limit - spot.value) * hole.drawn_mm)
    return (
        f"move the hole {spot.name} {move:.1f} mm away from the edge: {spot.value + move / hole.drawn_mm:.2f} diameters"
    )
