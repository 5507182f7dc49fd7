"""Poses a second of kind (a): two loops of `scipy.optimize.root`, batched Newton, closed form, compiled closed form.

The case is an invented 1:10 front corner over 101 heights and 101 steering positions, all of which assemble. The
baselines are what one would write without the closed form: one call of `root` a pose, only two unknowns (carrier and
knuckle angle; the arm angle is given), whatever does not hang on them worked out beforehand, each pose started from its
neighbour's answer. One is written with numpy, as most would; ratios are to it. The other is the same loop tuned by
hand, with plain floats instead of arrays of three: as good as such a loop gets here. Both are checked against ours.
"""

import math
from collections.abc import Iterator

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
    """The baselines' poses are a 21 x 21 part of the grid; all of it would take them half a minute."""
    some_arms, some_balls = ARM[::5], BALLS[::5]
    closed = CORNER.poses(arm_angle_rad=some_arms[:, None], tie_rod_inner=some_balls)
    expected = np.stack(np.broadcast_arrays(closed.upper_angle_rad, closed.knuckle_angle_rad), axis=-1)
    rates = []
    for turn in (turn_arrays, turn_floats):
        angles = looped(some_arms, some_balls, turn)
        np.testing.assert_allclose(angles, expected, atol=1e-7)  # root's own tolerance is 1.5e-8
        rates.append(per_second(lambda turn=turn: looped(some_arms, some_balls, turn), things=angles[..., 0].size))
    baseline, tuned = rates
    size = len(ARM) * len(BALLS)
    # The grid's arm is shared by all steering positions of a height, which both closed forms make use of. Without that:
    paired = {"arm_angle_rad": np.repeat(ARM, 101), "tie_rod_inner": np.tile(BALLS, (101, 1))}
    cases = [
        ("closed form, numpy", lambda: CORNER.poses(**GRID), 200),
        ("closed form, numpy, no arm shared", lambda: CORNER.poses(**paired), None),
        ("closed form, compiled", lambda: compiled_poses(CORNER, **GRID), 1000),
        ("closed form, compiled, no arm shared", lambda: compiled_poses(CORNER, **paired), None),
        ("batched Newton", lambda: knuckle_assembly(CORNER, **GRID), 10),
    ]
    measured = [("root loop, tuned by hand", tuned, None)]
    measured += [(name, per_second(work, things=size), wanted) for name, work, wanted in cases]
    for name, rate, wanted in measured:
        yield Row(
            name=f"{name} (poses)",
            per_second=rate,
            baseline="root loop",
            baseline_per_second=baseline,
            wanted_ratio=wanted,
        )


def looped(arm_angles, balls, turn):
    """Carrier and knuckle angles (heights, balls, 2), one call of `root` a pose; `turn` is how a point is turned."""
    plain = turn is turn_floats

    def given(vector):
        return vector.tolist() if plain else vector

    def pin(start, end):
        axis = (end - start) / np.linalg.norm(end - start)
        if plain:
            return start.tolist(), axis.tolist()
        along, across = np.outer(axis, axis), np.cross(axis, np.eye(3)).T
        return start, (along, np.eye(3) - along, across)

    hub, kingpin = pin(CORNER.hub_pin_rear, CORNER.hub_pin_front), pin(CORNER.kingpin_lower, CORNER.kingpin_upper)
    carrier_ball, knuckle_ball = given(CORNER.camber_link_outer), given(CORNER.tie_rod_outer)
    camber_length, tie_length = float(CORNER.camber_link_length_mm), float(CORNER.tie_rod_length_mm)
    apart = math.dist if plain else lambda first, then: math.sqrt((first - then) @ (first - then))
    answers = np.empty((len(arm_angles), len(balls), 2))
    first_guess = np.zeros(2)
    for i, angle in enumerate(arm_angles):
        arm = Motion.about(CORNER.arm_pin_rear, CORNER.arm_pin_front - CORNER.arm_pin_rear, angle)
        chassis_ball, inner_balls = given(arm.back(CORNER.camber_link_inner)), given(arm.back(balls))  # from the arm
        guess = first_guess
        for j, inner in enumerate(inner_balls):

            def missing(unknowns, chassis_ball=chassis_ball, inner=inner):
                carrier, knuckle = float(unknowns[0]), float(unknowns[1])
                upper = turn(*hub, carrier_ball, carrier)
                outer = turn(*hub, turn(*kingpin, knuckle_ball, knuckle), carrier)
                return [apart(upper, chassis_ball) - camber_length, apart(outer, inner) - tie_length]

            found = root(missing, guess)
            assert found.success
            answers[i, j] = guess = found.x
            if j == 0:
                first_guess = guess
    return answers


def turn_arrays(origin, axis, point, angle):
    """Rodrigues' formula with its three matrices worked out beforehand."""
    along, rest, across = axis
    return origin + (along + math.cos(angle) * rest + math.sin(angle) * across) @ (point - origin)


def turn_floats(origin, axis, point, angle):
    """The same on plain floats."""
    ox, oy, oz = origin
    ax, ay, az = axis
    x, y, z = point[0] - ox, point[1] - oy, point[2] - oz
    c, s = math.cos(angle), math.sin(angle)
    along = (1.0 - c) * (ax * x + ay * y + az * z)
    return (
        ox + c * x + s * (ay * z - az * y) + along * ax,
        oy + c * y + s * (az * x - ax * z) + along * ay,
        oz + c * z + s * (ax * y - ay * x) + along * az,
    )
