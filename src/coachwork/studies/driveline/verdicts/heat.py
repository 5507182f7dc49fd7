"""Findings on heat: the motor on a round, the load against the donor's, whether any pinion does it all."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.against import Against
from coachwork.studies.driveline.drive import Drive
from coachwork.studies.driveline.duty import Round
from coachwork.studies.driveline.pinions import HEAVIER, TIGHT_LOAD, Pinions
from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.driveline.verdicts.wording import TIGHT_K, bearable, comfortable, fit_instead, fits, kmh, nearest
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import attempt, need_all
from coachwork.studies.wording import COMMON_PRACTICE, first

BURNS_DEGC = 60.0  # bare metal, some five seconds' touch; ISO 13732-1, from memory
MOTOR = Place(part="motor")


def findings(result: DrivelineResult) -> Iterator[Finding]:
    """All three."""
    yield judge(
        attempt(lambda: need_all(result.round, result.changed)), lambda both: _warm(*both, result),
        id="driveline.motor-heat", question="Does the motor stay cool enough on a round?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(result.against, result.changed)), lambda both: _load(*both),
        id="driveline.load", question="Is the motor loaded about as in the donor?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(result.pinions, result.changed)), lambda both: _pinions(*both, result),
        id="driveline.pinions", question="Is there a pinion that is fast, cool and in reach?",
    )  # fmt: skip


def _warm(one: Round, drive: Drive, result: DrivelineResult) -> Told:
    hottest = drive.motor.hottest_degc
    too_hot = first(one.case_degc) > first(hottest)
    copper = first((one.winding_degc - one.case_degc) / drive.motor.winding_to_case_k_per_w)
    do = None
    if too_hot:
        choice = nearest(
            result.pinions, comfortable, lambda t: fits(t) * bearable(t),
            lambda t: t.cool_enough * t.fast_enough * bearable(t),
        )  # fmt: skip
        do = fit_instead(result.pinions, choice) or _other_cures(one, drive)
    return {
        "value": one.case_degc, "limit": hottest, "sense": "at most", "unit": "degC", "tight_within": TIGHT_K,
        "why": f"a start draws {first(one.start.current_a):.1f} A, the level {first(one.cruise.current_a):.1f} A, the "
               f"ramp {first(one.ramp.current_a):.1f} A; over the round {copper:.1f} W heat the winding and "
               f"{first(one.friction_w):.1f} W bearings and iron, and the can settles at "
               f"{first(one.case_degc):.0f} degC, its winding at {first(one.winding_degc):.0f} degC{_burns(one)}",
        "do": do, "where": MOTOR,
        "source": f"the can's highest temperature as you state it; 80 degC where you do not is {COMMON_PRACTICE}, for "
                  "magnets and brushes",
    }  # fmt: skip


def _burns(one: Round) -> str:
    return f"; metal above {BURNS_DEGC:.0f} degC burns fingers" if first(one.case_degc) > BURNS_DEGC else ""


def _other_cures(one: Round, drive: Drive) -> str:
    """How good the cooling would have to be; rises go with the path to the air."""
    rise = first(one.case_degc) - first(drive.motor.surroundings_degc)
    room = first(drive.motor.hottest_degc) - first(drive.motor.surroundings_degc)
    if room <= 0:
        return "let air through the body: what is round the motor is hotter than its can may be"
    path = first(drive.motor.case_to_air_k_per_w) * room / rise
    return (
        f"no pinion that it can bear is fast and cool: cool the can to {path:.1f} K/W (a fan, a finned clamp), or take "
        f"a motor of less resistance, or ask less of it"
    )


def _load(one: Against, drive: Drive) -> Told:
    fitted = first(drive.gears.pinion_teeth)
    heavy = first(one.load) > HEAVIER
    of_load = (HEAVIER - TIGHT_LOAD) / first(one.load)
    pinion, spur = max(np.floor(fitted * of_load), 1), np.ceil(first(drive.gears.spur_teeth) / of_load)
    return {
        "value": 100 * (one.load - 1), "limit": np.full_like(one.load, 100 * (HEAVIER - 1)), "sense": "at most",
        "unit": "% more", "tight_within": 100 * TIGHT_LOAD,
        "why": f"against the donor: {_differences(one)}; the same getaway takes {_times(one.load)} the torque, and "
               f"heat in the winding goes with its square",
        "do": f"fit a pinion of {pinion:.0f} instead of {fitted:.0f}, or a spur of {spur:.0f} instead of "
              f"{first(drive.gears.spur_teeth):.0f}" if heavy else None,
        "where": MOTOR, "source": f"{COMMON_PRACTICE}: donors leave about half as much again",
    }  # fmt: skip


def _differences(one: Against) -> str:
    """What has changed by more than half a per cent."""
    parts = (
        (one.mass, f"{_times(one.mass)} the mass"),
        (one.tyre, f"tyres {_times(one.tyre)} as large"),
        (one.ratio, f"gears {_times(one.ratio)} as short"),
    )
    return ", ".join(told for ratio, told in parts if abs(first(ratio) - 1) > 0.005) or "all as it was"


def _times(ratio: Numbers) -> str:
    return f"{first(ratio):.2f} times"


def _pinions(table: Pinions, drive: Drive, result: DrivelineResult) -> Told:
    listed = "; ".join(_row(table, teeth, drive) for teeth in _shown(table))
    slot = "" if table.slot_known else "; the motor's slot is not measured and left out"
    do = None
    if first(table.fitting) < 1:
        do = _no_pinion(table, drive)
    return {
        "value": table.fitting, "limit": np.ones_like(table.fitting), "sense": "at least", "unit": "pinions",
        "tight_within": 0.0,
        "why": f"at {kmh(result.aims.top_speed_mm_s)} and more, {first(drive.motor.hottest_degc):.0f} degC and less: "
               f"{listed}{slot}",
        "do": do, "where": Place(part="pinion and spur"), "source": "speed, temperature and slot as stated",
    }  # fmt: skip


def _shown(table: Pinions) -> list[int]:
    """The fitted pinion, the ends of what fits, and every fourth between the smallest and the largest fast one."""
    teeth = table.teeth[0]
    chosen = {int(first(table.fitted_teeth))} & {int(one) for one in teeth}
    fits = teeth[table.fits[0] > 0]
    if fits.size:
        chosen |= {int(fits[0]), int(fits[-1]), int(fits[fits.size // 2])}
    return sorted(chosen | {int(one) for one in teeth[3:24:5]})


def _row(table: Pinions, teeth: int, drive: Drive) -> str:
    top, case = table.of(teeth)
    place = int(np.flatnonzero(table.teeth[0] == teeth)[0])
    lacks = [
        word
        for word, good in (("slow", table.fast_enough), ("hot", table.cool_enough), ("out of reach", table.reaches))
        if not good[0, place]
    ]
    told = f" ({', '.join(lacks)})" if lacks else ""
    return f"{teeth} teeth {kmh(np.array([top]))} {case:.0f} degC{told}"


def _no_pinion(table: Pinions, drive: Drive) -> str:
    """What would let one fit: the slot, or another motor."""
    else_good = table.nearest_of(table.fast_enough * table.cool_enough)
    spur = first(drive.gears.spur_teeth)
    if else_good is not None:
        turns = spur * first(drive.gears.pinion_teeth) / else_good
        return (
            f"{else_good} teeth would be fast and cool but are out of the slot's reach; with the pinion of "
            f"{first(drive.gears.pinion_teeth):.0f} a spur of {turns:.0f} gives the same ratio"
        )
    return (
        "take a motor of less resistance or better cooling, or want less speed; no pinion of 9 to 40 is fast and cool"
    )
