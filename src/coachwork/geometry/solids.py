"""Solids that distances are searched from: bodies of revolution, capsules (a line fattened all round), and boxes.

Each object holds many solids, one a pose: fields have a leading axis (n,) or (1,). `signed` says how far points are
outside (negative: how deep inside) and which way the distance grows; `below` bounds it from below over whole pieces of
a surface, from what was seen at one point of them:

    capsule, solid of revolution   the signed distance to a convex solid is convex: its tangent plane lies below it
    ring (a rim, a torus)          its section is convex; the radius is convex in space, so a section's supporting line
                                   that leans outward is bounded by a plane again, and one that leans inward is
                                   concave: least at a corner of the piece. No sampling, and errors of second order.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.sections import Barrel, Section, pick
from coachwork.geometry.vectors import Array, dot, length

MIRROR = np.array([1.0, -1.0, 1.0])  # left becomes right


@dataclass(frozen=True, eq=False)
class Seen:
    """A solid's distance from one point for each solid: (n,) and (n, 3)."""

    point: Array
    distance: Array
    gradient: Array  # of length one, or shorter on an axis, where the distance has a crease
    inward: Array  # (n,), the gradient's share towards the axis, where positive: there the distance is not convex


class Solid(Protocol):
    """What the searches ask of a solid."""

    @property
    def count(self) -> int:
        """How many solids it holds."""

    def take(self, which: NDArray[np.intp]) -> Self:
        """The solids at these places, (n,)."""

    def signed(self, points: Array) -> Seen:
        """One point (n, 3) for each solid."""

    def below(self, seen: Seen, corners: Array) -> Array:
        """Numbers (n, k) for corners (n, k, 3), the least of which bounds the distance over the corners' hull."""

    def below_box(self, seen: Seen, half: Array) -> Array:
        """A bound (n,) over the boxes with half-widths (n, 3) around the seen points."""

    def mirrored(self) -> Self:
        """The same on the other side."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Revolved:
    """A section turned about an axis; centres (n, 3), axes (n, 3) of length one."""

    centre: Array
    axis: Array
    section: Section

    @property
    def count(self) -> int:
        """How many solids it holds."""
        return int(self.centre.shape[0])

    def take(self, which: NDArray[np.intp]) -> Revolved:
        """The solids at these places, (n,)."""
        return Revolved(centre=self.centre[which], axis=self.axis[which], section=self.section.take(which))

    def signed(self, points: Array) -> Seen:
        """One point (n, 3) for each solid."""
        radius, height, outward = self._cylindrical(points)
        distance, along_radius, along_axis = self.section.signed(radius, height)
        gradient = along_radius[:, None] * outward + along_axis[:, None] * self.axis
        inward = np.zeros_like(distance) if self.section.reaches_axis else np.maximum(-along_radius, 0.0)
        return Seen(points, distance, gradient, inward)

    def below(self, seen: Seen, corners: Array) -> Array:
        """Numbers (n, k) for corners (n, k, 3), the least of which bounds the distance over the corners' hull."""
        off = corners - seen.point[:, None, :]
        plane = np.asarray(seen.distance[:, None] + np.einsum("nki,ni->nk", off, seen.gradient))
        if self.section.reaches_axis or not seen.inward.any():
            return plane
        # With a = -inward < 0 along the radius the line is d + a (r - r0) + b (h - h0), concave: exact at corners.
        radius, height, _ = self._cylindrical(seen.point)
        along_axis = dot(seen.gradient, self.axis)
        from_centre = corners - self.centre[:, None, :]
        heights = np.einsum("nki,ni->nk", from_centre, self.axis)
        radii = length(from_centre - heights[..., None] * self.axis[:, None, :])
        line = (
            seen.distance[:, None]
            - seen.inward[:, None] * (radii - radius[:, None])
            + along_axis[:, None] * (heights - height[:, None])
        )
        return np.asarray(np.where(seen.inward[:, None] > 0, line, plane))

    def below_box(self, seen: Seen, half: Array) -> Array:
        """A bound (n,) over the boxes with half-widths (n, 3) around the seen points."""
        plane = seen.distance - np.sum(np.abs(seen.gradient) * half, axis=-1)
        if self.section.reaches_axis or not seen.inward.any():
            return np.asarray(plane)
        # The radius grows no faster than the way from the box's middle.
        along_axis = np.abs(dot(seen.gradient, self.axis)) * np.sum(np.abs(self.axis) * half, axis=-1)
        return np.asarray(np.where(seen.inward > 0, seen.distance - seen.inward * length(half) - along_axis, plane))

    def mirrored(self) -> Revolved:
        """The same on the other side."""
        return Revolved(centre=self.centre * MIRROR, axis=self.axis * MIRROR, section=self.section)

    def _cylindrical(self, points: Array) -> tuple[Array, Array, Array]:
        """Radius and height (n,) over the centre's plane, and the direction outward (n, 3), nought on the axis."""
        off = points - self.centre
        height = np.einsum("ni,ni->n", off, self.axis)
        radial = off - height[:, None] * self.axis
        radius = length(radial)
        return radius, height, radial / np.maximum(radius, 1e-300)[:, None]


class Convex:
    """The bounds of a solid whose signed distance is convex all through: its tangent planes."""

    def below(self, seen: Seen, corners: Array) -> Array:
        """The tangent plane at the corners: (n, k)."""
        off = corners - seen.point[:, None, :]
        return np.asarray(seen.distance[:, None] + np.einsum("nki,ni->nk", off, seen.gradient))

    def below_box(self, seen: Seen, half: Array) -> Array:
        """A bound (n,) over the boxes with half-widths (n, 3) around the seen points."""
        return np.asarray(seen.distance - np.sum(np.abs(seen.gradient) * half, axis=-1))


@dataclass(frozen=True, eq=False, kw_only=True)
class Capsule(Convex):
    """All that is within `radius` (n,) of the line from `start` to `end`, (n, 3); a ball where they are one point."""

    start: Array
    end: Array
    radius: Array

    @property
    def count(self) -> int:
        """How many solids it holds."""
        return int(self.start.shape[0])

    def take(self, which: NDArray[np.intp]) -> Capsule:
        """The solids at these places, (n,)."""
        return Capsule(start=self.start[which], end=self.end[which], radius=pick(self.radius, which))

    def signed(self, points: Array) -> Seen:
        """One point (n, 3) for each solid; inside, the depth is that of the nearest of its balls."""
        along, off = self.end - self.start, points - self.start
        square = np.maximum(np.einsum("ni,ni->n", along, along), 1e-300)
        share = np.clip(np.einsum("ni,ni->n", off, along) / square, 0.0, 1.0)
        away = off - share[:, None] * along
        reach = length(away)
        gradient = away / np.maximum(reach, 1e-300)[:, None]
        return Seen(points, reach - self.radius, gradient, np.zeros_like(reach))

    def turned(self) -> Revolved:
        """The same as a section turned about the line; a ball's about any."""
        along = self.end - self.start
        long = length(along)
        axis = np.where(long[:, None] > 0, along / np.maximum(long, 1e-300)[:, None], [0.0, 0.0, 1.0])
        radius = np.broadcast_to(self.radius, long.shape)
        section = Barrel(outer=radius, half_width=long / 2 + radius, shoulder=radius, crown=np.full(long.shape, np.inf))
        return Revolved(centre=(self.start + self.end) / 2, axis=axis, section=section)

    def mirrored(self) -> Capsule:
        """The same on the other side."""
        return Capsule(start=self.start * MIRROR, end=self.end * MIRROR, radius=self.radius)


@dataclass(frozen=True, eq=False, kw_only=True)
class Block(Convex):
    """A box anywhere: middles (n, 3), directions of its edges (n, 3 edges, 3) of length one, half-lengths (n, 3)."""

    middle: Array
    edges: Array
    half: Array

    @property
    def count(self) -> int:
        """How many solids it holds."""
        return int(self.middle.shape[0])

    def take(self, which: NDArray[np.intp]) -> Block:
        """The solids at these places, (n,)."""
        return Block(middle=self.middle[which], edges=self.edges[which], half=pick(self.half, which))

    def signed(self, points: Array) -> Seen:
        """One point (n, 3) for each solid; inside, minus the way to the nearest face."""
        own = np.einsum("nki,ni->nk", self.edges, points - self.middle)
        over = np.abs(own) - self.half
        off = np.maximum(over, 0.0)
        reach = length(off)
        nearest = over.argmax(axis=-1)
        outside = reach > 0
        face = np.zeros_like(over)
        face[np.arange(len(face)), nearest] = 1.0
        normal = np.where(outside[:, None], off / np.maximum(reach, 1e-300)[:, None], face) * np.where(
            own < 0, -1.0, 1.0
        )
        gradient = np.einsum("nk,nki->ni", normal, self.edges)
        return Seen(points, np.where(outside, reach, over.max(axis=-1)), gradient, np.zeros_like(reach))

    def mirrored(self) -> Block:
        """The same on the other side."""
        return Block(middle=self.middle * MIRROR, edges=self.edges * MIRROR, half=self.half)
