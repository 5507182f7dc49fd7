"""One end put together: as bought, as changed, and what would put the changed one right."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import partial

import numpy as np

from coachwork.build import Length
from coachwork.build.sections.changes import ChangedEnd, Changes
from coachwork.build.sections.corner import End, EndName, Hardpoints
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import WantedEnd
from coachwork.build.sections.wheels import Wheel as WheelEntries
from coachwork.build.sections.wheels import fitted
from coachwork.geometry.vectors import Array
from coachwork.studies.linkage.alike import once_each
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.fittings import ball_joints, damper, shaft
from coachwork.studies.linkage.ground import ground, wheel_height_mm
from coachwork.studies.linkage.hardpoints import (
    DrawnEnd,
    Side,
    bought,
    changed,
    is_steered,
    nothing_changed,
    over_poses,
)
from coachwork.studies.linkage.inverse import camber_link_length_mm, least_bump_steer, tie_rod_length_mm
from coachwork.studies.linkage.poses import Wheel
from coachwork.studies.linkage.result import Cure, EndResult, Variant, Wanted
from coachwork.studies.linkage.shaft import shaft_length
from coachwork.studies.linkage.steered import lock, servo, turn
from coachwork.studies.linkage.sweep import CornerSweep, lock_input, stops_as_bought, stops_as_changed, sweep
from coachwork.studies.linkage.two_arm import TwoArmCorner
from coachwork.studies.memory import Memory
from coachwork.studies.parts import CannotBe, Part, attempt, need


def end_result(
    name: EndName,
    gear: RunningGear,
    planned_wheel: WheelEntries,
    changes: Changes,
    wanted: WantedEnd,
    loads: Loads,
    memory: Memory,
    *,
    gap_mm: Part[Array],
    circle_wanted_mm: Part[Array],
) -> EndResult:
    """Everything about one independently sprung end."""
    end: End = getattr(gear, name)
    change: ChangedEnd = getattr(changes, name)

    def as_bought() -> Variant:
        none = nothing_changed()
        work = partial(variant, name, memory, f"{name} as bought")
        return once_each(work, end, none.front, end.wheel, loads, gear.wheelbase, none.stretch)

    def as_changed() -> Variant:
        work = partial(variant, name, memory, f"{name} as changed")
        return once_each(work, end, change, fitted(planned=planned_wheel, bought=end.wheel), loads, gear.wheelbase,
                         changes.stretch)  # fmt: skip

    now = attempt(as_changed)
    aims = Wanted(camber_rad=wanted.camber.rad, toe_rad=wanted.toe.rad)
    return EndResult(
        name=name,
        kind=end.kind,
        steered=is_steered(end, name),
        driven=gear.drive != "none",
        bought=attempt(lambda: memory.once_reading(f"{name} as bought", (), as_bought)),
        changed=now,
        wanted=aims,
        arch_gap_mm=gap_mm,
        circle_wanted_mm=circle_wanted_mm,
        cure=attempt(lambda: cure(need(now), aims, memory, name)),
        measured_angles=(end.camber, end.toe),
    )


def variant(
    name: EndName, memory: Memory, state: str, end: End, change: ChangedEnd, wheel: WheelEntries, loads: Loads,
    wheelbase: Length, stretch: Length,
) -> Variant:  # fmt: skip
    """One end in one state, both sides. Raises NotMeasured, or CannotBe where it does not assemble at ride height."""
    left = _side("left", name, end, change, wheel, memory, state)
    # Sides alike in what was measured are alike in everything: no second sweep.
    apart = any(getattr(end.right, point).given for point in Hardpoints.model_fields)
    right = _side("right", name, end, change, wheel, memory, state) if apart else left
    locked = attempt(lock, left, right, rear=name == "rear")

    def of(side: CornerSweep, other: Variant | None) -> Variant:
        on_ground = attempt(ground, side, wheel, spacer=change.hub_spacer)
        return Variant(
            left=side,
            right=right,
            other=other,
            ground=on_ground,
            joints=attempt(ball_joints, side, end),
            shaft=attempt(shaft, side, end, change),
            damper=attempt(damper, side, end),
            lock=locked,
            turn=attempt(lambda: turn(need(locked), side, need(on_ground), wheelbase=wheelbase, stretch=stretch)),
            servo=attempt(lambda: servo(left, right, need(on_ground), end, loads, name)),
        )

    return of(left, of(right, None) if apart else None)


def _side(
    side: Side, name: EndName, end: End, change: ChangedEnd, wheel: WheelEntries, memory: Memory, state: str
) -> CornerSweep:
    old = bought(end, name, side)
    new = changed(end, name, side, change)
    this = f"{state}, {side}"
    stops = stops_as_bought(old, end, memory, f"{name} {side}")
    stops = stops_as_changed(new, stops, memory, this, hub_height_mm=_hub_height(old, end, change, wheel))
    return sweep(new, end, stops, memory, this, lock=lock_input(end, name) if is_steered(end, name) else None)


def _hub_height(old: DrawnEnd, end: End, change: ChangedEnd, wheel: WheelEntries) -> Array:
    """Height of the hub over the datum plane at ride height; as measured where nothing says otherwise."""
    height = wheel_height_mm(end, change, wheel)
    return old.hub_face[..., 2] if height is None else over_poses(height)


def cure(now: Variant, wanted: Wanted, memory: Memory, name: EndName) -> Cure:
    """Lengths and heights that would put a changed end right, for the plain answer. Raises CannotBe for samples."""
    left = now.left
    if left.assembles.shape[0] > 1:
        raise CannotBe("cures are worked out for the plain answer only")
    corner, wheel = _plain_corner(left)
    height, ride = _hub_at_ride(left), left.stops.ride_rad[:, 0, 0]

    def camber_link() -> Array:
        if not isinstance(corner, CamberLinkCorner):
            raise CannotBe("there is no camber link")
        camber = wanted.camber_rad
        length = memory.once(
            f"{name} camber link", (corner, wheel, camber, height, ride),
            lambda: camber_link_length_mm(corner, wheel, camber=camber, height_mm=height, start_rad=ride),
        )  # fmt: skip
        return _found(length, "camber link") - _length(corner.camber_link_length_mm)

    def tie_rod() -> Array:
        if corner.tie_rod_length_mm is None:
            raise CannotBe("there is no tie-rod")
        toe = wanted.toe_rad
        length = memory.once(
            f"{name} tie-rod", (corner, wheel, toe, height, ride),
            lambda: tie_rod_length_mm(corner, wheel, toe_in=toe, height_mm=height, start_rad=ride),
        )  # fmt: skip
        return _found(length, "tie-rod") - _length(corner.tie_rod_length_mm)

    def drive_shaft() -> Array:
        shaft = need(now.shaft)
        plunge = shaft.plunge_in_mm + shaft.plunge_out_mm
        distance = np.where(left.assembles, shaft.poses.distance_mm, np.nan)
        if np.isnan(distance).any():
            raise CannotBe("some poses do not assemble")
        fit = shaft_length(distance, plunge_mm=plunge[:, 0, 0], axis=(1, 2))
        pushed_in = (shaft.poses.distance_mm - shaft.pulled_mm - shaft.plunge_in_mm)[:, 0, 0]
        return np.asarray(fit.length_mm - pushed_in)

    bump = attempt(lambda: _bump_steer(corner, wheel, left, height, memory, name))
    return Cure(
        camber_link_longer_mm=attempt(camber_link),
        tie_rod_longer_mm=attempt(tie_rod),
        shaft_longer_mm=attempt(drive_shaft),
        tie_rod_inner_higher_mm=attempt(lambda: need(bump)[0]),
        least_bump_steer_rad=attempt(lambda: need(bump)[1]),
    )


def _bump_steer(
    corner: CamberLinkCorner | TwoArmCorner, wheel: Wheel, left: CornerSweep, height: Array, memory: Memory,
    name: EndName,
) -> tuple[Array, Array]:  # fmt: skip
    if corner.tie_rod_length_mm is None:
        raise CannotBe("there is no tie-rod")
    reached = np.isfinite(left.travel_mm[0])
    heights, ride = (height + left.travel_mm[0])[reached], float(height[0])
    arm = left.poses.arm_angle_rad[0, :, 0][reached]
    found = memory.once(
        f"{name} bump steer", (corner, wheel, heights, ride, arm),
        lambda: least_bump_steer(corner, wheel, heights_mm=heights, ride_height_mm=ride, start_rad=arm),
    )  # fmt: skip
    return np.atleast_1d(_found(found.raise_inner_mm, "ball height")), np.atleast_1d(found.toe_change_rad)


def _found(value: Array | float, what: str) -> Array:
    if np.isnan(value).any():
        raise CannotBe(f"no {what} near the present one does it")
    return np.asarray(value)


def _length(value: Array | None) -> Array:
    assert value is not None
    return np.ravel(value)


def _hub_at_ride(left: CornerSweep) -> Array:
    hub = left.poses.knuckle.at(left.drawn.hub_face)[..., 2]
    return np.asarray(np.broadcast_to(hub, left.assembles.shape)[:, left.ride, left.straight])


def _plain_corner(left: CornerSweep) -> tuple[CamberLinkCorner | TwoArmCorner, Wheel]:
    """The first sample's corner without its pose axes, and the hub's face as its wheel."""
    corner = left.drawn.corner
    assert isinstance(corner, (CamberLinkCorner, TwoArmCorner))
    given = {field.name: getattr(corner, field.name) for field in fields(corner)}
    flat = {name: value[0, 0, 0] for name, value in given.items() if value is not None}
    wheel = Wheel(
        centre=left.drawn.hub_face[0, 0, 0], spin_axis=left.drawn.spin_axis[0, 0, 0], tyre_radius_mm=np.ones(())
    )
    return replace(corner, **flat), wheel
