"""A live axle put together: both wheels at every pair of heights, as bought and as changed.

Both wheels move together, so the poses are laid out over the left wheel's travel and the right wheel's: heave is their
mean, roll their difference. Arrays are (samples, left travel, right travel), in the frame of the end; right has
negative y.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from coachwork.build import NotMeasured, Point, require
from coachwork.build.sections.changes import ChangedEnd
from coachwork.build.sections.corner import AxleLink as LinkEntries
from coachwork.build.sections.corner import End, EndName, Hardpoints
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheel as WheelEntries
from coachwork.build.sections.wheels import fitted
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, length
from coachwork.studies.linkage.axle_steering import AxleSteering
from coachwork.studies.linkage.ground import wheel_height_mm
from coachwork.studies.linkage.hardpoints import STEERED, changed_length, chosen, chosen_points, over_poses
from coachwork.studies.linkage.live_axle import AxleLink, AxlePoses, LiveAxle, leaf_sprung
from coachwork.studies.linkage.sweep import inner_ball, lock_input
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing, need
from coachwork.studies.result import Result

SHARES, COARSE_SHARES = np.linspace(-1, 1, 9), np.linspace(-1, 1, 3)  # of the way to the stops, see `sweep`
WANTED_FREEDOMS = 2  # heave and roll
NEVER_MM = 999.0  # told where a pose is so far off that the solver cannot say how far


@dataclass(frozen=True, eq=False, kw_only=True)
class DrawnAxle:
    """An axle as drawn, with what places it: (samples, 1, 1), mm. For whoever needs poses that are not on the grid."""

    axle: LiveAxle
    points: Hardpoints  # the entries behind it
    lift_mm: Array  # from where it was drawn up to ride height
    half_track_mm: Array
    bump_mm: Array  # from ride height to the stop
    droop_mm: Array

    def poses(self, *, left_mm: Array, right_mm: Array) -> AxlePoses:
        """With the wheels so much above ride height."""
        roll = np.arcsin(np.clip((left_mm - right_mm) / (2 * self.half_track_mm), -1, 1))
        return self.axle.poses(heave_mm=self.lift_mm + (left_mm + right_mm) / 2, roll_rad=roll)


@dataclass(frozen=True, eq=False, kw_only=True)
class AxleVariant(Result):
    """The axle in one state; arrays (samples, left travel, right travel) unless noted."""

    left_travel_mm: Array  # (samples, left travel), from ride height
    right_travel_mm: Array  # (samples, right travel)
    links: tuple[str, ...]
    stretch_mm: Array  # (..., links), by which links would have to give, where there are too many of them
    open_mm: Array  # by how much the worst link misses where there is no pose
    forward_mm: Array  # of the axle's middle, from ride height
    sideways_mm: Array
    yaw_rad: Array  # to the left positive: the axle steers the vehicle
    pitch_rad: Array  # nose of the axle down positive (ISO 8855)
    roll_centre_mm: Array  # (samples), over the datum plane, at ride height
    bump_steer_rad: Part[Array]  # the left wheel's steer angle against the axle, steering held
    lock_rad: Part[tuple[Array, Array]]  # inner and outer wheel at full left lock, ride height, (samples)
    poses: AxlePoses = field(metadata={"json": False})
    drawn: DrawnAxle = field(metadata={"json": False})

    @property
    def ride(self) -> tuple[int, int]:
        """Index of ride height, both wheels."""
        middle = self.left_travel_mm.shape[1] // 2
        return middle, middle


@dataclass(frozen=True, kw_only=True)
class Held:
    """What the links leave an axle free to do."""

    links: tuple[str, ...]
    freedoms: int  # to first order, as drawn


@dataclass(frozen=True, eq=False, kw_only=True)
class AxleResult(Result):
    """A live axle as bought and as changed."""

    name: EndName
    kind: Literal["live-axle"]
    steered: bool
    shaft_slide_mm: Part[Array]  # (samples), how far the centre shaft may slide each way; no drive: no limit
    held: Part[Held]  # as changed
    bought: Part[AxleVariant]
    changed: Part[AxleVariant]


def axle_result(
    name: EndName, gear: RunningGear, planned: WheelEntries, change: ChangedEnd, *, shaft_off_mm: Part[Array]
) -> AxleResult:
    """Everything about one end with a live axle.

    shaft_off_mm : (samples), by how much the centre shaft is too long or short as it stands, which takes of its slide
    """
    end: End = getattr(gear, name)

    def slide() -> Array:
        if gear.drive == "none":
            raise CannotBe("nothing drives this vehicle")
        return np.asarray(gear.centre_shaft_plunge.mm / 2 - np.abs(need(shaft_off_mm)))

    return AxleResult(
        name=name,
        kind="live-axle",
        steered=name == "front" or end.steering.kind is not None,
        shaft_slide_mm=attempt(slide),
        held=attempt(lambda: held(_drawn(name, end, change)[0])),
        bought=attempt(lambda: axle_variant(name, end, ChangedEnd(), end.wheel)),
        changed=attempt(lambda: axle_variant(name, end, change, fitted(planned=planned, bought=end.wheel))),
    )


def axle_variant(name: EndName, end: End, change: ChangedEnd, wheel: WheelEntries) -> AxleVariant:
    """One state. Raises NotMeasured; CannotBe where the axle has no pose at ride height."""
    drawn, points = _drawn(name, end, change)
    freedoms = held(drawn).freedoms
    if freedoms > WANTED_FREEDOMS:
        raise CannotBe(f"{freedoms - WANTED_FREEDOMS} of the axle's freedoms nothing holds: see which links it has")
    hub, centre = points.hub_face.mm[:, None, None, :], drawn.centre
    half_track = hub[..., 1]
    lift = _ride_lift(end, change, wheel, centre)
    bump, droop = (entry.mm[:, None, None] for entry in (end.bump_travel, end.droop_travel))
    samples = max(array.shape[0] for array in (hub, bump, droop, lift))
    shares = SHARES if samples == 1 else COARSE_SHARES
    # The stops are where they were: a raised ride height has less bump left.
    travel = np.where(shares < 0, -shares * (-droop - lift), shares * (bump - lift))[:, 0, :]
    travel = np.broadcast_to(travel, (samples, shares.size))
    left, right = travel[:, :, None], travel[:, None, :]
    heave, roll = lift + (left + right) / 2, np.arcsin(np.clip((left - right) / (2 * half_track), -1, 1))
    poses = drawn.poses(heave_mm=heave, roll_rad=roll)
    shape = np.broadcast_shapes(np.shape(poses.roll_rad), heave.shape)
    middle = shares.size // 2
    if samples == 1 and not np.broadcast_to(poses.assembles, shape)[0, middle, middle]:
        raise CannotBe("the axle has no pose at ride height: its links do not reach")
    steered = attempt(_held_steering, end, change, points, poses.axle, shape)
    rod_misses = np.zeros(()) if is_missing(steered) else np.nan_to_num(steered[1])
    at = np.broadcast_to(poses.axle.at(centre), (*shape, 3))
    moved = at - at[:, middle, middle, None, None, :]
    ahead = poses.axle.turn(np.array([1.0, 0.0, 0.0]))
    return AxleVariant(
        left_travel_mm=travel,
        right_travel_mm=travel,
        links=tuple(link.name for link in drawn.links),
        stretch_mm=np.broadcast_to(poses.stretch_mm, (*shape, len(drawn.links))),
        open_mm=np.maximum(np.broadcast_to(np.minimum(poses.open_mm, NEVER_MM), shape), rod_misses),
        forward_mm=moved[..., 0],
        sideways_mm=moved[..., 1],
        yaw_rad=np.broadcast_to(_heading(poses.axle), shape),
        pitch_rad=np.broadcast_to(np.arcsin(np.clip(-ahead[..., 2], -1, 1)), shape),
        roll_centre_mm=drawn.roll_centre_height_mm(heave_mm=lift, roll_rad=np.zeros_like(lift))[:, 0, 0],
        bump_steer_rad=attempt(_bump_steer, steered, (middle, middle)),
        lock_rad=attempt(_lock, name, end, change, points, poses.axle, (middle, middle)),
        poses=poses,
        drawn=DrawnAxle(
            axle=drawn,
            points=points,
            lift_mm=lift,
            half_track_mm=half_track,
            bump_mm=bump - lift,
            droop_mm=droop + lift,
        ),
    )


def held(axle: LiveAxle) -> Held:
    """What the links leave the axle free to do."""
    names = tuple(link.name for link in axle.links)
    return Held(links=names, freedoms=int(np.ravel(axle.mobility().freedoms)[0]))


def _drawn(name: EndName, end: End, change: ChangedEnd) -> tuple[LiveAxle, Hardpoints]:
    """The axle on its links as drawn, and the points it was drawn from. Raises NotMeasured."""
    points = chosen_points(change.hardpoints, end)
    require(points.hub_face)
    return _axle(name, end, change, points.hub_face.mm[:, None, None, :] * np.array([1.0, 0.0, 1.0])), points


def _axle(name: EndName, end: End, change: ChangedEnd, centre: Array) -> LiveAxle:
    """The links as drawn, a changed one in place of the old one of its name, new ones added."""
    names = list(dict.fromkeys([*end.links, *change.links]))
    if not names:
        raise NotMeasured([f"running-gear.{name}.links"])
    blank = LinkEntries()
    pairs = {link: (change.links.get(link, blank), end.links.get(link, blank)) for link in names}
    ends = {link: (chosen(new.chassis, old.chassis), chosen(new.axle, old.axle)) for link, (new, old) in pairs.items()}
    require(*(point for both in ends.values() for point in both))
    if end.leaf_sprung:
        return _on_leaves(name, ends, centre)
    return LiveAxle(
        links=tuple(
            AxleLink(
                name=link,
                chassis_ball=chassis.mm[:, None, None, :],
                axle_ball=on_axle.mm[:, None, None, :],
                length_mm=_given_length(*pairs[link]),
            )
            for link, (chassis, on_axle) in ends.items()
        ),
        centre=centre,
    )


def _given_length(new: LinkEntries, old: LinkEntries) -> Array | None:
    length = new.length if new.length.given else old.length
    return length.mm[:, None, None] if length.given else None


def _on_leaves(name: EndName, ends: dict[str, tuple[Point, Point]], centre: Array) -> LiveAxle:
    wanted = ("left-leaf", "right-leaf")
    if gone := [link for link in wanted if link not in ends]:
        raise NotMeasured([f"running-gear.{name}.links.{link}" for link in gone])
    (left_eye, left_clamp), (right_eye, right_clamp) = (tuple(p.mm[:, None, None, :] for p in ends[w]) for w in wanted)
    return leaf_sprung(
        left_eye=left_eye, left_clamp=left_clamp, right_eye=right_eye, right_clamp=right_clamp, centre=centre
    )


def _ride_lift(end: End, change: ChangedEnd, wheel: WheelEntries, centre: Array) -> Array:
    """How much higher the axle stands in the chassis at ride height than it was drawn, (samples, 1, 1)."""
    height = wheel_height_mm(end, change, wheel)
    return np.zeros_like(centre[..., 2]) if height is None else over_poses(height) - centre[..., 2]


def drawn_steering(points: Hardpoints, end: End, change: ChangedEnd) -> AxleSteering:
    """Knuckles and rods as drawn; the right-hand side is the left's mirror image. Raises NotMeasured."""
    require(*(getattr(points, point) for point in STEERED), points.track_rod)
    at = {point: getattr(points, point).mm[:, None, None, :] for point in (*STEERED, "track_rod")}
    flip = np.array([1.0, -1.0, 1.0])
    return AxleSteering(
        left_kingpin_lower=at["kingpin_lower"],
        left_kingpin_upper=at["kingpin_upper"],
        right_kingpin_lower=flip * at["kingpin_lower"],
        right_kingpin_upper=flip * at["kingpin_upper"],
        drag_link_inner=at["tie_rod_inner"],
        drag_link_outer=at["tie_rod_outer"],
        track_rod_left=at["track_rod"],
        track_rod_right=flip * at["track_rod"],
        drag_link_length_mm=_drag_link_length(end, change),
    )


def _drag_link_length(end: End, change: ChangedEnd) -> Array:
    """As drawn on the donor, and by how much the new one is longer than the old one (`tie-rod-length`)."""
    require(end.tie_rod_inner, end.tie_rod_outer)
    drawn = length(over_poses(end.tie_rod_outer.mm) - over_poses(end.tie_rod_inner.mm))
    return changed_length(drawn_mm=drawn, new=change.tie_rod_length, old=end.tie_rod_length)


def _held_steering(
    end: End, change: ChangedEnd, points: Hardpoints, axle: Motion, shape: tuple[int, ...]
) -> tuple[Array, Array]:
    """The left wheel's steer angle against the axle, steering held; and by how many mm a rod misses where one does."""
    steering = drawn_steering(points, end, change)
    knuckles = steering.knuckles(axle, drag_link_inner=steering.drag_link_inner, servo_on_axle=end.servo_on_axle)
    misses = np.maximum(0.0, -np.fmin(knuckles.drag_link_room_mm, knuckles.track_rod_room_mm))
    return np.broadcast_to(_heading(knuckles.left) - _heading(axle), shape), np.broadcast_to(misses, shape)


def _bump_steer(held: Part[tuple[Array, Array]], ride: tuple[int, int]) -> Array:
    """The angle alone. Raises CannotBe where there is none at ride height to compare with."""
    angle, misses = need(held)
    if angle.shape[0] == 1 and not np.isfinite(angle[0][ride]):
        short = float(misses[0][ride])
        raise CannotBe(f"at ride height the drag link or track-rod misses by {short:.1f} mm", short=short)
    return angle


def _lock(
    name: EndName, end: End, change: ChangedEnd, points: Hardpoints, axle: Motion, ride: tuple[int, int]
) -> tuple[Array, Array]:
    """Inner and outer wheel's steer angle at full left lock, at ride height: (samples). Raises CannotBe."""
    steering, stop = drawn_steering(points, end, change), lock_input(end, name)
    at_ride = Motion(*(part[:, ride[0], ride[1], None, None] for part in (axle.rotation, axle.shift)))

    def wheels(steer_input: Array) -> tuple[Array, Array]:
        ball = inner_ball(steering.drag_link_inner, end, steer_input)
        moved = steering.knuckles(at_ride, drag_link_inner=ball, servo_on_axle=end.servo_on_axle)
        room = float(np.fmin(moved.drag_link_room_mm, moved.track_rod_room_mm).flat[0])
        if stop.shape[0] == 1 and room < 0:
            raise CannotBe(f"the steering runs out before its stop: a rod misses by {-room:.1f} mm there", short=-room)
        return _heading(moved.left)[:, 0, 0], _heading(moved.right)[:, 0, 0]

    one, other = wheels(stop), wheels(-stop)
    to_left = one[0] > other[0]
    left, right = np.where(to_left, one[0], other[0]), np.where(to_left, one[1], other[1])
    return (
        (right, left) if name == "rear" else (left, right)
    )  # at the rear, a turn to the left has its inner wheel right


def _heading(body: Motion) -> Array:
    """A body's turn to the left, seen from above."""
    across = body.turn(np.array([0.0, 1.0, 0.0]))
    return np.arctan2(-across[..., 0], across[..., 1])
