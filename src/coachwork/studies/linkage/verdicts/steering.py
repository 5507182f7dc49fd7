"""Findings on the steered end: lock, Ackermann, turning circle, tyre sweep, sensitivity, servo."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.finding import Finding, Place, Told
from coachwork.studies.linkage.result import EndResult, Variant
from coachwork.studies.linkage.verdicts.sides import of_both_sides
from coachwork.studies.linkage.verdicts.wheels import at_ride
from coachwork.studies.linkage.wheel_angles import KingpinPoses
from coachwork.studies.linkage.wording import greatest
from coachwork.studies.parts import CannotBe, need, need_all
from coachwork.studies.wording import COMMON_PRACTICE, first

REVERSE_ACKERMANN_DEG = 0.0
ROD_ERROR_MM = 0.05  # what a turnbuckle set with callipers is off
WHEEL_ERROR_DEG = 1.0
TRAIL_MM = 0.0
SCRUB_GROWTH_MM = 3.0  # over what the donor's steering was made for
SERVO_SHARE = 0.8  # of its stall torque: a servo held near stall overheats


def of_steering(end: EndResult) -> Iterator[Finding]:
    """Findings on an end that is steered."""
    which = end.name

    def ask(name: str, tell: Callable[[Variant], Told], question: str) -> Finding:
        return of_both_sides(end.changed, tell, id=f"linkage.{which}.{name}", question=question)

    yield ask("trail", _trail, f"Do the {which} wheels straighten by themselves?")
    question = f"Is the {which} scrub radius no longer than the steering was made for?"
    yield ask("scrub", partial(_scrub, end), question)
    yield ask("ackermann", _ackermann, "Does the inner wheel turn in more than the outer one?")
    yield ask("turning-circle", partial(_circle, end), "Does it turn tightly enough?")
    yield ask("lock-sensitivity", _sensitivity, "Can the steering be set up at full lock?")
    yield ask("tyre-sweep", partial(_sweep, end), f"Do the {which} tyres stay inside their arches when steered?")
    yield ask("servo-torque", _servo_torque, "Can the servo turn the wheels on the spot?")
    yield ask("servo-travel", _servo_travel, "Does the servo's travel reach full lock?")


def _trail(variant: Variant) -> Told:
    kingpin, shape = _kingpin(variant), variant.left.assembles.shape
    trail = at_ride(variant, np.broadcast_to(kingpin.trail_mm, shape))
    caster = np.degrees(at_ride(variant, np.broadcast_to(kingpin.caster_rad, shape)))
    return {
        "value": trail,
        "limit": TRAIL_MM,
        "sense": "at least",
        "tight_within": 0.5,
        "unit": "mm",
        "why": f"with {first(caster):z.1f} deg of caster the kingpin meets the ground {abs(first(trail)):.1f} mm "
        f"{'ahead of' if first(trail) >= 0 else 'behind'} the tyre's contact",
        "do": "lean the kingpin's top further back" if first(trail) < 0.5 else None,
        "where": Place(part="kingpin"),
        "source": "ISO 8855 caster offset at ground; its sign: " + COMMON_PRACTICE,
    }


def _scrub(end: EndResult, variant: Variant) -> Told:
    was, now = _scrub_mm(need(end.bought)), _scrub_mm(variant)
    growth = np.abs(now) - np.abs(was)
    over = first(growth) - SCRUB_GROWTH_MM
    return {
        "value": growth,
        "limit": SCRUB_GROWTH_MM,
        "sense": "at most",
        "tight_within": 0.5,
        "unit": "mm",
        "why": f"the kingpin meets the ground {first(now):z.1f} mm inboard of the tyre's middle, as bought it was "
        f"{first(was):z.1f} mm: each bump tugs at the steering by that lever",
        "do": f"bring the wheel's middle {over:.1f} mm nearer to the kingpin: more inset, less spacer"
        if over > 0
        else None,
        "where": Place(part="kingpin"),
        "source": "ISO 8855 kingpin offset at ground; how much more is too much: " + COMMON_PRACTICE,
    }


def _scrub_mm(variant: Variant) -> Numbers:
    return at_ride(variant, np.broadcast_to(_kingpin(variant).scrub_radius_mm, variant.left.assembles.shape))


def _kingpin(variant: Variant) -> KingpinPoses:
    kingpin = need(variant.ground).kingpin
    if kingpin is None:
        raise CannotBe("this end is not steered")
    return kingpin


def _ackermann(variant: Variant) -> Told:
    locked, turned = need_all(variant.lock, variant.turn)
    more = np.degrees(locked.inner_rad - locked.outer_rad)
    percent = first(turned.ackermann.percent[:, -1])
    ideal = np.degrees(first(locked.inner_rad) - first(turned.ideal_outer_rad))
    return {
        "value": more,
        "limit": REVERSE_ACKERMANN_DEG,
        "sense": "at least",
        "tight_within": 1.0,
        "unit": "deg",
        "why": f"at full lock the inner wheel stands at {np.degrees(first(locked.inner_rad)):z.1f} deg, the outer at "
        f"{np.degrees(first(locked.outer_rad)):z.1f} deg; rolling without scrub asks for {ideal:z.1f} deg of "
        f"difference ({percent:z.0f} % Ackermann)",
        "do": "move the tie-rod's outer ball inboard behind the axle (outboard ahead of it)"
        if first(more) < 1.0
        else None,
        "where": Place(part="tie-rod"),
        "source": "Ackermann's condition; parallel steering as the least: " + COMMON_PRACTICE,
    }


def _circle(end: EndResult, variant: Variant) -> Told:
    turned, wanted = need_all(variant.turn, end.circle_wanted_mm)
    circle = turned.kerb_to_kerb_mm
    over = first(circle) - first(wanted)
    wheelbase, half = first(turned.wheelbase_mm), first(wanted) / 2
    needed = np.degrees(np.arcsin(min(1.0, wheelbase / half)))
    return {
        "value": circle,
        "limit": wanted,
        "sense": "at most",
        "tight_within": 0.03 * first(wanted),
        "unit": "mm",
        "why": f"kerb to kerb it needs {first(circle):.0f} mm where {first(wanted):.0f} mm are wanted",
        "do": f"turn the outer wheel to {needed:.0f} deg: a longer crank, a shorter steering arm or more crank travel"
        if over > 0
        else None,
        "where": Place(part="steering"),
        "source": "the prototype's turning circle at scale, or the one you want",
    }


def _sensitivity(variant: Variant) -> Told:
    locked = need(variant.lock)
    per_error = greatest(np.where(np.isinf(locked.degrees_per_mm), np.nan, locked.degrees_per_mm), 1) * ROD_ERROR_MM
    straight = locked.degrees_per_mm[:, locked.degrees_per_mm.shape[1] // 2]
    return {
        "value": per_error,
        "limit": WHEEL_ERROR_DEG,
        "sense": "at most",
        "tight_within": 0.2,
        "unit": "deg",
        "why": f"a tie-rod {ROD_ERROR_MM} mm off moves the wheel by {first(per_error):z.2f} deg near full lock "
        f"({first(straight) * ROD_ERROR_MM:z.2f} deg straight ahead): there the rod is nearly in line with its arm",
        "do": "stop the lock sooner, or move the outer ball so that the rod meets its arm more squarely at lock"
        if first(per_error) > WHEEL_ERROR_DEG
        else None,
        "where": Place(part="tie-rod"),
        "source": COMMON_PRACTICE,
    }


def _sweep(end: EndResult, variant: Variant) -> Told:
    on_ground, gap = need_all(variant.ground, end.arch_gap_mm)
    ride = on_ground.sweep_mm[:, variant.left.ride]
    swept = greatest(np.abs(ride), 1)
    scrub = _scrub_mm(variant)
    over = first(swept) - first(gap)
    return {
        "value": swept,
        "limit": gap,
        "sense": "at most",
        "tight_within": 1.0,
        "unit": "mm",
        "why": f"steering swings the tyre {first(swept):z.1f} mm fore and aft, because the kingpin meets the ground "
        f"{first(scrub):z.1f} mm inboard of its middle; the arch leaves {first(gap):z.1f} mm",
        "do": f"move the wheel inboard (more inset) or limit the lock until it swings {over:.1f} mm less"
        if over > 0
        else None,
        "where": Place(part="front tyre"),
        "source": "the arch as measured; that a long scrub radius sweeps the tyre: geometry",
    }


def _servo_torque(variant: Variant) -> Told:
    servo = need(variant.servo)
    torque = greatest(servo.torque_nmm, 1)
    limit = SERVO_SHARE * servo.rated_nmm
    kgf_cm = 98.0665
    return {
        "value": torque / kgf_cm,
        "limit": limit / kgf_cm,
        "sense": "at most",
        "tight_within": 0.1 * first(limit) / kgf_cm,
        "unit": "kgf cm",
        "why": f"both tyres turned on the spot ask for {first(torque) / kgf_cm:.1f} kgf cm at the servo; it stalls at "
        f"{first(servo.rated_nmm) / kgf_cm:.1f} kgf cm and should not work above {SERVO_SHARE:.0%} of that",
        "do": f"fit a servo of {first(torque) / SERVO_SHARE / kgf_cm:.1f} kgf cm or more at your receiver voltage"
        if first(torque) > first(limit)
        else None,
        "where": Place(part="servo"),
        "source": "T = mu W sqrt(b^2/8 + e^2), Taborek 1957 (from memory); share of stall: " + COMMON_PRACTICE,
    }


def _servo_travel(variant: Variant) -> Told:
    servo = need(variant.servo)
    needed, has = np.degrees(servo.travel_rad), np.degrees(servo.available_rad)
    return {
        "value": needed,
        "limit": has,
        "sense": "at most",
        "tight_within": 3.0,
        "unit": "deg",
        "why": f"full lock takes {first(needed):.0f} deg of the servo, which turns {first(has):.0f} deg each way",
        "do": f"use a servo arm {(first(needed) / first(has) - 1) * 100:.0f} % longer"
        if first(needed) > first(has)
        else None,
        "where": Place(part="servo arm"),
        "source": "the servo's own travel, as measured",
    }
