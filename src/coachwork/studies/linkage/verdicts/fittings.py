"""Findings on what hangs on a corner: ball joints that bind, shafts that bottom or fall out, dampers out of stroke."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np

from coachwork.studies.finding import Finding, Place, Told
from coachwork.studies.linkage.fittings import JOINTS, Shaft
from coachwork.studies.linkage.result import Cure, EndResult, Variant
from coachwork.studies.linkage.verdicts.sides import of_both_sides
from coachwork.studies.linkage.wording import greatest, least, pose_of, signed, where_greatest, where_least
from coachwork.studies.parts import is_missing, need
from coachwork.studies.wording import first


def of_fittings(end: EndResult) -> Iterator[Finding]:
    """Findings on ball joints, drive shafts and dampers of an end."""
    which = end.name

    def ask(name: str, tell: Callable[[Variant], Told], question: str) -> Finding:
        return of_both_sides(end.changed, tell, id=f"linkage.{which}.{name}", question=question)

    for joint in JOINTS if end.steered or end.kind == "two-arm" else JOINTS[:2]:
        if end.kind == "two-arm" and joint.startswith("camber-link"):
            continue
        link, _, side = joint.replace("camber-link", "camber link").rpartition("-")
        question = f"Does the {which} {link}'s {side} ball joint turn freely?"
        yield ask(f"{joint}-angle", partial(_joint, joint), question)
    if end.driven:
        yield ask("shaft-bottoms", partial(_bottoms, end), f"Are the {which} drive shafts short enough?")
        yield ask("shaft-pulls-out", partial(_pulls_out, end), f"Are the {which} drive shafts long enough?")
        question = f"Do the {which} drive shafts' joints bend no further than they can?"
        yield ask("shaft-angle", _shaft_angle, question)
    yield ask("damper-stroke", _stroke, f"Is the {which} dampers' stroke enough for the travel?")


def _joint(joint: str, variant: Variant) -> Told:
    joints = need(variant.joints)
    angle = np.degrees(joints.angle_rad[joint])
    where = where_greatest(angle)
    limit = np.degrees(joints.limit_rad[:, 0, 0])
    worst = greatest(angle, (1, 2))
    over = first(worst) - first(limit)
    ball = joint.replace("camber-link", "camber link").replace("-inner", "'s inner").replace("-outer", "'s outer")
    return {
        "value": worst,
        "limit": limit,
        "sense": "at most",
        "tight_within": 2.0,
        "unit": "deg",
        "why": f"the {ball} rod end tips {first(worst):.0f} deg on its ball {pose_of(variant.left, where)}",
        "do": f"pack the ball up or turn its stud until it tips {over:.0f} deg less, or stop the travel short of there"
        if over > 0
        else None,
        "where": Place(part=ball),
        "source": "the joint's own limit, as measured",
    }


def _bottoms(end: EndResult, variant: Variant) -> Told:
    shaft = need(variant.shaft)
    where = where_least(shaft.pulled_mm)
    pushed = -least(shaft.pulled_mm, (1, 2))
    return {
        "value": pushed,
        "limit": shaft.plunge_in_mm[:, 0, 0],
        "sense": "at most",
        "tight_within": 0.3,
        "unit": "mm",
        "why": f"the shaft is pushed together by {first(pushed):z.1f} mm {pose_of(variant.left, where)}; "
        f"it can give {first(shaft.plunge_in_mm):.1f} mm",
        "do": _new_shaft(end, shaft, first(pushed) > first(shaft.plunge_in_mm)),
        "where": Place(part=f"{end.name} drive shaft"),
        "source": "the shaft's own plunge, as measured",
    }


def _pulls_out(end: EndResult, variant: Variant) -> Told:
    shaft = need(variant.shaft)
    where = where_greatest(shaft.pulled_mm)
    pulled = greatest(shaft.pulled_mm, (1, 2))
    return {
        "value": pulled,
        "limit": shaft.plunge_out_mm[:, 0, 0],
        "sense": "at most",
        "tight_within": 0.3,
        "unit": "mm",
        "why": f"the shaft is pulled apart by {first(pulled):z.1f} mm {pose_of(variant.left, where)}; "
        f"its pins leave the cups after {first(shaft.plunge_out_mm):.1f} mm",
        "do": _new_shaft(end, shaft, first(pulled) > first(shaft.plunge_out_mm)),
        "where": Place(part=f"{end.name} drive shaft"),
        "source": "the shaft's own plunge, as measured",
    }


def _new_shaft(end: EndResult, shaft: Shaft, wrong: bool) -> str | None:
    if not wrong or not isinstance(end.cure, Cure) or is_missing(end.cure.shaft_longer_mm):
        return None
    longer = end.cure.shaft_longer_mm
    return f"fit a shaft {signed(longer)} than the present one"


def _shaft_angle(variant: Variant) -> Told:
    shaft = need(variant.shaft)
    bend = np.degrees(np.maximum(shaft.poses.inner_angle_rad, shaft.poses.outer_angle_rad))
    where = where_greatest(bend)
    limit, worst = np.degrees(shaft.joint_limit_rad[:, 0, 0]), greatest(bend, (1, 2))
    over = first(worst) - first(limit)
    which = "outer" if shaft.poses.outer_angle_rad[0][where] >= shaft.poses.inner_angle_rad[0][where] else "inner"
    return {
        "value": worst,
        "limit": limit,
        "sense": "at most",
        "tight_within": 2.0,
        "unit": "deg",
        "why": f"the {which} joint bends {first(worst):.0f} deg {pose_of(variant.left, where)}",
        "do": f"limit the lock or the travel until it bends {over:.0f} deg less" if over > 0 else None,
        "where": Place(part="drive shaft"),
        "source": "the joint's own limit, as measured",
    }


def _stroke(variant: Variant) -> Told:
    damper = need(variant.damper)
    used, stroke = damper.stroke_used_mm, damper.stroke_mm
    over = first(used) - first(stroke)
    ratio = first(damper.poses.motion_ratio[:, damper.poses.motion_ratio.shape[1] // 2])
    return {
        "value": used,
        "limit": stroke,
        "sense": "at most",
        "tight_within": 1.0,
        "unit": "mm",
        "why": f"from stop to stop the damper moves {first(used):.1f} mm ({ratio:.2f} mm for each mm of the wheel)",
        "do": f"take {over:.1f} mm of stroke elsewhere: longer dampers, an inner hole on the arm, or stops"
        if over > 0
        else None,
        "where": Place(part="damper"),
        "source": "the damper's own stroke, as measured",
    }
