"""From the servo to the wheel: horn, drag link, bell-crank or slide, tie-rod, lever about the kingpin, and lock.

    servo o--horn ball ==drag link== crank's ball        two mirrored bell-cranks, tied by a plate of their own length
                                       \\                 between pivots (a parallelogram), turn by equal angles, so the
                            pivot (x)---o ==tie-rod==    right one is the left's mirror image turned the other way:
                                                         a right corner is a left one with the steering's sign changed.

Everything is the left side in the chassis frame, mm and rad; a batch of poses has leading axes (...).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.circle_sphere import Pin, Swing, swing
from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import Array, cross, dot, frozen, length, unit
from coachwork.studies.linkage.poses import Corner


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

    def crank_swing(self, servo_angle_rad: Array) -> Swing:
        """How far the crank turns for servo angles (...); NaN and negative room where the drag link cannot reach."""
        assert self.drag_link_length_mm is not None
        horn = Motion.about(self.servo.point, self.servo.direction, np.asarray(servo_angle_rad)).at(self.horn_ball)
        drawn, link = self.horn_ball, self.drag_link_length_mm
        return swing(self.crank, self.crank_ball, drawn_ball=drawn, ball=horn, distance=link)

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


@dataclass(frozen=True, eq=False, kw_only=True)
class Lock:
    """Where the tie-rod runs out: it is then in line with the kingpin, and the transmission is infinite."""

    steer_input: Array  # (...), in the unit of the input; its end of range where nothing locks
    knuckle_angle_rad: Array  # (...), there
    locks: NDArray[np.bool_]  # (...), True: before the end of the range


def find_lock(
    corner: Corner,
    *,
    arm_angle_rad: Array,
    inner_ball: Callable[[Array], Array],
    end_of_range: Array,
    resolution: int = 64,
) -> Lock:
    """The first input between 0 and the end of its range (of either sign) at which the tie-rod no longer fits.

    inner_ball   : from inputs (...) to inner balls (..., 3), as `slide_ball` and `crank_ball` give them
    end_of_range : (...), broadcast with `arm_angle_rad`
    resolution   : the range is first looked through in so many steps: a gap shorter than one is overlooked
    Then bisection, to a 2^-50th of a step. A pose that does not assemble even straight ahead locks at 0.
    """
    arm_angle_rad, end_of_range = np.broadcast_arrays(np.asarray(arm_angle_rad, float), np.asarray(end_of_range, float))
    shares = np.linspace(0.0, 1.0, resolution + 1).reshape(-1, *(1,) * arm_angle_rad.ndim)

    def fits(share: Array) -> NDArray[np.bool_]:
        poses = corner.poses(arm_angle_rad=arm_angle_rad, tie_rod_inner=inner_ball(share * end_of_range))
        return np.asarray(poses.tie_rod_room_mm >= 0.0)

    open_at = ~fits(shares)
    locks = np.asarray(open_at.any(axis=0))
    first = open_at.argmax(axis=0)
    outside = np.where(locks, first / resolution, 1.0)
    inside = np.where(locks, np.maximum(first - 1, 0) / resolution, 1.0)
    for _ in range(50):
        middle = 0.5 * (inside + outside)
        ok = fits(middle)
        inside, outside = np.where(ok & locks, middle, inside), np.where(ok | ~locks, outside, middle)
    at_lock = corner.poses(arm_angle_rad=arm_angle_rad, tie_rod_inner=inner_ball(inside * end_of_range))
    return Lock(steer_input=inside * end_of_range, knuckle_angle_rad=at_lock.knuckle_angle_rad, locks=locks)
