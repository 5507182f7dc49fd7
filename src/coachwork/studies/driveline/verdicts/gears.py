"""Findings on gears and tyres: reach of the slot, one pitch, tyres that turn alike."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.gather import Radii
from coachwork.studies.driveline.gears import MESH_GAP_MM, Mesh
from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.driveline.verdicts.wording import comfortable, fits, nearest
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part, attempt, need_all
from coachwork.studies.wording import COMMON_PRACTICE, first, mm

SLOT_TIGHT_MM = 0.1  # the strip of paper once more
PITCH_OFF_MM = 0.01  # the nearest two in use are 0.5 and 0.529 (48 to the inch)
WIND_UP_SHARE = 0.02  # tyres of one make differ by about this, and slip it off
MOTOR = Place(part="motor mount")


def findings(result: DrivelineResult) -> Iterator[Finding]:
    """Tyres against each other only where both axles are driven."""
    yield judge(
        result.mesh, lambda mesh: _mesh(mesh, result), id="driveline.mesh",
        question="Does the motor's slot let pinion and spur mesh?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(result.pinion_module_mm, result.module_mm)), lambda both: _pitch(*both),
        id="driveline.pitch", question="Are pinion and spur of one pitch?",
    )  # fmt: skip
    if result.driven in ("front", "rear"):
        return
    both: Part[tuple[object, Radii]] = attempt(lambda: need_all(result.driven, result.radii))
    yield judge(
        both, lambda part: _wind_up(part[1]), id="driveline.wind-up",
        question="Do front and rear tyres turn alike, so that the drive between them is not wound up?",
    )  # fmt: skip


def _mesh(mesh: Mesh, result: DrivelineResult) -> Told:
    outside = mesh.outside_mm
    far, wanted = first(outside), mm(mesh.centres_mm)
    pinion, spur = first(mesh.pinion_teeth), first(mesh.spur_teeth)
    fewest, most = (first(teeth) for teeth in mesh.teeth_within())
    do = None
    if far > 0 and fewest <= most:
        do = (
            f"fit a pinion of {_teeth(fewest - spur, most - spur)} to this spur of {spur:.0f}, or a spur of "
            f"{_teeth(fewest - pinion, most - pinion)} to this pinion of {pinion:.0f}; or file the slot by {mm(far)}"
        )
        choice = nearest(result.pinions, comfortable, fits)
        if choice is not None:
            do = f"{do}; a pinion of {choice} would be fast and cool as well"
        do = f"{do}. Unplug the pack before your fingers go near the gears"
    elif far > 0:
        do = f"file the slot {mm(far)} longer, no whole teeth come out in it"
    return {
        "value": -outside, "limit": np.zeros_like(outside), "sense": "at least", "unit": "mm",
        "tight_within": SLOT_TIGHT_MM,
        "why": f"{pinion:.0f} and {spur:.0f} teeth of module {first(mesh.module_mm):.3g} want their shafts {wanted} "
               f"apart, the slot gives {mm(mesh.least_mm)} to {mm(mesh.most_mm)}",
        "do": do, "where": MOTOR,
        "source": f"centres of unshifted spur gears (ISO 21771), and {MESH_GAP_MM} mm so that the teeth do not bind, a "
                  f"strip of paper ({COMMON_PRACTICE})",
    }  # fmt: skip


def _teeth(low: float, high: float) -> str:
    return f"{low:.0f}" if low == high else f"{low:.0f} to {high:.0f} teeth"


def _pitch(pinion: Numbers, spur: Numbers) -> Told:
    off = np.abs(pinion - spur)
    do = f"get a pinion of module {first(spur):.3g}" if first(off) > PITCH_OFF_MM else None
    return {
        "value": off, "limit": np.full_like(off, PITCH_OFF_MM), "sense": "at most", "unit": "mm of module",
        "tight_within": 0.0,
        "why": f"the pinion's module is {first(pinion):.3g}, the spur's {first(spur):.3g}; teeth of two pitches ride "
               f"up on each other, whine and strip the softer gear",
        "do": do, "where": MOTOR, "source": "one module for both gears, ISO 54 (from memory)",
    }  # fmt: skip


def _wind_up(radii: Radii) -> Told:
    share = 100 * (radii.front_mm / radii.rear_mm - 1)
    off = first(share)
    larger, smaller = ("front", "rear") if off > 0 else ("rear", "front")
    do = None
    if abs(off) > 100 * WIND_UP_SHARE:
        far = 2 * abs(first(radii.front_mm) - first(radii.rear_mm))
        do = f"fit tyres of one diameter: {smaller} ones {mm(far)} larger or {larger} ones as much smaller"
    return {
        "value": share, "limit": np.full_like(share, 100 * WIND_UP_SHARE), "sense": "within", "unit": "%",
        "tight_within": 0.5,
        "why": f"for one turn of the wheels the front tyres roll {mm(2 * np.pi * radii.front_mm)}, the rear ones "
               f"{mm(2 * np.pi * radii.rear_mm)}, and one shaft or belt turns both",
        "do": do, "where": Place(part="tyres"),
        "source": f"{COMMON_PRACTICE}: tyres slip off about 2 %, the rest heats motor and belt and wears gears",
    }  # fmt: skip
