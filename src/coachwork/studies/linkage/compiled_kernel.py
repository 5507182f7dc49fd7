"""The loop behind `compiled`; importing this module imports numba.

The equations are those of `geometry.circle_sphere` and `studies.linkage.camber_link`, written out for one pose.
"""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator"
# numba infers every type from the call; annotations of nested tuples would say less than the docstrings do.

from math import atan2, cos, nan, sin, sqrt

import numpy as np
from numba import njit

fast = njit(cache=True, error_model="numpy", inline="always")


@fast
def _dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@fast
def _cross(a, b):
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


@fast
def _minus(a, b):
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


@fast
def _scaled(a, factor):
    return factor * a[0], factor * a[1], factor * a[2]


@fast
def _unit(a):
    return _scaled(a, 1.0 / sqrt(_dot(a, a)))


@fast
def _circle(start, end, point, drawn_ball):
    """Pin direction, centre, radial and sideways unit vectors, radius, side: of the circle a point goes round a pin."""
    pin = _unit(_minus(end, start))
    to_point = _minus(point, start)
    along = _dot(to_point, pin)
    radial = _minus(to_point, _scaled(pin, along))
    radius = sqrt(_dot(radial, radial))
    centre = _minus(point, radial)
    radial = _scaled(radial, 1.0 / radius)
    sideways = _cross(pin, radial)
    side = -1.0 if _dot(_minus(drawn_ball, centre), sideways) > 0.0 else 1.0
    return pin, centre, radial, sideways, radius, side


@fast
def _swing(circle, ball, distance):
    """Cosine and sine of the swing, and the room: see geometry.circle_sphere.swing."""
    _, centre, radial, sideways, radius, side = circle
    offset = _minus(ball, centre)
    forward, across = _dot(offset, radial), _dot(offset, sideways)
    in_plane_squared, squared = forward * forward + across * across, _dot(offset, offset)
    in_plane = sqrt(in_plane_squared)
    height_squared = max(squared - in_plane_squared, 0.0)
    shortest = sqrt((in_plane - radius) ** 2 + height_squared)
    longest = sqrt((in_plane + radius) ** 2 + height_squared)
    room = min(distance - shortest, longest - distance)
    share = (radius * radius + squared - distance * distance) / (2.0 * radius * in_plane)
    share = min(max(share, -1.0), 1.0) if room >= 0.0 else nan
    rest = side * sqrt(1.0 - share * share)
    return (forward * share - across * rest) / in_plane, (across * share + forward * rest) / in_plane, room


@fast
def _turned(axis, point, cosine, sine):
    """Rows of the rotation and the shift of a turn about a line."""
    x, y, z = axis
    rest = 1.0 - cosine
    first = (cosine + rest * x * x, rest * x * y - sine * z, rest * x * z + sine * y)
    second = (rest * x * y + sine * z, cosine + rest * y * y, rest * y * z - sine * x)
    third = (rest * x * z - sine * y, rest * y * z + sine * x, cosine + rest * z * z)
    shift = _minus(point, (_dot(first, point), _dot(second, point), _dot(third, point)))
    return first, second, third, shift


@fast
def _after(outer, inner):
    """The inner motion first, then the outer one."""
    a, b, c, outer_shift = outer
    d, e, f, shift = inner
    columns = ((d[0], e[0], f[0]), (d[1], e[1], f[1]), (d[2], e[2], f[2]))
    first = (_dot(a, columns[0]), _dot(a, columns[1]), _dot(a, columns[2]))
    second = (_dot(b, columns[0]), _dot(b, columns[1]), _dot(b, columns[2]))
    third = (_dot(c, columns[0]), _dot(c, columns[1]), _dot(c, columns[2]))
    moved = (_dot(a, shift) + outer_shift[0], _dot(b, shift) + outer_shift[1], _dot(c, shift) + outer_shift[2])
    return first, second, third, moved


@fast
def _back(motion, point):
    a, b, c, shift = motion
    d = _minus(point, shift)
    return (
        a[0] * d[0] + b[0] * d[1] + c[0] * d[2],
        a[1] * d[0] + b[1] * d[1] + c[1] * d[2],
        a[2] * d[0] + b[2] * d[1] + c[2] * d[2],
    )


@fast
def _point(points, index):
    return points[index, 0], points[index, 1], points[index, 2]


@fast
def _store(motion, rotation, shift):
    for column in range(3):
        rotation[0, column] = motion[0][column]
        rotation[1, column] = motion[1][column]
        rotation[2, column] = motion[2][column]
        shift[column] = motion[3][column]


@njit(cache=True, error_model="numpy")
def camber_link_poses(points, camber_link, tie_rod, arm_angle, inner):
    """Rotations and shifts of arm and carrier, of the knuckle; upper angle and room; knuckle angle and tie-rod room.

    points (sets, 10, 3) in the order of `compiled`, lengths (sets,), arm_angle (sets, heights), inner (sets, heights,
    steers, 3). Arm and carrier, and what is theirs, do not know the steering: (..., sets, heights, ...).
    """
    sets, heights, steers, _ = inner.shape
    rotations, shifts = np.empty((2, sets, heights, 3, 3)), np.empty((2, sets, heights, 3))
    knuckle_rotation, knuckle_shift = np.empty((sets, heights, steers, 3, 3)), np.empty((sets, heights, steers, 3))
    upper, steered = np.empty((2, sets, heights)), np.empty((2, sets, heights, steers))
    for s in range(sets):
        here = points[s]
        arm_start = _point(here, 0)
        arm_axis = _unit(_minus(_point(here, 1), arm_start))
        camber_inner = _point(here, 4)
        hub = _circle(_point(here, 2), _point(here, 3), _point(here, 5), camber_inner)
        kingpin = _circle(_point(here, 6), _point(here, 7), _point(here, 9), _point(here, 8))
        for h in range(heights):
            arm = _turned(arm_axis, arm_start, cos(arm_angle[s, h]), sin(arm_angle[s, h]))
            cosine, sine, upper[1, s, h] = _swing(hub, _back(arm, camber_inner), camber_link[s])
            upper[0, s, h] = atan2(sine, cosine)
            carrier = _after(arm, _turned(hub[0], hub[1], cosine, sine))
            _store(arm, rotations[0, s, h], shifts[0, s, h])
            _store(carrier, rotations[1, s, h], shifts[1, s, h])
            for k in range(steers):
                cosine, sine, steered[1, s, h, k] = _swing(kingpin, _back(carrier, _point(inner[s, h], k)), tie_rod[s])
                steered[0, s, h, k] = atan2(sine, cosine)
                knuckle = _after(carrier, _turned(kingpin[0], kingpin[1], cosine, sine))
                _store(knuckle, knuckle_rotation[s, h, k], knuckle_shift[s, h, k])
    return rotations, shifts, knuckle_rotation, knuckle_shift, upper, steered
