"""Findings on the wheels of an end: does the linkage assemble, do the wheels stand and move as they should."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np

from coachwork.build import Entry, NotMeasured
from coachwork.geometry.vectors import Array
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.linkage.result import Cure, EndResult, Variant
from coachwork.studies.linkage.verdicts.sides import of_both_sides
from coachwork.studies.linkage.wording import (
    greatest,
    least,
    pose_of,
    signed,
    travel_of,
    where_greatest,
    where_least,
)
from coachwork.studies.parts import Blocked, Part, is_missing
from coachwork.studies.wording import COMMON_PRACTICE, first

REACH = "geometry: a link must reach its ball"
ROOM_MM = 0.0
CAMBER_OFF_DEG = 1.0
TOE_OFF_DEG = 0.5
BUMP_STEER_DEG = 1.0


def of_wheels(end: EndResult) -> Iterator[Finding]:
    """Findings on how an end's wheels stand and move."""
    which, now = end.name, end.changed

    def ask(name: str, tell: Callable[[EndResult, Variant], Told], question: str) -> Finding:
        return of_both_sides(now, partial(tell, end), id=f"linkage.{which}.{name}", question=question)

    question = f"Does the {which} linkage go together in every pose?"
    if isinstance(now, Blocked) and now.short is not None:
        yield judge(now.short, partial(_not_at_ride, end, now), id=f"linkage.{which}.assembles", question=question)
    else:
        yield ask("assembles", _assembles, question)
    yield ask("camber", _camber, f"Do the {which} wheels stand at the camber you want?")
    yield ask("toe", _toe, f"Do the {which} wheels point where you want?")
    yield ask("bump-steer", _bump_steer, f"Do the {which} wheels keep their toe over bumps?")


def _as_measured(angle: Entry) -> None:
    """Everything else goes on with a guessed camber and toe; where the wheels stand hangs on nothing else."""
    if not angle.given:
        raise NotMeasured([angle])


def at_ride(variant: Variant, array: Array) -> Array:
    """An array (samples, travel, steer) at ride height, straight ahead: (samples)."""
    return array[:, variant.left.ride, variant.left.straight]


def _not_at_ride(end: EndResult, blocked: Blocked, short_mm: float) -> Told:
    return {
        "value": -short_mm,
        "limit": ROOM_MM,
        "sense": "at least",
        "unit": "mm",
        "why": blocked.why,
        "do": "check the lengths and points of this end: one of them is far from the others",
        "where": Place(part=f"{end.name} linkage"),
        "source": REACH,
    }


def _assembles(end: EndResult, variant: Variant) -> Told:
    left = variant.left
    where = where_least(left.room_mm)
    tie_rod = bool(left.tie_rod_is_tighter[0][where])
    link = "tie-rod" if tie_rod else "camber link" if end.kind == "camber-link" else "upper arm"
    room = first(left.room_mm[:, where[0], where[1]])
    told = f"the {link} " + (
        f"has {room:z.1f} mm to spare" if room >= 0 else f"misses by {-room:z.1f} mm, the loop stays open"
    )
    change = "limit the lock or move a ball" if tie_rod else "limit the travel or change the link's length"
    return {
        "value": least(left.room_mm, (1, 2)),
        "limit": ROOM_MM,
        "sense": "at least",
        "tight_within": 0.3,
        "unit": "mm",
        "why": f"{told}, {pose_of(left, where)}",
        "do": f"{change} until {0.3 - room:.1f} mm more room is left there" if room < 0.3 else None,
        "where": Place(part=f"{end.name} {link}"),
        "source": REACH,
    }


def _camber(end: EndResult, variant: Variant) -> Told:
    _as_measured(end.measured_angles[0])
    now = np.degrees(at_ride(variant, variant.left.camber_rad))
    wanted = np.degrees(end.wanted.camber_rad)
    off = now - wanted
    leans = "out" if first(off) > 0 else "in"
    return {
        "value": off,
        "limit": CAMBER_OFF_DEG,
        "sense": "within",
        "tight_within": 0.2,
        "unit": "deg",
        "why": f"at ride height the camber is {first(now):+z.1f} deg, {abs(first(off)):.1f} deg further {leans} "
        f"than the {first(wanted):+z.1f} deg wanted",
        "do": _make(end, lambda c: c.camber_link_longer_mm, "make the camber link", off, CAMBER_OFF_DEG / 2),
        "where": Place(part=f"{end.name} camber link"),
        "source": COMMON_PRACTICE,
    }


def _toe(end: EndResult, variant: Variant) -> Told:
    _as_measured(end.measured_angles[1])
    now = np.degrees(at_ride(variant, variant.left.toe_in_rad))
    wanted = np.degrees(end.wanted.toe_rad)
    off = now - wanted
    points = "in" if first(off) > 0 else "out"
    rod = "tie-rod" if end.steered else "toe link"
    return {
        "value": off,
        "limit": TOE_OFF_DEG,
        "sense": "within",
        "tight_within": 0.1,
        "unit": "deg",
        "why": f"at ride height each wheel toes {first(now):+z.1f} deg, {abs(first(off)):.1f} deg further {points} "
        f"than the {first(wanted):+z.1f} deg wanted",
        "do": _make(end, lambda c: c.tie_rod_longer_mm, f"make the {rod}", off, TOE_OFF_DEG / 2),
        "where": Place(part=f"{end.name} {rod}"),
        "source": COMMON_PRACTICE,
    }


def _bump_steer(end: EndResult, variant: Variant) -> Told:
    left = variant.left
    toe = np.degrees(left.toe_in_rad[:, :, left.straight])
    change = toe - toe[:, left.ride, None]
    worst = greatest(np.abs(change), 1)
    index = where_greatest(np.abs(change)[:, :, None])[0]
    signed_worst = first(change[:, index])
    at = "in" if signed_worst > 0 else "out"
    do = None
    if first(worst) > BUMP_STEER_DEG / 2 and isinstance(end.cure, Cure):
        higher, left_over = end.cure.tie_rod_inner_higher_mm, end.cure.least_bump_steer_rad
        if not is_missing(higher) and not is_missing(left_over):
            do = (
                f"put the tie-rod's inner ball {signed(higher, ('higher', 'lower'))}; "
                f"{np.degrees(first(left_over)):z.1f} deg are left then"
            )
    return {
        "value": worst,
        "limit": BUMP_STEER_DEG,
        "sense": "at most",
        "tight_within": 0.2,
        "unit": "deg",
        "why": f"steering held, each wheel turns {abs(signed_worst):.1f} deg further {at} {travel_of(left, index)}",
        "do": do,
        "where": Place(part=f"{end.name} tie-rod"),
        "source": COMMON_PRACTICE,
    }


def _make(end: EndResult, pick: Callable[[Cure], Part[Array]], what: str, off: Array, worth: float) -> str | None:
    """The change of a link's length that cures an error worth curing."""
    if abs(first(off)) <= worth or not isinstance(end.cure, Cure):
        return None
    longer = pick(end.cure)
    return None if is_missing(longer) else f"{what} {signed(longer)} than it is now"
