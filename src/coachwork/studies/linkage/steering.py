"""From the servo to the wheel: horn, drag link, bell-crank or slide, tie-rod, lever about the kingpin, and lock.

    servo o--horn ball ==drag link== crank's ball        two mirrored bell-cranks, tied by a plate of their own length
                                       \\                 between pivots (a parallelogram), turn by equal angles, so the
                            pivot (x)---o ==tie-rod==    right one is the left's mirror image turned the other way:
                                                         a right corner is a left one with the steering's sign changed.

Everything is the left side in the chassis frame, mm and rad; a batch of poses has leading axes (...).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.circle_sphere import Pin, Swing, swing
from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import Array, cross, dot, frozen, length, unit


def slide_ball(tie_rod_inner: Array, *, travel_mm: Array) -> Array:
    """The inner ball, (..., 3), on a slide or rack that has moved by `travel_mm` (...) to the left."""
    return np.asarray(tie_rod_inner + np.asarray(travel_mm)[..., None] * np.array([0.0, 1.0, 0.0]))


def crank_ball(tie_rod_inner: Array, *, pivot: Pin, angle_rad: Array) -> Array:
    """The inner ball, (..., 3), on a bell-crank that has turned by `angle_rad` (...) about its pivot."""
    return Motion.about(pivot.point, pivot.direction, np.asarray(angle_rad)).at(tie_rod_inner)


@dataclass(frozen=True, eq=False, kw_only=True)
class ServoDrive:
    """The spatial four-bar from the servo's horn to the bell-crank, as drawn with both straight ahead."""

    servo: Pin
    horn_ball: Array  # (..., 3)
    crank: Pin
    crank_ball: Array  # (..., 3), the drag link's ball on the crank
    drag_link_length_mm: Array | None = None  # (...), the drawn distance if left out

    def __post_init__(self) -> None:
        """Fill in the length left out, write-protect the arrays."""
        drawn = length(np.subtract(self.crank_ball, self.horn_ball))
        given = self.drag_link_length_mm
        object.__setattr__(self, "drag_link_length_mm", frozen(drawn if given is None else given))
        object.__setattr__(self, "horn_ball", frozen(self.horn_ball))
        object.__setattr__(self, "crank_ball", frozen(self.crank_ball))

    def servo_swing(self, crank_angle_rad: Array) -> Swing:
        """How far the servo must turn for crank angles (...); NaN and negative room where it cannot get there."""
        assert self.drag_link_length_mm is not None
        ball = Motion.about(self.crank.point, self.crank.direction, np.asarray(crank_angle_rad)).at(self.crank_ball)
        drawn, link = self.crank_ball, self.drag_link_length_mm
        return swing(self.servo, self.horn_ball, drawn_ball=drawn, ball=ball, distance=link)

    def crank_rate(self, *, servo_angle_rad: Array, crank_angle_rad: Array) -> Array:
        """Radians of crank per radian of servo, (...): both ends of the drag link move equally fast along it."""
        horn = Motion.about(self.servo.point, self.servo.direction, np.asarray(servo_angle_rad)).at(self.horn_ball)
        ball = Motion.about(self.crank.point, self.crank.direction, np.asarray(crank_angle_rad)).at(self.crank_ball)
        pushed = dot(ball - horn, Twist.about(self.servo.point, self.servo.direction).at(horn))
        with np.errstate(divide="ignore", invalid="ignore"):
            return pushed / dot(ball - horn, Twist.about(self.crank.point, self.crank.direction).at(ball))


def tie_rod_lever_mm(
    knuckle: Motion, *, kingpin_lower: Array, kingpin_upper: Array, tie_rod_outer: Array, tie_rod_inner: Array
) -> Array:
    """The tie-rod's lever about the kingpin, (...), positive if a longer rod steers to the left, zero at lock.

    Drawn points (..., 3) but for `tie_rod_inner`, which is where the ball is now. The steering's transmission, in
    radians of knuckle per mm of tie-rod, is exactly the inverse of this lever.
    """
    base, ball = knuckle.at(kingpin_lower), knuckle.at(tie_rod_outer)
    axis = unit(knuckle.turn(kingpin_upper - kingpin_lower))
    return dot(unit(ball - tie_rod_inner), cross(axis, ball - base))


def knuckle_rate(
    knuckle: Motion,
    *,
    kingpin_lower: Array,
    kingpin_upper: Array,
    tie_rod_outer: Array,
    tie_rod_inner: Array,
    inner_velocity: Array,
) -> Array:
    """Radians about the kingpin per unit of whatever moves the inner ball at `inner_velocity` (..., 3): (...)."""
    ball = knuckle.at(tie_rod_outer)
    lever = tie_rod_lever_mm(
        knuckle,
        kingpin_lower=kingpin_lower,
        kingpin_upper=kingpin_upper,
        tie_rod_outer=tie_rod_outer,
        tie_rod_inner=tie_rod_inner,
    )
    with np.errstate(divide="ignore", invalid="ignore"):
        return dot(unit(ball - tie_rod_inner), inner_velocity) / lever
