"""The loop behind `box_tree`, compiled, for solids with a `Barrel` section; importing this module imports numba.

One pose after the other, depth first, the nearer box first, so that the least distance so far prunes at once. The
equations are those of `sections.Barrel.signed`, `Solid.below` and `least_distance`, written out for one point.
"""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator"
# numba infers every type from the call.

from math import inf, sqrt

import numpy as np
from numba import njit

fast = njit(cache=True, error_model="numpy", inline="always")
DEEP = 512  # pieces waiting: a halving adds one, and nothing is halved 500 times before the tolerance is met


@fast
def _section(radius, height, outer, half_width, shoulder, crown):
    """Signed distance and normal, see sections.Barrel."""
    across = abs(height)
    edge = half_width - shoulder
    if crown == inf:
        corner = outer - shoulder
        facing, over, crown_r, crown_h = across <= edge, radius - corner, 1.0, 0.0
    else:
        arc, middle = crown - shoulder, outer - crown
        rise = sqrt(max(arc * arc - edge * edge, 0.0))
        corner = middle + rise
        up = radius - middle
        size = sqrt(up * up + across * across)
        facing = up > 0 and across * rise <= edge * up
        over, crown_r, crown_h = size - arc, up / size, across / size
    side = across - edge
    if facing and over >= side:
        distance, n_r, n_h = over, crown_r, crown_h
    elif side > 0 and not facing and radius > corner:
        off = radius - corner
        distance = sqrt(off * off + side * side)
        n_r, n_h = off / distance, side / distance
    else:
        distance, n_r, n_h = side, 0.0, 1.0
    return distance - shoulder, n_r, -n_h if height < 0 else n_h


@fast
def _signed(x, y, z, c, a, outer, half_width, shoulder, crown):
    """Signed distance and gradient at a point, see solids.Revolved."""
    ox, oy, oz = x - c[0], y - c[1], z - c[2]
    height = ox * a[0] + oy * a[1] + oz * a[2]
    rx, ry, rz = ox - height * a[0], oy - height * a[1], oz - height * a[2]
    radius = sqrt(rx * rx + ry * ry + rz * rz)
    d, n_r, n_h = _section(radius, height, outer, half_width, shoulder, crown)
    share = n_r / max(radius, 1e-300)
    return d, share * rx + n_h * a[0], share * ry + n_h * a[1], share * rz + n_h * a[2]


@fast
def _box_bound(node, middle, half, c, a, outer, half_width, shoulder, crown):
    d, gx, gy, gz = _signed(middle[node, 0], middle[node, 1], middle[node, 2], c, a, outer, half_width, shoulder, crown)
    return d - abs(gx) * half[node, 0] - abs(gy) * half[node, 1] - abs(gz) * half[node, 2]


@njit(cache=True, error_model="numpy")
def _select(order, keys, start, end, middle):
    """Hoare's selection: the smaller keys before `middle`, the larger behind; order (n,) and keys (n,) alike."""
    low, high = start, end - 1
    while low < high:
        pivot = keys[(low + high) // 2]
        i, j = low, high
        while i <= j:
            while keys[i] < pivot:
                i += 1
            while keys[j] > pivot:
                j -= 1
            if i <= j:
                keys[i], keys[j] = keys[j], keys[i]
                order[i], order[j] = order[j], order[i]
                i += 1
                j -= 1
        if middle <= j:
            high = j
        elif middle >= i:
            low = i
        else:
            return


@njit(cache=True, error_model="numpy")
def split(middles, order, depth):
    """`order` (n,) sorted in place into 2^depth groups of equal size, each half of the one above across its longest."""
    keys = np.empty(len(order))
    size = len(order)
    for _ in range(depth):
        for start in range(0, len(order), size):
            longest, width = 0, -1.0
            for axis in range(3):
                low, high = inf, -inf
                for i in range(start, start + size):
                    value = middles[axis, order[i]]
                    low, high = min(low, value), max(high, value)
                if high - low > width:
                    longest, width = axis, high - low
            for i in range(start, start + size):
                keys[i] = middles[longest, order[i]]
            _select(order, keys, start, start + size, start + size // 2)
        size //= 2


@njit(cache=True, error_model="numpy")
def _creased(corners, tangents):
    """See least_distance._below_creased; tangents (3, 3): of which corner, at which corner."""
    bound = -inf
    for i in range(3):
        bound = max(bound, min(tangents[i, 0], min(tangents[i, 1], tangents[i, 2])))
        for m in range(i):
            for j in range(3):
                for k in range(j):
                    slope = (tangents[i, j] - tangents[m, j]) - (tangents[i, k] - tangents[m, k])
                    if slope == 0.0:
                        continue
                    share = min(max((tangents[m, k] - tangents[m, j]) / slope, 0.0), 1.0)
                    low = inf
                    for q in range(3):
                        low = min(low, share * tangents[i, q] + (1.0 - share) * tangents[m, q])
                    bound = max(bound, low)
    return bound


@njit(cache=True, error_model="numpy")
def search(triangles, middle, half, child, leaf, root, centre, axis, params, over_all, start, tolerance):
    """Least distance, point, gradient, solid, piece for each pool; last, how many pieces ran out of room (0).

    centre, axis (n, 3), params (n, 4): outer, half_width, shoulder, crown; `start` bounds the pools (pools,) to begin.
    """
    parts, count = len(root), len(centre)
    pools = len(start)
    distance, point, gradient = start.copy(), np.full((pools, 3), np.nan), np.zeros((pools, 3))
    which, piece = np.full(pools, -1), np.full(pools, -1)
    nodes, bounds = np.empty(256, np.int64), np.empty(256)
    waiting = np.empty((DEEP, 3, 3))
    tangents, grads, ds = np.empty((3, 3)), np.empty((3, 3)), np.empty(3)
    lost = 0
    for s in range(count):
        c, a = centre[s], axis[s]
        o, w, sh, cr = params[s, 0], params[s, 1], params[s, 2], params[s, 3]
        for part in range(parts):
            pool = part if over_all else s * parts + part
            best = distance[pool]
            top = 1
            nodes[0], bounds[0] = root[part], _box_bound(root[part], middle, half, c, a, o, w, sh, cr)
            while top:
                top -= 1
                node = nodes[top]
                if bounds[top] >= best - tolerance:
                    continue
                if child[node] >= 0:
                    one, other = child[node], child[node] + 1
                    low_one = _box_bound(one, middle, half, c, a, o, w, sh, cr)
                    low_other = _box_bound(other, middle, half, c, a, o, w, sh, cr)
                    if low_one > low_other:
                        one, other, low_one, low_other = other, one, low_other, low_one
                    if low_other < best - tolerance:
                        nodes[top], bounds[top] = other, low_other
                        top += 1
                    if low_one < best - tolerance:
                        nodes[top], bounds[top] = one, low_one
                        top += 1
                    continue
                for slot in range(leaf.shape[1]):
                    index = leaf[node, slot]
                    waiting[0] = triangles[index]
                    left = 1
                    while left:
                        left -= 1
                        t = waiting[left]
                        x = (t[0, 0] + t[1, 0] + t[2, 0]) / 3
                        y = (t[0, 1] + t[1, 1] + t[2, 1]) / 3
                        z = (t[0, 2] + t[1, 2] + t[2, 2]) / 3
                        d, gx, gy, gz = _signed(x, y, z, c, a, o, w, sh, cr)
                        if d < best:
                            best = d
                            point[pool, 0], point[pool, 1], point[pool, 2] = x, y, z
                            gradient[pool, 0], gradient[pool, 1], gradient[pool, 2] = gx, gy, gz
                            which[pool], piece[pool] = s, index
                        low, lowest = inf, 0
                        for k in range(3):
                            here = d + gx * (t[k, 0] - x) + gy * (t[k, 1] - y) + gz * (t[k, 2] - z)
                            if here < low:
                                low, lowest = here, k
                        if low >= best - tolerance:
                            continue
                        first, last = (0, 3) if d < 0 else (lowest, lowest + 1)
                        for k in range(first, last):
                            e, hx, hy, hz = _signed(t[k, 0], t[k, 1], t[k, 2], c, a, o, w, sh, cr)
                            ds[k], grads[k, 0], grads[k, 1], grads[k, 2] = e, hx, hy, hz
                            if e < best:
                                best = e
                                for q in range(3):
                                    point[pool, q], gradient[pool, q] = t[k, q], grads[k, q]
                                which[pool], piece[pool] = s, index
                        if d < 0:
                            for k in range(3):
                                for q in range(3):
                                    tangents[k, q] = ds[k] + (
                                        grads[k, 0] * (t[q, 0] - t[k, 0])
                                        + grads[k, 1] * (t[q, 1] - t[k, 1])
                                        + grads[k, 2] * (t[q, 2] - t[k, 2])
                                    )
                            low = max(low, _creased(t, tangents))
                        if low >= best - tolerance:
                            continue
                        if left + 2 > DEEP:
                            lost += 1
                            continue
                        longest, size = 0, -1.0
                        for k in range(3):
                            n = (k + 1) % 3
                            edge = (t[k, 0] - t[n, 0]) ** 2 + (t[k, 1] - t[n, 1]) ** 2 + (t[k, 2] - t[n, 2]) ** 2
                            if edge > size:
                                longest, size = k, edge
                        n = (longest + 1) % 3
                        for q in range(3):
                            waiting[left + 1, 0, q], waiting[left + 1, 1, q] = t[0, q], t[1, q]
                            waiting[left + 1, 2, q] = t[2, q]
                        for q in range(3):
                            half_way = (t[longest, q] + t[n, q]) / 2
                            waiting[left, longest, q] = half_way
                            waiting[left + 1, n, q] = half_way
                        left += 2
            distance[pool] = best
    return distance, point, gradient, which, piece, lost
