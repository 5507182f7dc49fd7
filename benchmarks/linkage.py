"""Poses a second of kind (a): a loop of `scipy.optimize.root`, batched Newton, closed form, compiled closed form.

The case is an invented 1:10 front corner over 101 heights and 101 steering positions, all of which assemble. The
baseline is what one would write without the closed form, and not made slower than it need be: only two unknowns a pose
(carrier and knuckle angle; the arm angle is given), plain-float arithmetic, everything that does not depend on the
unknowns worked out beforehand, and each pose started from its neighbour's answer. It is checked against ours.
"""

from collections.abc import Iterator
from math import cos, sin

import numpy as np
from scipy.optimize import root

from benchmarks.rows import Row, per_second
from coachwork.geometry.rigid import Motion
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.compiled import compiled_poses
from coachwork.studies.linkage.newton import knuckle_assembly
from coachwork.studies.linkage.steering import slide_ball

CORNER = CamberLinkCorner(
    arm_pin_front=[14.0, 20.0, 12.2], arm_pin_rear=[-16.0, 20.3, 11.0],
    hub_pin_front=[6.0, 55.0, 10.6], hub_pin_rear=[-6.5, 55.2, 10.1],
    camber_link_inner=[-8.0, 24.0, 31.0], camber_link_outer=[-7.0, 53.0, 33.5],
    kingpin_lower=[1.4, 58.0, 8.0], kingpin_upper=[-0.9, 56.4, 27.0],
    tie_rod_inner=[-13.0, 17.0, 20.5], tie_rod_outer=[-12.0, 56.0, 19.0],
)  # fmt: skip
ARM = np.radians(np.linspace(-18, 20, 101))
BALLS = slide_ball(CORNER.tie_rod_inner, travel_mm=np.linspace(-6, 6, 101))
GRID = {"arm_angle_rad": ARM[:, None], "tie_rod_inner": BALLS}


def rows() -> Iterator[Row]:
    """The baseline's own poses are a 21 x 21 part of the grid; it would take half a minute for all of it."""
    some_arms, some_balls = ARM[::5], BALLS[::5]
    angles = looped(some_arms, some_balls)
    closed = CORNER.poses(arm_angle_rad=some_arms[:, None], tie_rod_inner=some_balls)
    expected = np.stack(np.broadcast_arrays(closed.upper_angle_rad, closed.knuckle_angle_rad), axis=-1)
    np.testing.assert_allclose(angles, expected, atol=1e-7)  # root's own tolerance is 1.5e-8

    size = len(ARM) * len(BALLS)
    baseline = per_second(lambda: looped(some_arms, some_balls), things=angles.shape[0] * angles.shape[1])
    cases = [
        ("batched Newton (poses)", lambda: knuckle_assembly(CORNER, **GRID), 10),
        ("closed form, numpy (poses)", lambda: CORNER.poses(**GRID), 200),
        ("closed form, compiled (poses)", lambda: compiled_poses(CORNER, **GRID), 1000),
    ]
    for name, work, wanted in cases:
        yield Row(
            name=name,
            per_second=per_second(work, things=size),
            baseline="scipy.optimize.root loop",
            baseline_per_second=baseline,
            wanted_ratio=wanted,
        )
    # The grid's arm is shared by all steering positions of a height, which the numpy form makes use of. Without that:
    paired = {"arm_angle_rad": np.repeat(ARM, 101), "tie_rod_inner": np.tile(BALLS, (101, 1))}
    yield Row(
        name="closed form, numpy, nothing shared (poses)",
        per_second=per_second(lambda: CORNER.poses(**paired), things=size),
        baseline="scipy.optimize.root loop",
        baseline_per_second=baseline,
    )


def looped(arm_angles, balls):
    """Carrier and knuckle angles (heights, balls, 2), one call of `root` a pose."""
    hub, hub_axis, carrier_ball = _spin(CORNER.hub_pin_rear, CORNER.hub_pin_front, CORNER.camber_link_outer)
    pin, pin_axis, knuckle_ball = _spin(CORNER.kingpin_lower, CORNER.kingpin_upper, CORNER.tie_rod_outer)
    camber_length, tie_length = float(CORNER.camber_link_length_mm), float(CORNER.tie_rod_length_mm)
    direction = CORNER.arm_pin_front - CORNER.arm_pin_rear
    answers = np.empty((len(arm_angles), len(balls), 2))
    guess = np.zeros(2)
    for i, angle in enumerate(arm_angles):
        arm = Motion.about(CORNER.arm_pin_rear, direction, angle)
        chassis_ball = arm.back(CORNER.camber_link_inner).tolist()  # all seen from the arm
        row_guess = guess
        for j, ball in enumerate(balls):
            inner = arm.back(ball).tolist()

            def missing(unknowns, chassis_ball=chassis_ball, inner=inner):
                carrier, knuckle = float(unknowns[0]), float(unknowns[1])
                upper = _turn(hub, hub_axis, carrier_ball, carrier)
                outer = _turn(hub, hub_axis, _turn(pin, pin_axis, knuckle_ball, knuckle), carrier)
                return [_distance(upper, chassis_ball) - camber_length, _distance(outer, inner) - tie_length]

            found = root(missing, row_guess)
            assert found.success
            answers[i, j] = row_guess = found.x
            if j == 0:
                guess = row_guess
    return answers


def _spin(start, end, point):
    return start.tolist(), ((end - start) / np.linalg.norm(end - start)).tolist(), point.tolist()


def _turn(origin, axis, point, angle):
    """Rodrigues' formula on plain floats: much faster than arrays of three."""
    ox, oy, oz = origin
    ax, ay, az = axis
    x, y, z = point[0] - ox, point[1] - oy, point[2] - oz
    c, s = cos(angle), sin(angle)
    along = (1.0 - c) * (ax * x + ay * y + az * z)
    return (
        ox + c * x + s * (ay * z - az * y) + along * ax,
        oy + c * y + s * (az * x - ax * z) + along * ay,
        oz + c * z + s * (ax * y - ay * x) + along * az,
    )


def _distance(first, then):
    return ((first[0] - then[0]) ** 2 + (first[1] - then[1]) ** 2 + (first[2] - then[2]) ** 2) ** 0.5
