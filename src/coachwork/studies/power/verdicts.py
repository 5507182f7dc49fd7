"""From a drive to findings: how warm, how low, how long, against what each thing stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import is_missing
from coachwork.studies.power.compute import BUILT_IN, MORE_VENTS_M2, NEW_VENTS, OPEN, SEPARATE
from coachwork.studies.power.guards import Guard, Trip
from coachwork.studies.power.heat import AIR, CAN, CONTROLLER, PACK, REGULATOR
from coachwork.studies.power.pack import cell_v
from coachwork.studies.power.result import Answer, PowerResult
from coachwork.studies.power.words import MEANS, degrees, minutes, way_back
from coachwork.studies.wording import COMMON_PRACTICE, first

HOTTEST_PACK_DEGC = 60.0  # discharging; what most makers of lithium cells print, from memory
HEAT_ROOM_K = 10.0  # below this much room a verdict on heat is tight: about what a warmer day takes; our choice
LITHIUM = (
    "a swollen, hot or dented lithium pack goes outside, on stone, away from people; local rules and the pack's "
    "leaflet come first"
)
BURNS = "parts of 60 degC and more burn the skin: let it cool, or feel with the back of a finger"


def findings(result: PowerResult) -> Iterator[Finding]:
    """The same questions whatever the numbers; that of a motor's sensor or an idle time-out where there is one."""
    asked: list[tuple[str, str, Callable[[Answer], Told]]] = [
        ("power.run-time", "Does the pack last as long as you want to drive?", _run_time),
        ("power.regulator-heat", "Does the receiver's regulator stay cool enough?", _regulator),
        ("power.controller-heat", "Does the speed controller stay cool enough?", _controller),
        ("power.motor-heat", "Does the motor stay cool enough under the shell?", _motor),
        ("power.pack-heat", "Does the pack stay cool enough?", _pack),
        ("power.brown-out", "Does the receiver keep its voltage all the way?", _brown_out),
        ("power.keeps-speed", "Does the pack's voltage suffice for the speeds of the round?", _speed),
    ]
    told = result.answer
    if not is_missing(told) and any(guard.trip == "idle time-out" for guard in told.setup.guards):
        asked.append(("power.idle-time-out", "Does nothing fall asleep on the round?", _idle))
    for id, question, answer in asked:
        yield judge(told, answer, id=id, question=question)


def _run_time(answer: Answer) -> Told:
    setup, watched = answer.setup, answer.watched
    last, wanted = first(answer.run_time_s), setup.seconds
    cut = float(watched.first_s["cell cut-off"].flat[0])
    left = float(watched.share.flat[0])
    how = (
        f"{MEANS['cell cut-off']} after {minutes(cut)}, {way_back(setup.guard('cell cut-off'))}; it still steers"
        if np.isfinite(cut)
        else f"the round leaves {left:.0%} of the pack after {minutes(wanted)}"
    )
    more = first(setup.vehicle.pack.charge_as) / 3.6 * (wanted / last - 1)
    return {
        "value": answer.run_time_s / 60,
        "limit": np.array([wanted / 60]),
        "sense": "at least",
        "tight_within": 0.15 * wanted / 60,
        "unit": "min",
        "why": how,
        "do": f"fit about {more:.0f} mAh more, or drive {minutes(last)} at a time; {LITHIUM}"
        if last < wanted
        else None,
        "where": Place(part="pack"),
        "source": "the time you want, duty.time",
    }


def _regulator(answer: Answer) -> Told:
    guard = answer.setup.guard("regulator heat")
    heat = answer.watched.hottest_degc[:, REGULATOR]
    linear = bool(answer.setup.vehicle.regulator.linear[0])
    name = answer.setup.regulator
    burns = (
        f"the linear regulator ({name}) burns what it takes off the pack's voltage, "
        f"{_burnt_w(answer):.1f} W with lights and sound as you drive"
        if linear
        else f"the switching regulator ({name}) loses {_burnt_w(answer):.1f} W with lights and sound as you drive"
    )
    if (spare := answer.others.get(BUILT_IN)) is not None:
        burns += f"; {BUILT_IN} it would be {degrees(float(spare.hottest_degc[REGULATOR]))} there"
    return _heat(
        answer, heat, guard, part=name, trip="regulator heat", why=burns, cure=_cure(answer, guard, REGULATOR, linear)
    )


def _controller(answer: Answer) -> Told:
    guard = answer.setup.guard("controller heat")
    body = answer.setup.body
    shared = "it shares its board with the regulator" if body.built_in[0] else "the motor's current heats it"
    air = f", in air of {degrees(float(answer.watched.hottest_degc[0, AIR]))} at the most"
    linear = bool(answer.setup.vehicle.regulator.linear[0]) and bool(body.built_in[0])
    return _heat(
        answer, answer.watched.hottest_degc[:, CONTROLLER], guard, part="controller", trip="controller heat",
        why=shared + air, cure=_cure(answer, guard, CONTROLLER, linear),
    )  # fmt: skip


def _heat(
    answer: Answer, degc: Numbers, guard: Guard, *, part: str, trip: Trip, why: str, cure: str | None
) -> Told:  # fmt: skip
    when = float(answer.watched.first_s[trip].flat[0])
    happens = f"; after {minutes(when)} {MEANS[trip]}, {way_back(guard)}" if np.isfinite(when) else ""
    return {
        "value": degc,
        "limit": guard.limit,
        "tight_within": HEAT_ROOM_K,
        "unit": "degC",
        "why": f"{why}{happens}",
        "do": cure,
        "where": Place(part=part),
        "source": "where it trips, as its leaflet or your guess has it",
    }


def _burnt_w(answer: Answer) -> float:
    """Loss of the regulator with the usual loads, at a full pack."""
    setup = answer.setup
    reg, amps = setup.vehicle.regulator, min(first(setup.rail_a["usual"]), first(setup.vehicle.regulator.limit_a))
    if reg.linear[0]:
        pack = setup.vehicle.pack
        volts = first(pack.cells) * first(cell_v(pack.chemistry, pack.share))
        return max(0.0, volts - first(reg.out_v)) * amps
    return first(reg.out_v) * amps * (1 / first(reg.efficiency) - 1)


def _cure(answer: Answer, guard: Guard, lump: int, linear: bool) -> str | None:
    """The change with its number, taken from the drives that were made otherwise."""
    if not answer.others or float(answer.watched.hottest_degc[0, lump]) <= first(guard.limit):
        return None
    names = [SEPARATE] if linear else []
    names += [NEW_VENTS, OPEN] if answer.setup.body.closed[0] else []
    told = [f"{name} it stays at {degrees(float(answer.others[name].hottest_degc[lump]))}" for name in names]
    enough = [n for n in names if float(answer.others[n].hottest_degc[lump]) < first(guard.limit) - HEAT_ROOM_K]
    action = {
        SEPARATE: "fit a separate switching regulator and cut the built-in one's plus wire",
        NEW_VENTS: f"cut {MORE_VENTS_M2 * 1e4:.0f} cm2 of vents, half low, half high",
        OPEN: "take the shell off, or drive half as long at a time",
    }
    what = action[enough[0]] if enough else "ask less of it: fewer lights at a time, a larger heat sink"
    return f"{what} ({'; '.join(told)}); {BURNS}" if told else f"{what}; {BURNS}"


def _motor(answer: Answer) -> Told:
    can, limit = answer.watched.hottest_degc[:, CAN], answer.setup.hottest_degc
    over = first(can) > first(limit)
    return {
        "value": can,
        "limit": limit,
        "tight_within": HEAT_ROOM_K,
        "unit": "degC",
        "why": f"its can in air of {degrees(float(answer.watched.hottest_degc[0, AIR]))} at the most; nothing but a "
        "sensor would stop it",
        "do": f"gear it shorter, or let air at it; {BURNS}" if over else None,
        "where": Place(part="motor"),
        "source": "motor.hottest, as its maker or your guess has it",
    }


def _pack(answer: Answer) -> Told:
    pack = answer.watched.hottest_degc[:, PACK]
    return {
        "value": pack,
        "limit": np.array([HOTTEST_PACK_DEGC]),
        "tight_within": HEAT_ROOM_K,
        "unit": "degC",
        "why": f"{first(answer.watched.chemical_j) / answer.watched.seconds:.0f} W on average go through "
        f"{1000 * first(answer.setup.vehicle.pack.resistance_ohm):.0f} mohm of its own",
        "do": f"fit a pack of less resistance, or give it air; {LITHIUM}" if first(pack) > HOTTEST_PACK_DEGC else None,
        "where": Place(part="pack"),
        "source": "makers of lithium cells, from memory: 60 degC while discharging",
    }


def _brown_out(answer: Answer) -> Told:
    guard, lowest = answer.setup.guard("brown-out"), answer.watched.lowest_rail_v
    reg = answer.setup.vehicle.regulator
    heavy = first(answer.setup.rail_a["heavy"])
    over = heavy > first(reg.limit_a)
    why = (
        f"all on, it asks {heavy:.1f} A of a regulator that limits itself at {first(reg.limit_a):.1f} A"
        if over
        else f"the pack's plug falls to {first(answer.watched.lowest_bus_v):.1f} V at the worst moment of the round"
    )
    low = first(lowest) < first(guard.limit)
    do = None
    if low and over:
        do = f"fit a regulator for {1.3 * heavy:.0f} A all the time"
    elif low:
        do = "fit a pack of less resistance, or a regulator that needs less above its output"
    return {
        "value": lowest,
        "limit": guard.limit,
        "sense": "at least",
        "tight_within": 0.3,
        "unit": "V",
        "why": why + (f"; {MEANS['brown-out']}, {way_back(guard)}" if low else ""),
        "do": do,
        "where": Place(part=answer.setup.regulator),
        "source": "wiring.loads.receiver.least-voltage, as its leaflet or your guess has it",
    }


def _speed(answer: Answer) -> Told:
    reach = answer.watched.reach
    slow = first(reach) < 0.95
    return {
        "value": 100 * reach,
        "limit": np.array([95.0]),
        "sense": "at least",
        "tight_within": 0.0,
        "unit": "%",
        "why": "the least speed reached, of the speed the round asks for; at full throttle the controller has no more "
        "to give",
        "do": "write slower legs, or gear it longer where driveline says that the motor bears it" if slow else None,
        "where": Place(part="motor"),
        "source": COMMON_PRACTICE,
    }


def _idle(answer: Answer) -> Told:
    setup = answer.setup
    longest = _longest_stand_s(answer)
    limit = setup.guard("idle time-out").hold_s
    late = longest >= first(limit)
    return {
        "value": np.array([longest / 60]),
        "limit": limit / 60,
        "tight_within": 0.5,
        "unit": "min",
        "why": "the longest stand of the round" + (f"; {MEANS['idle time-out']}" if late else ""),
        "do": "touch the throttle before then, or set a longer time" if late else None,
        "where": Place(part="controller"),
        "source": "cut-outs.idle, as its leaflet has it",
    }


def _longest_stand_s(answer: Answer) -> float:
    """Stands that follow each other count as one, from the end of a round into the next as well."""
    longest = run = 0.0
    for leg in answer.setup.legs * 2:
        run = run + leg.seconds if leg.speed_m_s == 0 else 0.0
        longest = max(longest, run)
    return longest
