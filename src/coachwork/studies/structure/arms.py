"""What a lower arm bears when its axle lands: the hub carrier's balance, then the arm held by hinge pin and damper.

The ground pushes the wheel up outside the arm's outer pin. The carrier, free to swing on that pin, is kept from
swinging by the camber link; pin and link then share what the ground does. The arm passes it on to its hinge pin, which
resists all but turning about itself, and to the damper, which by then is against its stop and pushes along its length.

    carrier    1 N up at the contact, a force along the camber link, the rest at the pin; no couple about the pin
    arm        held at the hinge pin in five directions and at the damper in one

Statics of a linkage with pins; no source needed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.structure import Structure
from coachwork.elasticity.flexibility import Flexibility, Kept
from coachwork.elasticity.joined import Body, Joint, Load, NotHeld, Settled, settle
from coachwork.elasticity.stress import von_mises
from coachwork.geometry.vectors import unit
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.hardpoints import Side, changed
from coachwork.studies.parts import CannotBe, need
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.arm_jobs import ARMS, DAMPER, HINGE, OUTER
from coachwork.studies.structure.drop import landing
from coachwork.studies.structure.result import ArmDrop

MIRROR = np.array([1.0, -1.0, 1.0])


@dataclass(frozen=True, kw_only=True, eq=False)
class Borne:
    """By each newton under the wheel, chassis frame, the arm's own side.

    force, couple : on the arm at its outer pin's middle, (3,)    damper : unit vector along the damper, upwards, (3,)
    """

    force: Numbers
    couple: Numbers
    damper: Numbers


def borne(gear: RunningGear, changes: Changes, balance: BalanceResult, end: EndName, side: Side) -> Borne:
    """Of the first sample: directions hardly differ. Raises NotMeasured and CannotBe."""
    held, change = (gear.front, changes.front) if end == "front" else (gear.rear, changes.rear)
    drawn = changed(held, end, side, change)
    if not isinstance(drawn.corner, CamberLinkCorner):
        raise CannotBe(f'the load on an arm is worked out for running-gear.{end}.kind = "camber-link" so far')
    require(drawn.points.damper_inner, drawn.points.damper_outer)
    half_track = float(need(balance.stood).on.half_track_mm[end].flat[0])
    pin_front, pin_rear, ball, inner_ball, hub = (
        np.asarray(point).reshape(-1, 3)[0]
        for point in (drawn.corner.hub_pin_front, drawn.corner.hub_pin_rear, drawn.corner.camber_link_outer,
                      drawn.corner.camber_link_inner, drawn.hub_face)
    )  # fmt: skip
    middle, pin, link = (pin_front + pin_rear) / 2, unit(pin_front - pin_rear), unit(inner_ball - ball)
    ground = np.array([hub[0] - middle[0], half_track - middle[1], 0.0])
    force, couple = on_the_pin(ground, ball - middle, link, pin)
    damper = unit(drawn.points.damper_inner.mm[0] - drawn.points.damper_outer.mm[0])
    if side == "right":  # a mirror turns forces as arrows, couples the other way about
        force, couple, damper = MIRROR * force, -MIRROR * couple, MIRROR * damper
    return Borne(force=force, couple=couple, damper=damper)


def on_the_pin(contact: Numbers, ball: Numbers, link: Numbers, pin: Numbers) -> tuple[Numbers, Numbers]:
    """What a carrier hands to the arm by each newton up from the ground: force and couple at the pin's middle.

    contact, ball : from there, (3,)    link, pin : unit vectors along them, (3,)
    Raises CannotBe where the link runs through the pin and so holds nothing.
    """
    up = np.array([0.0, 0.0, 1.0])
    lever = float(np.cross(ball, link) @ pin)
    if abs(lever) < 1.0:
        raise CannotBe("the camber link's line runs through the arm's outer pin, and cannot keep the wheel upright")
    along = -float(np.cross(contact, up) @ pin) / lever
    return up + along * link, np.cross(contact, up) + along * np.cross(ball, link)


def arm_drop(
    part: PartSolid, kept: Kept, load: Borne, *, modulus_mpa: Numbers, bears_mpa: Numbers, asked: Structure,
    gear: RunningGear, balance: BalanceResult,
) -> ArmDrop:  # fmt: skip
    """The arm's largest stress when its axle lands off the kerb. Raises NotMeasured and CannotBe."""
    end = ARMS[part.name]
    held = gear.front if end == "front" else gear.rear
    require(asked.kerb, asked.tyre_rate, held.bump_travel)
    settled = held_arm(part, kept, load)
    gives = _at_pin(part, load) @ settled.motion(0, OUTER)  # mm at the wheel for a newton there, by virtual work
    standing = need(balance.settled).load_n[end]
    peak = landing(
        load_n=standing, height_mm=asked.kerb.mm, wheel_rate_n_per_mm=need(balance.ride[end]).wheel_rate_n_per_mm,
        bump_mm=held.bump_travel.mm, tyre_rate_n_per_mm=asked.tyre_rate.n_per_mm,
        end_rate_n_per_mm=2 * modulus_mpa / gives, factor=asked.load_factor.ratio if asked.load_factor.given else None,
    )  # fmt: skip
    stress = von_mises(settled.stress_mpa(0))
    worst = int(np.argmax(stress))
    x, y, z = (float(number) for number in kept.places_mm[worst])
    return ArmDrop(
        part=part.name, own=part.own, landing=peak, lift_n=peak.peak_n / 2 * load.force[2],
        stress_mpa=stress[worst] * peak.peak_n / 2, bears_mpa=bears_mpa, place_mm=part.on_chassis((x, y, z)),
        unsure=float(kept.unsure[worst]),
    )  # fmt: skip


def held_arm(part: PartSolid, solid: Flexibility, load: Borne) -> Settled:
    """A newton under the wheel, for a modulus of 1 MPa. Raises CannotBe."""
    turned = _from_chassis(part)
    axis = np.array(next(hole.axis for hole in part.holes if hole.name == HINGE))
    across = np.linalg.svd(axis[None, :])[2][1:]  # two directions square to the hinge pin
    hinge = np.vstack([np.eye(6)[:3], np.hstack([np.zeros((2, 3)), across])])
    joints = [Joint(one=(0, HINGE), along=hinge), Joint(one=(0, DAMPER), along=_six(turned @ load.damper)[None, :])]
    try:
        return settle([Body(solid=solid)], joints, [Load(on=(0, OUTER), six=_at_pin(part, load))])
    except NotHeld as no:
        raise CannotBe(f"{part.name}: hinge pin and damper do not hold it: {no}") from None


def _at_pin(part: PartSolid, load: Borne) -> Numbers:
    """Force and couple at the outer pin in the part's own frame, (6,)."""
    turned = _from_chassis(part)
    return np.concatenate([turned @ load.force, turned @ load.couple])


def _from_chassis(part: PartSolid) -> Numbers:
    """Turns directions of the chassis frame into the part's own, (3, 3)."""
    return np.array(part.chassis_from_part[0])[:3, :3].T


def _six(direction: Numbers) -> Numbers:
    return np.concatenate([direction, np.zeros(3)])
