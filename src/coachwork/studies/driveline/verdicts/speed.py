"""Findings on speed and pull: fast enough, not too fast, up the ramp."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.drive import Drive, Run
from coachwork.studies.driveline.motor import INSULATION_DEGC
from coachwork.studies.driveline.pinions import Pinions
from coachwork.studies.driveline.result import DrivelineResult, Ramp, Speed
from coachwork.studies.driveline.verdicts.wording import comfortable, fit_instead, fits, kmh, nearest
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part, attempt, is_missing, need_all
from coachwork.studies.wording import COMMON_PRACTICE, first

FAST = 2.5  # times the wanted top speed; beyond, a crawl is a hair's breadth of the trigger
GEARING, TYRES = Place(part="pinion and spur"), Place(part="tyres")


def findings(result: DrivelineResult) -> Iterator[Finding]:
    """Both ends of the speed, then the ramp."""
    wanted = result.aims.top_speed_mm_s
    yield judge(
        result.speed, lambda one: _fast_enough(one, wanted, result), id="driveline.top-speed",
        question="Is it as fast as you want it?",
    )  # fmt: skip
    yield judge(
        result.speed, lambda one: _tame(one, wanted, result.pinions), id="driveline.tame",
        question="Does full throttle stay a speed for driving among people?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(result.ramp, result.changed)), lambda both: _ramp(*both, result),
        id="driveline.ramp", question="Does it pull away on the steepest ramp?",
    )  # fmt: skip


def _fast_enough(one: Speed, wanted: Numbers, result: DrivelineResult) -> Told:
    short = first(one.top_mm_s) < first(wanted)
    do = None
    if short:
        choice = nearest(result.pinions, comfortable, fits, lambda table: table.fast_enough)
        do = (
            fit_instead(result.pinions, choice)
            or "more teeth than any pinion has would be needed: a motor of more "
            "rpm/V, or one cell more where controller and motor allow it"
        )
    return {
        "value": one.top_mm_s * 0.0036, "limit": wanted * 0.0036, "sense": "at least", "unit": "km/h",
        "tight_within": 0.05 * first(wanted) * 0.0036,
        "why": f"on the level the motor turns {first(one.motor_rpm):.0f} rpm of the {first(one.no_load_rpm):.0f} it "
               f"would with the wheels off the ground, at {first(one.current_a):.1f} A{_at_scale(one, result)}"
               f"{_bought(result)}{_run(result.run)}",
        "do": do, "where": GEARING, "source": "the top speed you want",
    }  # fmt: skip


def _at_scale(one: Speed, result: DrivelineResult) -> str:
    if result.scale is None:
        return ""
    return f"; at scale that is {kmh(one.top_mm_s / result.scale, digits=0)}"


def _bought(result: DrivelineResult) -> str:
    if is_missing(result.speed_bought):
        return ""
    return f"; this motor in the donor as bought gives {kmh(result.speed_bought.top_mm_s)}"


def _run(run: Part[Run]) -> str:
    if is_missing(run):
        return ""
    return (
        f"; with the trigger pulled it is at {kmh(run.speed_mm_s[0, -1])} after {run.time_s[0, -1]:.1f} s and "
        f"{run.way_mm[0, -1] / 1000:.1f} m"
    )


def _tame(one: Speed, wanted: Numbers, table: Part[Pinions]) -> Told:
    top = first(one.top_mm_s)
    do = None
    if top > FAST * first(wanted):
        choice = nearest(table, lambda t: t.fits * (t.top_speed_mm_s <= FAST * first(wanted)))
        smaller = fit_instead(table, choice)
        limit = f"set the transmitter's throttle end point to {100 * first(wanted) / top:.0f} %"
        do = f"{limit}; or {smaller}" if smaller else limit
    return {
        "value": one.top_mm_s * 0.0036, "limit": FAST * wanted * 0.0036, "sense": "at most", "unit": "km/h",
        "tight_within": 0.0,
        "why": f"the speed you want takes {100 * first(wanted) / max(top, 1e-9):.0f} % of its top speed; a heavy hard "
               f"body at full throttle hurts ankles and takes metres to stop",
        "do": do, "where": GEARING,
        "source": f"{COMMON_PRACTICE}: two and a half times the wanted speed still leaves the trigger some feeling",
    }  # fmt: skip


def _ramp(ramp: Ramp, drive: Drive, result: DrivelineResult) -> Told:
    climbs = np.minimum(ramp.by_motor, ramp.by_grip)
    wanted = result.aims.gradient
    by_grip = first(ramp.by_grip) < first(ramp.by_motor)
    return {
        "value": 100 * climbs, "limit": 100 * wanted, "sense": "at least", "unit": "%", "tight_within": 5.0,
        "why": f"held, the motor pulls {first(ramp.motor_pull_n):.1f} N at the tyres with "
               f"{first(ramp.current_a):.0f} A, enough for {_steep(ramp.by_motor)}, but its winding passes "
               f"{INSULATION_DEGC:.0f} degC within {first(ramp.burns_s):.0f} s; the {_axles(result)} tyres grip with "
               f"{first(ramp.grip_n):.1f} N, enough for {_steep(ramp.by_grip)}",
        "do": _more_pull(ramp, drive, result, by_grip=by_grip) if first(climbs) < first(wanted) else None,
        "where": TYRES if by_grip else GEARING, "source": "the ramp you want it to start on",
    }  # fmt: skip


def _steep(gradient: Numbers) -> str:
    """Beyond 100 % the number tells nobody anything."""
    return f"{100 * first(gradient):.0f} %" if first(gradient) <= 1 else "anything"


def _axles(result: DrivelineResult) -> str:
    return "driven" if is_missing(result.driven) or result.driven == "both" else result.driven


def _more_pull(ramp: Ramp, drive: Drive, result: DrivelineResult, *, by_grip: bool) -> str:
    if by_grip:
        needs = first(result.aims.gradient) + first(drive.vehicle.rolling)
        tyres = f"fit tyres of a friction of {needs / first(drive.vehicle.driven_share):.2f} on that ground"
        if not is_missing(result.driven) and result.driven != "both":
            share = needs / first(drive.vehicle.grip)
            return (
                f"{tyres}, or put {100 * share:.0f} % of the weight on the {result.driven} axle" if share < 1 else tyres
            )
        return tyres
    slope = np.arctan(first(result.aims.gradient))
    needs = first(drive.vehicle.weight_n) * (np.sin(slope) + first(drive.vehicle.rolling) * np.cos(slope))
    teeth = np.floor(first(drive.gears.pinion_teeth) * first(ramp.motor_pull_n) / needs)
    return f"fit a pinion of {teeth:.0f} instead of {first(drive.gears.pinion_teeth):.0f}"
