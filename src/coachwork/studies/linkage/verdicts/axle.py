"""Findings on a live axle: is it held, does it bind, where does it wander to."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from coachwork.geometry.vectors import Array
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.linkage.axle import WANTED_FREEDOMS, AxleResult, AxleVariant, Held
from coachwork.studies.linkage.verdicts.wheels import BUMP_STEER_DEG
from coachwork.studies.linkage.wording import greatest
from coachwork.studies.parts import attempt, need, need_all
from coachwork.studies.wording import COMMON_PRACTICE, first

PLAY_MM = 0.1  # what rod ends and screws of this size give before they strain
SIDEWAYS_MM = 1.0
ROLL_STEER_DEG = 2.0
PITCH_DEG = 5.0


def of_axle(end: AxleResult) -> Iterator[Finding]:
    """Every finding on an end with a live axle."""

    def ask(name: str, answer: Callable[[AxleVariant], Told], question: str) -> Finding:
        return judge(end.changed, answer, id=f"linkage.{end.name}.{name}", question=question)

    which = end.name
    yield ask("assembles", _assembles, f"Does the {which} axle go to every height its stops allow?")
    question = f"Do the {which} links leave the axle free to rise and roll, and nothing else?"
    yield judge(end.held, _held, id=f"linkage.{which}.held", question=question)
    yield ask("bind", _bind, f"Can the {which} axle roll without straining its links?")
    yield ask("sideways", _sideways, f"Does the {which} axle stay in the middle as it rises?")
    yield ask("roll-steer", _roll_steer, f"Does the {which} axle stay square to the road in roll?")
    yield ask("pitch", _pitch, f"Does the {which} axle keep its nose at the same angle?")
    yield judge(
        attempt(need_all, end.changed, end.shaft_slide_mm),
        _fore_aft,
        id=f"linkage.{which}.fore-aft",
        question=f"Does the centre shaft follow the {which} axle?",
    )
    if end.steered:
        yield judge(
            attempt(lambda: need(need(end.changed).bump_steer_rad)),
            _bump_steer,
            id=f"linkage.{which}.bump-steer",
            question=f"Do the {which} wheels keep their toe over bumps?",
        )
        yield judge(
            attempt(lambda: need(need(end.changed).lock_rad)),
            _lock,
            id=f"linkage.{which}.ackermann",
            question="Does the inner wheel turn in more than the outer one?",
        )


def _worst(array: Array) -> Array:
    return greatest(np.abs(array), (1, 2))


def _wheels(variant: AxleVariant, array: Array) -> str:
    """The pose of the first sample where an array is largest: "left 6.0 mm up, right 4.0 mm down"."""
    flat = np.where(np.isnan(array[0]), -np.inf, np.abs(array[0]))
    left, right = np.unravel_index(int(flat.argmax()), flat.shape)
    heights = (("left", variant.left_travel_mm[0, left]), ("right", variant.right_travel_mm[0, right]))
    return ", ".join(f"{side} wheel {abs(mm):.1f} mm {'up' if mm >= 0 else 'down'}" for side, mm in heights)


def _assembles(variant: AxleVariant) -> Told:
    worst = _worst(variant.open_mm)
    return {
        "value": worst,
        "limit": 0.0,
        "unit": "mm",
        "why": "every pose between the stops exists"
        if first(worst) == 0
        else f"the links miss by up to {first(worst):.1f} mm, {_wheels(variant, variant.open_mm)}",
        "do": "limit the travel or lengthen the link that is nearly in line" if first(worst) > 0 else None,
        "where": Place(part="axle"),
        "source": "geometry: links must reach",
    }


def _held(held: Held) -> Told:
    off = held.freedoms - WANTED_FREEDOMS
    told = "" if off == 0 else f": {abs(off)} too {'few' if off > 0 else 'many'}"
    return {
        "value": float(off),
        "limit": 0.0,
        "sense": "within",
        "unit": "freedoms",
        "why": f"{len(held.links)} links ({', '.join(held.links)}) leave {_freedoms(held.freedoms)} "
        f"where heave and roll are {WANTED_FREEDOMS}{told}",
        "do": None
        if off == 0
        else "add a link (a panhard rod holds an axle sideways)"
        if off > 0
        else f"take one off ({held.links[-1]}) or let it give",
        "where": Place(part="axle links"),
        "source": "freedoms of a rigid body, rank of the links' derivatives",
    }


def _freedoms(count: int) -> str:
    return "1 freedom" if count == 1 else f"{count} freedoms"


def _bind(variant: AxleVariant) -> Told:
    by_link = greatest(np.abs(variant.stretch_mm), (1, 2))
    worst = by_link.max(axis=-1)
    link = int(np.argmax(by_link[0]))
    over = first(worst) > PLAY_MM
    return {
        "value": worst,
        "limit": PLAY_MM,
        "unit": "mm",
        "tight_within": 0.03,
        "why": f"to reach every pose the {variant.links[link]} would have to change by {first(worst):.2f} mm, "
        f"{_wheels(variant, variant.stretch_mm[..., link])}"
        if first(worst) > 1e-9
        else "every pose is reached with the links at their lengths",
        "do": f"take off one link or let it give {first(worst):.1f} mm" if over else None,
        "where": Place(part=variant.links[link]),
        "source": "least squares of the links' length errors; play of the trade's rod ends: " + COMMON_PRACTICE,
    }


def _sideways(variant: AxleVariant) -> Told:
    alike = np.diagonal(variant.sideways_mm, axis1=1, axis2=2)
    worst = greatest(np.abs(alike), 1)
    return {
        "value": worst,
        "limit": SIDEWAYS_MM,
        "unit": "mm",
        "tight_within": 0.2,
        "why": f"both wheels alike from stop to stop, the axle moves {first(worst):.1f} mm off its middle",
        "do": "make the panhard rod longer or level it at ride height" if first(worst) > SIDEWAYS_MM else None,
        "where": Place(part="axle"),
        "source": COMMON_PRACTICE,
    }


def _roll_steer(variant: AxleVariant) -> Told:
    worst = np.degrees(_worst(variant.yaw_rad))
    return {
        "value": worst,
        "limit": ROLL_STEER_DEG,
        "unit": "deg",
        "tight_within": 0.4,
        "why": f"the axle steers by up to {first(worst):.1f} deg, {_wheels(variant, variant.yaw_rad)}",
        "do": "level the lower links at ride height" if first(worst) > ROLL_STEER_DEG else None,
        "where": Place(part="lower links"),
        "source": COMMON_PRACTICE,
    }


def _pitch(variant: AxleVariant) -> Told:
    from_ride = variant.pitch_rad - variant.pitch_rad[:, variant.ride[0], variant.ride[1], None, None]
    worst = np.degrees(_worst(from_ride))
    return {
        "value": worst,
        "limit": PITCH_DEG,
        "unit": "deg",
        "tight_within": 1.0,
        "why": f"the axle's nose tips by up to {first(worst):.1f} deg, {_wheels(variant, from_ride)}; "
        "the centre shaft's joint bends by as much",
        "do": "bring upper and lower links nearer to one length" if first(worst) > PITCH_DEG else None,
        "where": Place(part="upper link"),
        "source": COMMON_PRACTICE,
    }


def _fore_aft(parts: tuple[AxleVariant, Array]) -> Told:
    variant, slide = parts
    worst = _worst(variant.forward_mm)
    over = first(worst) - first(slide)
    return {
        "value": worst,
        "limit": slide,
        "unit": "mm",
        "tight_within": 0.3,
        "why": f"the axle moves up to {first(worst):.1f} mm fore and aft, {_wheels(variant, variant.forward_mm)}",
        "do": f"give the centre shaft {over:.1f} mm more slide, or longer lower links" if over > 0 else None,
        "where": Place(part="centre shaft"),
        "source": "the centre shaft's own slide, as measured",
    }


def _bump_steer(steer_rad: Array) -> Told:
    middle = steer_rad.shape[1] // 2
    change = np.degrees(steer_rad - steer_rad[:, middle, middle, None, None])
    worst = _worst(change)
    return {
        "value": worst,
        "limit": BUMP_STEER_DEG,
        "unit": "deg",
        "tight_within": 0.2,
        "why": f"steering held, the left wheel turns by up to {first(worst):.1f} deg against the axle over the travel",
        "do": "lay the drag link parallel to the panhard rod and as long, or put the servo on the axle"
        if first(worst) > BUMP_STEER_DEG
        else None,
        "where": Place(part="drag link"),
        "source": COMMON_PRACTICE,
    }


def _lock(angles: tuple[Array, Array]) -> Told:
    inner, outer = (np.degrees(angle) for angle in angles)
    return {
        "value": inner - outer,
        "limit": 0.0,
        "sense": "at least",
        "tight_within": 1.0,
        "unit": "deg",
        "why": f"at full lock the inner wheel stands at {first(inner):z.1f} deg, the outer at {first(outer):z.1f} deg",
        "do": "move the track-rod's balls inboard behind the axle (outboard ahead of it)"
        if first(inner) - first(outer) < 1
        else None,
        "where": Place(part="track-rod"),
        "source": "Ackermann's condition; parallel steering as the least: " + COMMON_PRACTICE,
    }
