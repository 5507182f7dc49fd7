"""Findings of balance: what it weighs, how it stands, what keeps it from tipping, how it rides."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.corner import EndName
from coachwork.studies.balance.footing import ENDS
from coachwork.studies.balance.result import BalanceResult, Entered, Gripped, Shares, Turning
from coachwork.studies.balance.ride import Damping, Ride
from coachwork.studies.balance.stability import Stand
from coachwork.studies.balance.weight import Weight
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import attempt, need, need_all
from coachwork.studies.wording import COMMON_PRACTICE, first, mm

MASS_PERCENT = 3.0  # further apart, something was left out or counted twice
SHARE_PERCENT = 3.0  # of the whole weight, between what is found and what the other questions are told
WANTED_PERCENT = 6.0  # of the whole weight, either side of the wanted front share
SIDE_PERCENT = 1.5  # of the whole weight, either side of the middle
LEAN_DEG = 5.0  # more looks wrong and throws the load
RIDE_MM = 1.0  # a collar is not worth turning for less
FREQUENCY_RATIO = (0.9, 1.35)  # rear over front
DAMPING = (0.35, 1.0)  # of critical: less bounces on, more packs down
BALLAST_OVER_GROUND_MM = 12.0  # where ballast under the deck has its own centre; an assumption, said in the sentence


def findings(result: BalanceResult) -> Iterator[Finding]:
    """Weight, standing, tipping, then each end's springs and dampers."""
    yield judge(attempt(need_all, result.by_parts, result.by_scale), _adds_up, id="balance.parts-against-scale",
                question="Do its parts add up to what the scale says?")  # fmt: skip
    yield judge(result.entered, _mass, id="balance.mass", question="Do the other answers count with its real weight?")
    yield judge(result.shares, _told_share, id="balance.front-share",
                question="Do the other answers share the weight out as it really is?")  # fmt: skip
    yield judge(
        result.shares, _spread, id="balance.fore-aft", question="Is the weight spread over both axles as wanted?"
    )
    yield judge(result.stood, _side, id="balance.side-to-side", question="Does it weigh the same left and right?")
    yield judge(result.gripped, _tips, id="balance.tips-or-slides", question="Does it slide before it tips over?")
    yield judge(result.gripped, _pitches, id="balance.pitch",
                question="Does it stay on all wheels, braked and pulled as hard as its tyres grip?")  # fmt: skip
    yield judge(result.turning, _turn, id="balance.turn", question="Does it get round its tightest turn at your speed?")
    yield judge(attempt(lambda: (need(result.turning), need(need(result.turning).lean_rad))), _lean, id="balance.lean",
                question="Does it lean little enough in that turn?")  # fmt: skip
    for end in ENDS:
        yield judge(result.ride[end], partial(_height, end), id=f"balance.{end}.ride-height",
                    question=f"Do the {end} springs hold it at the ride height you want?")  # fmt: skip
        yield judge(result.damping[end], partial(_damping, end), id=f"balance.{end}.damping",
                    question=f"Do the {end} dampers calm it without stiffening it?")  # fmt: skip
    yield judge(attempt(need_all, result.ride["front"], result.ride["rear"]), _frequencies, id="balance.frequencies",
                question="Do front and rear springs suit each other?")  # fmt: skip


def _adds_up(both: tuple[Weight, Weight]) -> Told:
    parts, scale = both
    off = 100 * (parts.mass_g / scale.mass_g - 1)
    grams = first(parts.mass_g) - first(scale.mass_g)
    apart = np.abs(parts.cg_mm - scale.cg_mm)[0]
    do = None
    if abs(first(off)) > MASS_PERCENT:
        what = "something is listed twice or too heavy" if grams > 0 else "something is left out or too light"
        do = f"look through [masses]: {what}, {abs(grams):.0f} g in all"
    return {
        "value": off, "limit": MASS_PERCENT, "sense": "within", "unit": "%", "tight_within": 0.5,
        "why": f"the parts add up to {first(parts.mass_g):.0f} g, the wheels read {first(scale.mass_g):.0f} g; their "
               f"centres of gravity lie {apart[0]:.0f} mm apart lengthwise, {apart[1]:.0f} mm across, {apart[2]:.0f} "
               "mm in height",
        "do": do, "where": Place(part="whole vehicle"), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _mass(one: Entered) -> Told:
    off = 100 * (one.mass_g / one.found_g - 1)
    do = f'enter loads.mass "{first(one.found_g):.0f} g"' if abs(first(off)) > MASS_PERCENT else None
    return {
        "value": off, "limit": MASS_PERCENT, "sense": "within", "unit": "%", "tight_within": 0.5,
        "why": f"loads.mass says {first(one.mass_g):.0f} g, here it comes to {first(one.found_g):.0f} g",
        "do": do, "where": Place(part="whole vehicle"), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _told_share(one: Shares) -> Told:
    found = one.stood.front_share
    off = 100 * (one.entered - found)
    do = f'enter loads.front-share "{first(found):.3f}"' if abs(first(off)) > SHARE_PERCENT else None
    return {
        "value": off, "limit": SHARE_PERCENT, "sense": "within", "unit": "% of the weight", "tight_within": 0.5,
        "why": f"loads.front-share says {100 * first(one.entered):.0f} %, {_by(one.stood)} it is "
               f"{100 * first(found):.1f} %",
        "do": do, "where": Place(part="front axle"), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _by(stood: Stand) -> str:
    return f"by {stood.weight.found_by}" if stood.weight.found_by != "the scale" else "on the scale"


def _spread(one: Shares) -> Told:
    off = 100 * (one.stood.front_share - one.wanted)
    grams, wheelbase = first(one.stood.weight.mass_g), first(one.stood.on.wheelbase_mm)
    do = None
    if abs(first(off)) > WANTED_PERCENT:
        way = "back" if first(off) > 0 else "forward"
        moment = abs(first(off)) / 100 * grams * wheelbase
        do = f"move weight {way}: {moment / 50:.0f} g by 50 mm, or {moment / 100:.0f} g by 100 mm, the pack first"
    front, rear = first(one.stood.front_share) * grams, (1 - first(one.stood.front_share)) * grams
    return {
        "value": off, "limit": WANTED_PERCENT, "sense": "within", "unit": "% of the weight", "tight_within": 1.0,
        "why": f"the front wheels carry {front:.0f} g, the rear ones {rear:.0f} g; the centre of gravity lies "
               f"{mm(one.stood.behind_front_mm)} behind the front axle",
        "do": do, "where": _cg(one.stood), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _cg(stood: Stand) -> Place:
    x, y, z = (float(each) for each in stood.weight.cg_mm[0])
    return Place(part="centre of gravity", point_mm=(x, y, z))


def _side(stood: Stand) -> Told:
    off = 100 * (stood.left_share - 0.5)
    aside = first(stood.aside_mm)
    do = None
    if abs(first(off)) > SIDE_PERCENT:
        side = "right" if aside > 0 else "left"
        do = f"move weight to the {side}: {abs(aside) * first(stood.weight.mass_g) / 30:.0f} g by 30 mm"
    return {
        "value": off, "limit": SIDE_PERCENT, "sense": "within", "unit": "% of the weight", "tight_within": 0.3,
        "why": f"the centre of gravity lies {mm(abs(aside))} to the {'left' if aside > 0 else 'right'} of the middle",
        "do": do, "where": _cg(stood), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _tips(one: Gripped) -> Told:
    stood = one.stood
    factor = stood.static_stability_factor
    lower = first(one.too_high_mm)
    do = None
    if lower > 0:
        target = first(stood.height_mm) - lower
        wider = first(stood.height_mm) * first(one.grip) - first(stood.half_track_mm) + abs(first(stood.aside_mm))
        ways = [f"bring the centre of gravity {mm(lower)} lower", f"or set each wheel {mm(wider)} further out"]
        if target > BALLAST_OVER_GROUND_MM:
            ballast = first(stood.weight.mass_g) * lower / (target - BALLAST_OVER_GROUND_MM)
            ways.append(f"or hang {ballast:.0f} g of ballast {mm(BALLAST_OVER_GROUND_MM)} over the ground")
        do = ", ".join(ways) + "; until then drive it slowly in turns"
    return {
        "value": factor, "limit": one.grip, "sense": "at least", "unit": "g", "tight_within": 0.05,
        "why": f"half the track is {mm(stood.half_track_mm)}, the centre of gravity {mm(stood.height_mm)} over the "
               f"ground: it tips at {first(factor):.2f} g, the tyres slide at {first(one.grip):.2f} g",
        "do": do, "where": _cg(stood), "source": "the tyres' grip; static stability factor T/2H as NHTSA defines it",
    }  # fmt: skip


def _pitches(one: Gripped) -> Told:
    stood = one.stood
    factor, grip = stood.pitch_factor, one.grip
    ahead = first(stood.on.wheelbase_mm) - first(stood.behind_front_mm)
    braked = first(stood.behind_front_mm) < ahead
    do = None
    if first(factor) < first(grip):
        arm = min(first(stood.behind_front_mm), ahead)
        lower = first(stood.height_mm) - arm / first(grip)
        along = first(grip) * first(stood.height_mm) - arm
        do = f"bring the centre of gravity {mm(lower)} lower or {mm(along)} further {'back' if braked else 'forward'}"
    lifts = "the rear wheels lift when braked" if braked else "the front wheels lift when pulled"
    return {
        "value": factor, "limit": grip, "sense": "at least", "unit": "g", "tight_within": 0.1,
        "why": f"{lifts} with {first(factor):.2f} g; the tyres hold {first(grip):.2f} g",
        "do": do, "where": _cg(stood), "source": "the tyres' grip",
    }  # fmt: skip


def _turn(one: Turning) -> Told:
    tips = first(one.tips_at_g) < first(one.slides_at_g)
    fastest = one.fastest_mm_s * 3.6e-3
    short = first(one.speed_mm_s) * 3.6e-3 - first(fastest)
    do = None
    if short > 0:
        radius = first(one.radius_mm) * (first(one.speed_mm_s) / first(one.fastest_mm_s)) ** 2
        do = f"take it {short:.1f} km/h slower, or on a circle of {2 * radius / 1000:.2f} m; keep people clear of it"
    return {
        "value": fastest, "limit": one.speed_mm_s * 3.6e-3, "sense": "at least", "unit": "km/h", "tight_within": 0.5,
        "why": f"round a radius of {first(one.radius_mm) / 1000:.2f} m it {'tips' if tips else 'slides'} at "
               f"{first(fastest):.1f} km/h ({min(first(one.tips_at_g), first(one.slides_at_g)):.2f} g)",
        "do": do, "where": Place(part="whole vehicle"), "source": "the speed you want (wanted.turn-speed)",
    }  # fmt: skip


def _lean(both: tuple[Turning, Numbers]) -> Told:
    turning, lean = both
    degrees = np.degrees(lean)
    over = first(degrees) / LEAN_DEG
    do = f"fit springs {over:.1f} times as stiff, or bring the body lower" if over > 1 else None
    return {
        "value": degrees, "limit": LEAN_DEG, "sense": "at most", "unit": "deg", "tight_within": 0.5,
        "why": f"turning at {min(first(turning.at_g), first(turning.tips_at_g), first(turning.slides_at_g)):.2f} g the "
               f"springs let it lean {first(degrees):.1f} deg; no anti-roll bar is counted",
        "do": do, "where": Place(part="springs"), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _height(end: EndName, one: Ride) -> Told:
    sunk, collar, stop = first(one.sunk_mm), first(one.collar_mm), first(one.at_stop)
    do = None
    if abs(sunk) > RIDE_MM:
        do = f"turn the collars {mm(abs(collar))} {'down, for more' if collar > 0 else 'up, for less'} preload"
        if np.isfinite(rate := first(one.rate_n_per_mm)):
            do += f", or fit springs of {rate:.2f} N/mm"
        if loose := first(one.loose_mm):
            do += f" (the spring is then {mm(loose)} loose with the wheels hanging)"
        do += f"; or live with it and enter changes.{end}.ride-height {first(one.stands_mm):z.1f}: all answers follow"
    where = f"{mm(abs(sunk))} {'lower' if sunk > 0 else 'higher'} than wanted"
    if stop:
        where = f"on its {'bump' if stop > 0 else 'droop'} stops, {where}"
    return {
        "value": one.sunk_mm, "limit": RIDE_MM, "sense": "within", "unit": "mm", "tight_within": 0.2,
        "why": f"{first(one.sprung_g):.0f} g on both springs, it stands {where}",
        "do": do, "where": Place(part=f"{end} springs"), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _damping(end: EndName, one: Damping) -> Told:
    low, high = DAMPING
    middle, half = (low + high) / 2, (high - low) / 2
    ratio = first(one.ratio)
    range_ = tuple(first(one.oil_mm2_s) * edge / ratio for edge in DAMPING)
    do = None
    if not low <= ratio <= high:
        do = f"fill in oil between {_oil(range_[0])} and {_oil(range_[1])} cSt"
    return {
        "value": one.ratio - middle, "limit": half, "sense": "within", "unit": "of critical", "tight_within": 0.05,
        "why": f"the dampers are at {ratio:.2f} of critical damping, {middle:.2f} wanted, give or take {half:.2f}; oil "
               f"from {_oil(range_[0])} to {_oil(range_[1])} cSt would do",
        "do": do, "where": Place(part=f"{end} dampers"), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _oil(mm2_s: float) -> str:
    step = 50 if mm2_s > 200 else 10
    return f"{step * round(mm2_s / step):.0f}"


def _frequencies(both: tuple[Ride, Ride]) -> Told:
    front, rear = (one.frequency_hz for one in both)
    ratio = rear / front
    low, high = FREQUENCY_RATIO
    middle, half = (low + high) / 2, (high - low) / 2
    do = None
    if not low <= first(ratio) <= high:
        wanted = (middle * first(front) / first(rear)) ** 2
        do = f"fit rear springs {wanted:.2f} times as stiff, or front ones {1 / wanted:.2f} times"
    return {
        "value": ratio - middle, "limit": half, "sense": "within", "unit": "times as often", "tight_within": 0.05,
        "why": f"in front it bounces {first(front):.1f} times a second, behind {first(rear):.1f}; behind should be "
               f"{low:g} to {high:g} times as often, so that a bump leaves it level",
        "do": do, "where": Place(part="springs"),
        "source": "Olley's rule that the rear be the quicker, from memory; the span is common practice, no source",
    }  # fmt: skip
