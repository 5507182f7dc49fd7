"""From an arm's stress as its axle lands to a finding."""

from __future__ import annotations

from math import ceil, sqrt

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part
from coachwork.studies.structure.arm_jobs import ARMS
from coachwork.studies.structure.result import ArmDrop
from coachwork.studies.wording import first


def arm_finding(name: str, arm: Part[ArmDrop]) -> Finding:
    """Does it bear a drop off the kerb?"""
    hand = name.rpartition("-")[2]
    return judge(arm, _bears, id=f"structure.arm.{name}",
                 question=f"Does the {hand} {ARMS[name]} arm bear a drop off a kerb?")  # fmt: skip


def _bears(arm: ArmDrop) -> Told:
    over = float((arm.stress_mpa / arm.bears_mpa).flat[0])
    doubt = f"; its elements differ by {100 * arm.unsure:.0f} % there" if arm.unsure > 0.2 else ""
    return {
        "value": arm.stress_mpa,
        "limit": arm.bears_mpa,
        "sense": "at most",
        "tight_within": 0.15 * first(arm.bears_mpa),
        "unit": "MPa",
        "why": f"its axle lands with {first(arm.landing.factor):.1f} times its standing load, "
        f"{first(arm.landing.peak_n) / 2:.0f} N under each wheel, the damper against its stop{doubt}",
        "do": f"make it {ceil(100 * (sqrt(over) - 1))} % thicker, an estimate as of a bent plate; or round that corner"
        if over > 1 else None,
        "where": Place(part=arm.part, point_mm=arm.place_mm),
        "source": "tensile strength less the process's knock-down, by the catalogue",
    }  # fmt: skip
