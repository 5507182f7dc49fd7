"""A deck's outline: the straight edges of its hull, what lies in its bays, and the way along its rim."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
STRIP_MM = 4.0  # a slanting bay is covered by strips no wider than this; what they take too much is under it
Rectangle = tuple[float, float, float, float]  # x from, x to, y from, y to


@dataclass(frozen=True, eq=False)
class Outline:
    """A polygon seen from above, with holes in it; corners (n, 2), either way round."""

    corners: Numbers
    holes: tuple[Numbers, ...] = ()  # (m, 2) each, inside

    @property
    def bounds(self) -> Rectangle:
        """Of all corners."""
        (x0, y0), (x1, y1) = self.corners.min(axis=0), self.corners.max(axis=0)
        return float(x0), float(x1), float(y0), float(y1)

    @property
    def area(self) -> float:
        """Enclosed, less the holes, mm2."""
        return _enclosed(self.corners) - sum(_enclosed(hole) for hole in self.holes)

    def hull(self) -> Numbers:
        """Its convex hull, counter-clockwise, (m, 2) (A. M. Andrew's monotone chain, 1979; from memory)."""
        points = sorted({(float(x), float(y)) for x, y in self.corners})

        def chain(of: list[tuple[float, float]]) -> list[tuple[float, float]]:
            kept: list[tuple[float, float]] = []
            for point in of:
                while len(kept) > 1 and _left_turn(kept[-2], kept[-1], point) <= 1e-9:
                    kept.pop()
                kept.append(point)
            return kept[:-1]

        return np.array(chain(points) + chain(points[::-1]))

    def edges(self) -> list[tuple[float, float, float]]:
        """(a, b, c) of each straight edge of the hull: inside is a x + b y <= c, (a, b) of length one."""
        hull = self.hull()
        found = []
        for (x0, y0), (x1, y1) in zip(hull, np.roll(hull, -1, axis=0), strict=True):
            a, b = y1 - y0, x0 - x1
            size = float(np.hypot(a, b))
            found.append((float(a / size), float(b / size), float((a * x0 + b * y0) / size)))
        return found

    def bays(self) -> list[Rectangle]:
        """Rectangles that cover the hull's bays and the holes, which are no deck; square ones exactly, slanting ones in
        strips.
        """
        stops = np.unique(np.concatenate([self.corners, *self.holes])[:, 1])
        covered: list[Rectangle] = []
        for low, high in pairwise(stops):
            strips = max(1, int(np.ceil((high - low) / STRIP_MM))) if self._slants(float(low), float(high)) else 1
            levels = np.linspace(low, high, strips + 1)
            for bottom, top in pairwise(levels):
                covered += self._beside(float(bottom), float(top))
        return _merged(covered)

    def _slants(self, low: float, high: float) -> bool:
        return any(a[0] != b[0] and min(a[1], b[1]) <= low and max(a[1], b[1]) >= high for a, b in self._all_edges())

    def _all_edges(self) -> Iterator[tuple[Numbers, Numbers]]:
        for ring in (self.corners, *self.holes):
            yield from zip(ring, np.roll(ring, -1, axis=0), strict=True)

    def _beside(self, low: float, high: float) -> list[Rectangle]:
        """What of one strip is in the hull's bounds but not wholly deck."""
        eps = 1e-9 * (high - low)
        # No corner lies between the two levels: each span of one leads to the span of the same number of the other.
        both = zip(self._spans(low + eps), self._spans(high - eps), strict=True)
        whole = [(max(a, c), min(b, d)) for (a, b), (c, d) in both]
        spans = [(a, b) for a, b in whole if b > a]
        hull = Outline(self.hull())
        reach = [*hull._spans(low + eps), *hull._spans(high - eps)]
        left, right = min(a for a, _ in reach), max(b for _, b in reach)
        edges = [left, *(end for span in spans for end in span), right]
        # Where the deck ends with its hull, that edge says so, and exactly.
        levels = (low + eps, high - eps)
        with_hull = [
            whole[end][1] > whole[end][0]
            and all(abs(self._spans(y)[end][end] - hull._spans(y)[end][end]) < 1e-6 for y in levels)
            for end in (0, -1)
        ]
        found = list(zip(edges[::2], edges[1::2], strict=True))
        kept = found[with_hull[0] : len(found) - with_hull[1]]
        return [(a, b, low, high) for a, b in kept if b - a > 1e-6]

    def _spans(self, y: float) -> list[tuple[float, float]]:
        crossings = []
        for (x0, y0), (x1, y1) in self._all_edges():
            if (y0 <= y) != (y1 <= y):
                crossings.append(float(x0 + (y - y0) / (y1 - y0) * (x1 - x0)))
        crossings.sort()
        return list(zip(crossings[::2], crossings[1::2], strict=True))

    def room_to(self, low: Numbers, high: Numbers) -> Numbers:
        """Least distance from rectangles to the rim, negative where one sticks out; low, high (samples, 2)."""
        across = [
            c - np.maximum(a * low[..., 0], a * high[..., 0]) - np.maximum(b * low[..., 1], b * high[..., 1])
            for a, b, c in self.edges()
        ]
        least = np.min(across, axis=0)
        for x0, x1, y0, y1 in self.bays():
            apart = np.maximum(
                np.maximum(x0 - high[..., 0], low[..., 0] - x1), np.maximum(y0 - high[..., 1], low[..., 1] - y1)
            )
            least = np.minimum(least, apart)
        return np.asarray(least)

    def along_rim(self, start: Numbers, end: Numbers) -> float:
        """Length of a lead that goes straight to the rim, along it the shorter way, and straight to its end; mm."""
        (a, off_a), (b, off_b) = self._foot(start), self._foot(end)
        around = float(np.hypot(*(np.roll(self.corners, -1, axis=0) - self.corners).T).sum())
        along = abs(a - b)
        return off_a + off_b + min(along, around - along)

    def _foot(self, point: Numbers) -> tuple[float, float]:
        """Nearest point of the rim: how far along it, and how far off."""
        best, gone = (0.0, np.inf), 0.0
        for a, b in zip(self.corners, np.roll(self.corners, -1, axis=0), strict=True):
            edge = b - a
            size = float(np.hypot(*edge))
            share = float(np.clip(np.dot(point - a, edge) / size**2, 0, 1))
            off = float(np.hypot(*(point - a - share * edge)))
            if off < best[1]:
                best = (gone + share * size, off)
            gone += size
        return best


def _enclosed(corners: Numbers) -> float:
    x, y = corners.T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def _left_turn(o: tuple[float, float], a: tuple[float, float], b: tuple[float, float]) -> float:
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])


def _merged(strips: list[Rectangle]) -> list[Rectangle]:
    """Strips of the same width that lie on one another, as one."""
    done: list[Rectangle] = []
    for strip in sorted(strips, key=lambda s: (s[0], s[1], s[2])):
        if done and done[-1][:2] == strip[:2] and abs(done[-1][3] - strip[2]) < 1e-9:
            done[-1] = (*strip[:2], done[-1][2], strip[3])
        else:
            done.append(strip)
    return done
