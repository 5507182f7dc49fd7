"""The loop behind `least_distance`, compiled; importing this module imports numba.

One piece after the other, depth first, so that the least distance so far prunes at once. The equations are those of
`sections`, `solids` and `least_distance`, written out for one point. A solid is told by its kind, a centre, three
directions (those of a box's edges; of a section turned about an axis the first is the axis), numbers and corners.
"""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator"
# numba infers every type from the call.

from math import hypot, inf, sqrt

import numpy as np
from numba import njit

from coachwork.geometry.box_tree_kernel import DEEP, _creased, _section

BLOCK, BARREL, RING, POLYGON = 0, 1, 2, 3
fast = njit(cache=True, error_model="numpy")


@fast
def _barrel(radius, height, sizes, ring):
    """Signed distance and normal (along the radius, along the height), see sections.Barrel: solid, or round a hole."""
    half_width, shoulder = sizes[1], sizes[2]
    distance, n_r, n_h = _section(radius, height, sizes[0], half_width, shoulder, sizes[3])
    if ring:
        below, side = sizes[4] + shoulder - radius, abs(height) - (half_width - shoulder)
        if below > 0 and side > 0:  # beyond the hole's rim
            reach = hypot(below, side)
            distance, n_r, n_h = reach - shoulder, -below / reach, (-side if height < 0 else side) / reach
        elif below - shoulder > distance:
            distance, n_r, n_h = below - shoulder, -1.0, 0.0
    return distance, n_r, n_h


@fast
def _polygon(radius, height, rounding, corners):
    """Signed distance and normal, see sections.Polygon; three corners or more."""
    nearest, behind = inf, -inf
    n_r, n_h, in_r, in_h = 0.0, 0.0, 0.0, 0.0
    for i in range(len(corners)):
        n = (i + 1) % len(corners)
        along_r, along_h = corners[n, 0] - corners[i, 0], corners[n, 1] - corners[i, 1]
        square = max(along_r * along_r + along_h * along_h, 1e-300)
        off_r, off_h = radius - corners[i, 0], height - corners[i, 1]
        share = min(max((off_r * along_r + off_h * along_h) / square, 0.0), 1.0)
        away_r, away_h = off_r - share * along_r, off_h - share * along_h
        reach = hypot(away_r, away_h)
        if reach < nearest:
            nearest, n_r, n_h = reach, away_r / reach, away_h / reach
        size = sqrt(square)
        over = (off_r * along_h - off_h * along_r) / size
        if over > behind:
            behind, in_r, in_h = over, along_h / size, -along_r / size
    if behind <= 0:
        return behind - rounding, in_r, in_h
    return nearest - rounding, n_r, n_h


@fast
def _block(p, centre, axes, half, gradient):
    """Signed distance, see solids.Block; fills the gradient."""
    nearest, deepest, square = 0, -inf, 0.0
    for k in range(3):
        own = axes[k, 0] * (p[0] - centre[0]) + axes[k, 1] * (p[1] - centre[1]) + axes[k, 2] * (p[2] - centre[2])
        over = abs(own) - half[k]
        if over > deepest:
            nearest, deepest = k, over
        if over > 0:
            square += over * over
    reach = sqrt(square)
    gradient[0], gradient[1], gradient[2] = 0.0, 0.0, 0.0
    for k in range(3):
        own = axes[k, 0] * (p[0] - centre[0]) + axes[k, 1] * (p[1] - centre[1]) + axes[k, 2] * (p[2] - centre[2])
        share = max(abs(own) - half[k], 0.0) / reach if reach > 0 else (1.0 if k == nearest else 0.0)
        for q in range(3):
            gradient[q] += (-share if own < 0 else share) * axes[k, q]
    return reach if reach > 0 else deepest


@fast
def _cylindrical(p, centre, axis):
    """Radius, height, and the way outward times the radius."""
    x, y, z = p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]
    height = x * axis[0] + y * axis[1] + z * axis[2]
    x, y, z = x - height * axis[0], y - height * axis[1], z - height * axis[2]
    return sqrt(x * x + y * y + z * z), height, x, y, z


@fast
def _signed(kind, p, centre, axes, sizes, corners, gradient):
    """Signed distance and the gradient's share inward, see solids; fills the gradient."""
    if kind == BLOCK:
        return _block(p, centre, axes, sizes, gradient), 0.0
    axis = axes[0]
    radius, height, x, y, z = _cylindrical(p, centre, axis)
    if kind == POLYGON:
        distance, n_r, n_h = _polygon(radius, height, sizes[0], corners)
    else:
        distance, n_r, n_h = _barrel(radius, height, sizes, kind == RING)
    share = n_r / max(radius, 1e-300)
    gradient[0], gradient[1] = share * x + n_h * axis[0], share * y + n_h * axis[1]
    gradient[2] = share * z + n_h * axis[2]
    return distance, 0.0 if kind == BARREL else max(-n_r, 0.0)


@fast
def _below(p, distance, gradient, inward, centre, axis, corner):
    """What bounds the distance at a corner, seen from p: see Solid.below."""
    if inward > 0:
        radius, height, _, _, _ = _cylindrical(p, centre, axis)
        radius_there, height_there, _, _, _ = _cylindrical(corner, centre, axis)
        along = gradient[0] * axis[0] + gradient[1] * axis[1] + gradient[2] * axis[2]
        return distance - inward * (radius_there - radius) + along * (height_there - height)
    x, y, z = corner[0] - p[0], corner[1] - p[1], corner[2] - p[2]
    return distance + gradient[0] * x + gradient[1] * y + gradient[2] * z


@fast
def search(kind, centres, axes, sizes, sections, pieces, thickness, tolerance):
    """Of all solids (n) and their own pieces (n, m, corners, 3): least distance, point and gradient (3,), solid, piece.

    Last, how many pieces ran out of room (0).
    """
    count, per, ends = pieces.shape[0], pieces.shape[1], pieces.shape[2]
    best, best_solid, best_piece, lost = inf, -1, -1, 0
    best_point, best_gradient = np.full(3, np.nan), np.zeros(3)
    middle, gradient = np.empty(3), np.empty(3)
    waiting = np.empty((DEEP, 3, 3))
    tangents, distances, inwards = np.empty((3, 3)), np.empty(3), np.empty(3)
    gradients = np.empty((3, 3))
    for s in range(count - 1, -1, -1):  # of those equally near it is the last that is told, as by `between`
        c, a, size, section = centres[s], axes[s], sizes[s], sections[s]
        for m in range(per):
            thick = thickness[s, m]
            for k in range(ends):
                for q in range(3):
                    waiting[0, k, q] = pieces[s, m, k, q]
            left = 1
            while left:
                left -= 1
                t = waiting[left]
                for q in range(3):
                    middle[q] = 0.0
                    for k in range(ends):
                        middle[q] += t[k, q] / ends
                d, inward = _signed(kind, middle, c, a, size, section, gradient)
                if d - thick < best:
                    best, best_solid, best_piece = d - thick, s, m
                    for q in range(3):
                        best_point[q], best_gradient[q] = middle[q], gradient[q]
                low, lowest = inf, 0
                for k in range(ends):
                    here = _below(middle, d, gradient, inward, c, a[0], t[k])
                    if here < low:
                        low, lowest = here, k
                if ends == 1 or not low - thick < best - tolerance:
                    continue
                # Where the least place is on an edge, only a point on the edge comes near it as fast as the bound does.
                first, last = (0, ends) if d < 0 else (lowest, lowest + 1)
                for k in range(first, last):
                    distances[k], inwards[k] = _signed(kind, t[k], c, a, size, section, gradients[k])
                    if distances[k] - thick < best:
                        best, best_solid, best_piece = distances[k] - thick, s, m
                        for q in range(3):
                            best_point[q], best_gradient[q] = t[k, q], gradients[k, q]
                if d < 0:
                    for k in range(ends):
                        for q in range(ends):
                            tangents[k, q] = _below(t[k], distances[k], gradients[k], inwards[k], c, a[0], t[q])
                    low = max(low, _creased(t, tangents) if ends == 3 else _creased_line(tangents))
                if low - thick >= best - tolerance:
                    continue
                if left + 2 > DEEP:
                    lost += 1
                    continue
                longest, long = 0, -1.0
                for k in range(ends if ends == 3 else 1):
                    n = (k + 1) % ends
                    edge = (t[k, 0] - t[n, 0]) ** 2 + (t[k, 1] - t[n, 1]) ** 2 + (t[k, 2] - t[n, 2]) ** 2
                    if edge > long:
                        longest, long = k, edge
                n = (longest + 1) % ends
                for k in range(ends):
                    for q in range(3):
                        waiting[left + 1, k, q] = t[k, q]
                for q in range(3):
                    half_way = (t[longest, q] + t[n, q]) / 2
                    waiting[left, longest, q] = half_way
                    waiting[left + 1, n, q] = half_way
                left += 2
    return best, best_point, best_gradient, best_solid, best_piece, lost


@fast
def _creased_line(tangents):
    """`_creased` for a line: both ends' tangents, and the mixture at which its ends are equally low."""
    bound = max(min(tangents[0, 0], tangents[0, 1]), min(tangents[1, 0], tangents[1, 1]))
    slope = (tangents[1, 1] - tangents[0, 1]) - (tangents[1, 0] - tangents[0, 0])
    if slope != 0.0:
        share = min(max((tangents[0, 0] - tangents[0, 1]) / slope, 0.0), 1.0)
        one = share * tangents[1, 0] + (1.0 - share) * tangents[0, 0]
        other = share * tangents[1, 1] + (1.0 - share) * tangents[0, 1]
        bound = max(bound, min(one, other))
    return bound
