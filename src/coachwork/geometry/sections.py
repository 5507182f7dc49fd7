"""Convex half-sections of solids of revolution: how far a point of the half-plane is from one, and which way.

      radius                     A section lies in the half-plane (radius, height) of an axis. Its signed distance
        |   .--crown--.          is convex, so that around any point q with distance d and outward normal n
        |  (           )
        |  |  section  |             distance(p) >= d + n . (p - q)      everywhere:
        |  |           |
        +--+-----------+-- height    a supporting line, the bound that the searches stand on.

Positive outside; inside, minus the depth: the way to the nearest point of the surface. Arrays have one leading axis of
solids or none; one length unit throughout.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.vectors import Array

Flat = tuple[Array, Array, Array]  # signed distance, normal's share along the radius, and along the height: (n,)


class Section(Protocol):
    """What a solid of revolution asks of its section."""

    @property
    def reaches_axis(self) -> bool:
        """Whether it is the half of a section that goes on beyond the axis: then no normal points to the axis."""

    @property
    def reach(self) -> Array:
        """How far from the axis's zero it comes at most: (n,) or (1,)."""

    def take(self, which: NDArray[np.intp]) -> Self:
        """One section for each of `which`, (n,)."""

    def signed(self, radius: Array, height: Array) -> Flat:
        """Signed distance and outward normal at points (n,) of the half-plane."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Barrel:
    """A tyre's section: a crown of one radius, rounded shoulders, flat sides; solid, or a ring from `inner` outward.

    It is a core with sharp corners, all round fattened by the shoulder's radius. Every field (n,) or (1,); a crown of
    infinite radius makes a cylinder, `inner` None a solid.
    """

    outer: Array  # radius at the crown
    half_width: Array
    shoulder: Array  # radius of the rounding, less than half the width
    crown: Array  # radius of the crown, seen along the rolling direction; at least the shoulder's
    inner: Array | None = None  # radius of the hole

    @property
    def reaches_axis(self) -> bool:
        """A solid one does."""
        return self.inner is None

    @property
    def reach(self) -> Array:
        """To where the crown's and the side's lines meet: no nearer than needed, but never short."""
        return np.hypot(self.outer, self.half_width)

    def take(self, which: NDArray[np.intp]) -> Barrel:
        """One section for each of `which`, (n,)."""
        return Barrel(
            outer=pick(self.outer, which), half_width=pick(self.half_width, which),
            shoulder=pick(self.shoulder, which), crown=pick(self.crown, which),
            inner=None if self.inner is None else pick(self.inner, which),
        )  # fmt: skip

    def signed(self, radius: Array, height: Array) -> Flat:
        """Signed distance and outward normal at points (n,) of the half-plane."""
        across = np.abs(height)
        edge = self.half_width - self.shoulder
        flat = np.isinf(self.crown)
        arc = np.where(flat, 1.0, self.crown - self.shoulder)  # of the core
        middle = np.where(flat, 0.0, self.outer - self.crown)  # on the radius, perhaps beyond the axis
        corner = np.where(flat, self.outer - self.shoulder, middle + np.sqrt(np.maximum(arc**2 - edge**2, 0.0)))
        up, size = radius - middle, np.hypot(radius - middle, across)
        with np.errstate(divide="ignore", invalid="ignore"):
            crown_r, crown_h = np.where(flat, 1.0, up / size), np.where(flat, 0.0, across / size)
        over = np.where(flat, radius - corner, size - arc)  # the crown
        facing = np.where(flat, across <= edge, (up > 0) & (across * (corner - middle) <= edge * up))
        side = across - edge
        inner = 0.0 if self.inner is None else self.inner + self.shoulder
        below = inner - radius if self.inner is not None else np.full_like(radius, -np.inf)

        # Inside the core the nearest face counts; outside, a corner where no face looks at the point.
        inside_crown = np.where(facing, over, -np.inf)
        distance = np.maximum(np.maximum(inside_crown, side), below)
        by_crown = inside_crown >= np.maximum(side, below)
        by_side = ~by_crown & (side >= below)
        normal_r = np.where(by_crown, crown_r, np.where(by_side, 0.0, -1.0))
        normal_h = np.where(by_crown, crown_h, np.where(by_side, 1.0, 0.0))

        beyond = (side > 0) & ~facing
        for at, where in ((corner, beyond & (radius > corner)), (inner, beyond & (radius < inner))):
            if at is inner and self.inner is None:
                continue
            off_r = radius - at
            reach = np.hypot(off_r, side)
            with np.errstate(divide="ignore", invalid="ignore"):
                distance = np.where(where, reach, distance)
                normal_r = np.where(where, off_r / reach, normal_r)
                normal_h = np.where(where, side / reach, normal_h)
        return distance - self.shoulder, normal_r, np.where(height < 0, -normal_h, normal_h)


@dataclass(frozen=True, eq=False, kw_only=True)
class Polygon:
    """A convex polygon of one or more corners, counter-clockwise, fattened all round by `rounding`.

    corners  : (n, k, 2) or (1, k, 2), radius and height; a single one with a rounding makes a torus
    rounding : (n,) or (1,)
    """

    corners: Array
    rounding: Array

    @property
    def reaches_axis(self) -> bool:
        """Never taken as the half of something: an edge on the axis is a surface, though nobody gets at it."""
        return False

    @property
    def reach(self) -> Array:
        """To its furthest corner, and the rounding beyond."""
        return np.asarray(np.hypot(self.corners[..., 0], self.corners[..., 1]).max(axis=-1) + self.rounding)

    def take(self, which: NDArray[np.intp]) -> Polygon:
        """One section for each of `which`, (n,)."""
        return Polygon(corners=pick(self.corners, which), rounding=pick(self.rounding, which))

    def signed(self, radius: Array, height: Array) -> Flat:
        """Signed distance and outward normal at points (n,) of the half-plane."""
        count = self.corners.shape[1]
        nearest = np.full(radius.shape, np.inf)
        behind = np.full(radius.shape, -np.inf)  # the largest height over an edge's line: negative inside
        normal = np.zeros((2, *radius.shape))
        inward = np.zeros((2, *radius.shape))
        for i in range(count):
            start, end = self.corners[:, i], self.corners[:, (i + 1) % count]
            along = end - start
            square = np.maximum(np.sum(along**2, axis=-1), 1e-300)
            off_r, off_h = radius - start[:, 0], height - start[:, 1]
            share = np.clip((off_r * along[:, 0] + off_h * along[:, 1]) / square, 0.0, 1.0)
            away = np.stack([off_r - share * along[:, 0], off_h - share * along[:, 1]])
            reach = np.hypot(away[0], away[1])
            closer = reach < nearest
            with np.errstate(divide="ignore", invalid="ignore"):
                normal = np.where(closer, away / reach, normal)
            nearest = np.where(closer, reach, nearest)
            if count > 2:
                size = np.sqrt(square)
                out = np.stack(np.broadcast_arrays(along[:, 1] / size, -along[:, 0] / size))
                over = off_r * out[0] + off_h * out[1]
                inward = np.where(over > behind, out[:, :], inward)
                behind = np.maximum(behind, over)
        inside = behind <= 0 if count > 2 else nearest == 0
        if count <= 2:
            inward, behind = np.stack([np.ones_like(radius), np.zeros_like(radius)]), np.zeros_like(radius)
        normal = np.where(inside, inward, normal)
        return np.where(inside, behind, nearest) - self.rounding, normal[0], normal[1]


def pick(values: Array, which: NDArray[np.intp]) -> Array:
    """The rows of a field, of which there may be one for all."""
    return values if values.shape[0] == 1 else np.asarray(values[which])
