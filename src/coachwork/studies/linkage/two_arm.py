"""Kind (b): two arms on hinge pins, their outer ball joints carry the knuckle; also a rear end with a toe link.

    upper pin (x)------- upper arm -------o
                                           \\  knuckle: the line through the balls is its kingpin,
                                            \\  a tie-rod (rear: a toe link to a chassis ball) holds it about that line
    lower pin (x)-------- lower arm ---------o

The upper ball goes round the upper pin and the knuckle holds it at a fixed distance from the lower ball: circle meets
sphere. Both balls placed, the knuckle may still turn about the line through them: the tie-rod's circle and sphere.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np

from coachwork.geometry.circle_sphere import Circle, Pin, Swing
from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import Array, cross, dot, frozen, length
from coachwork.studies.linkage.loosened import Loosened
from coachwork.studies.linkage.poses import CornerPoses


@dataclass(frozen=True, eq=False, kw_only=True)
class TwoArmCorner:
    """Drawn hardpoints of the left corner, (..., 3) in mm, and the length of its tie-rod or toe link.

    Left out, the length is the distance between the balls. The arms' and the knuckle's own lengths are those drawn: a
    different arm is a corner with other points.
    """

    lower_pin_front: Array
    lower_pin_rear: Array
    upper_pin_front: Array
    upper_pin_rear: Array
    kingpin_lower: Array  # the lower arm's ball
    kingpin_upper: Array  # the upper arm's ball
    tie_rod_inner: Array
    tie_rod_outer: Array
    tie_rod_length_mm: Array | None = None  # (...)

    def __post_init__(self) -> None:
        """Fill in the length left out, write-protect the arrays."""
        if self.tie_rod_length_mm is None:
            object.__setattr__(self, "tie_rod_length_mm", length(np.subtract(self.tie_rod_outer, self.tie_rod_inner)))
        for field in fields(self):
            object.__setattr__(self, field.name, frozen(getattr(self, field.name)))

    @cached_property
    def _lower_pin(self) -> Pin:
        """Directed forward, as the upper one, so that a positive turn lifts the left wheel."""
        return Pin.through(self.lower_pin_rear, self.lower_pin_front)

    @cached_property
    def arm_twist(self) -> Twist:
        """The lower arm's velocity per radian of its angle."""
        return Twist.about(self._lower_pin.point, self._lower_pin.direction)

    @cached_property
    def _upper_pin(self) -> Pin:
        return Pin.through(self.upper_pin_rear, self.upper_pin_front)

    @cached_property
    def _upper_circle(self) -> Circle:
        return Circle.drawn(self._upper_pin, self.kingpin_upper, ball=self.kingpin_lower)

    @cached_property
    def _tie_rod_circle(self) -> Circle:
        kingpin = Pin.through(self.kingpin_lower, self.kingpin_upper)
        return Circle.drawn(kingpin, self.tie_rod_outer, ball=self.tie_rod_inner)

    def poses(self, *, arm_angle_rad: Array, tie_rod_inner: Array | None = None) -> CornerPoses:
        """Poses for angles (...) of the lower arm and positions (..., 3) of the inner ball, drawn ones if left out.

        NaN motions: knuckle or tie-rod cannot reach; the rooms say which and by how many mm.
        """
        assert self.tie_rod_length_mm is not None
        arm_angle_rad = np.asarray(arm_angle_rad, dtype=float)
        arm, upper, unsteered = self._hung(arm_angle_rad)
        inner = self.tie_rod_inner if tie_rod_inner is None else tie_rod_inner
        assert self.tie_rod_length_mm is not None
        steer = self._tie_rod_circle.meeting(unsteered.back(inner), self.tie_rod_length_mm)
        return CornerPoses(
            arm=arm,
            upper_arm=upper.motion,
            carrier=unsteered,
            knuckle=steer.on(unsteered),
            arm_angle_rad=arm_angle_rad,
            upper_angle_rad=upper.angle,
            knuckle_angle_rad=steer.angle,
            upper_room_mm=upper.room,
            tie_rod_room_mm=steer.room,
        )

    def bump_twist(self, poses: CornerPoses, *, tie_rod_inner: Array | None = None) -> Twist:
        """The knuckle's velocity per radian of arm angle, with the tie-rod's inner ball held."""
        kingpin = self._tie_rod_circle.pin
        return self._unsteered_twist(poses.carrier).holding(
            poses.knuckle.at(self.tie_rod_outer),
            at_distance_from=self.tie_rod_inner if tie_rod_inner is None else tie_rod_inner,
            own=kingpin.twist(poses.carrier),
        )

    def without_tie_rod(self, arm_angle_rad: Array, knuckle_angle_rad: Array) -> Loosened:
        """Poses for angles (...) of the lower arm and of the knuckle about the kingpin."""
        unsteered, kingpin = self._hung(arm_angle_rad)[-1], self._tie_rod_circle.pin
        knuckle = kingpin.turned(knuckle_angle_rad, on=unsteered)
        return Loosened(
            knuckle=knuckle,
            by_arm=self._unsteered_twist(unsteered),
            by_joint=kingpin.twist(unsteered),
            link_mm=length(knuckle.at(self.tie_rod_outer) - self.tie_rod_inner),
        )

    def _hung(self, arm_angle_rad: Array) -> tuple[Motion, Swing, Motion]:
        """The lower arm, the upper one's swing, and the knuckle between them before it is steered."""
        arm = self._lower_pin.turned(arm_angle_rad)
        lower_ball = arm.at(self.kingpin_lower)
        drawn_kingpin = self.kingpin_upper - self.kingpin_lower
        upper = self._upper_circle.meeting(lower_ball, length(drawn_kingpin))
        upper_ball = upper.motion.at(self.kingpin_upper)
        return arm, upper, Motion.between(self.kingpin_lower, lower_ball, drawn_kingpin, upper_ball - lower_ball)

    def _unsteered_twist(self, unsteered: Motion) -> Twist:
        """Its velocity per radian of the lower arm."""
        upper_pin = self._upper_pin
        lower_ball, upper_ball = unsteered.at(self.kingpin_lower), unsteered.at(self.kingpin_upper)
        lower_velocity = self.arm_twist.at(lower_ball)
        upper_own = Twist.about(upper_pin.point, upper_pin.direction)
        kingpin, drawn = upper_ball - lower_ball, self._tie_rod_circle.pin.direction
        now = unsteered.turn(drawn)
        with np.errstate(divide="ignore", invalid="ignore"):
            rate = (kingpin * lower_velocity).sum(-1) / (kingpin * upper_own.at(upper_ball)).sum(-1)
            turning = (rate[..., None] * upper_own.at(upper_ball) - lower_velocity) / length(kingpin)[..., None]
            # The line through the balls turns as its ends move apart sideways: omega x now = turning. How fast the body
            # spins about that line follows from its being turned as little as can be from where it was drawn.
            angular = cross(drawn + now, turning) / (1.0 + dot(drawn, now))[..., None]
        return Twist(angular, lower_velocity - cross(angular, lower_ball))
