"""Convex shapes fastened to moving bodies: each as a solid to search from, and as pieces of surface to search over.

A shape is drawn once, on the left, in the frame of its end; arrays have a leading axis (samples,), one for the plain
answer. `Bodies` says where the bodies are in n poses (or in n samples of one pose), already on their side of the
vehicle and in the chassis frame.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar, Protocol

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.rigid import Motion
from coachwork.geometry.sections import Barrel, Polygon
from coachwork.geometry.solids import MIRROR, Block, Capsule, Revolved, Solid
from coachwork.geometry.vectors import Array, length, unit

FACETS = 64  # of a cylinder where something round is searched against it: off by a 1,700th of its radius at most


@dataclass(frozen=True, eq=False, kw_only=True)
class Bodies:
    """Where each body is in n poses: {body: motion of its drawn points}, in the left end's frame."""

    motions: Mapping[str, Motion]  # rotation (n, 3, 3), shift (n, 3)
    count: int
    right: bool  # everything is mirrored to the right in the end
    shift: Array  # (n, 3) or (1, 3), chassis frame from end frame

    def take(self, which: NDArray[np.intp]) -> Bodies:
        """In some of the poses."""

        def some(values: Array) -> Array:
            return values[which] if len(values) == self.count else values

        motions = {body: Motion(some(motion.rotation), some(motion.shift)) for body, motion in self.motions.items()}
        return Bodies(motions=motions, count=len(which), right=self.right, shift=some(self.shift))

    def at(self, body: str, points: Array) -> Array:
        """Where drawn points (samples, ..., 3) are: (n, ..., 3)."""
        turned = self._turned(body, points)
        between = (1,) * (turned.ndim - 2)
        moved = turned + np.reshape(self.motions[body].shift, (-1, *between, 3))
        return (moved * MIRROR if self.right else moved) + self.shift.reshape(-1, *between, 3)

    def turn(self, body: str, directions: Array) -> Array:
        """Where drawn directions (samples, ..., 3) point: (n, ..., 3)."""
        turned = self._turned(body, directions)
        return turned * MIRROR if self.right else turned

    def _turned(self, body: str, vectors: Array) -> Array:
        rotation = np.broadcast_to(self.motions[body].rotation, (self.count, 3, 3))
        vectors = np.broadcast_to(vectors, (self.count, *vectors.shape[1:]))
        return np.asarray(np.einsum("nij,n...j->n...i", rotation, vectors))


class Shape(Protocol):
    """What the searches ask of a shape."""

    @property
    def on(self) -> tuple[str, ...]:
        """The bodies it hangs on."""

    @property
    def facets(self) -> float:
        """How many pieces its surface has; infinite where it has none to search over, nought where it is only that."""

    def solid(self, bodies: Bodies) -> Solid:
        """The shape as n solids."""

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """Its surface: corners (n, pieces, corners, 3) and the pieces' thickness (n or 1, pieces)."""

    def piece(self, bodies: Bodies, index: int) -> tuple[Array, Array]:
        """One of them: (n, corners, 3) and (n or 1,)."""

    def ball(self, bodies: Bodies) -> tuple[Array, Array]:
        """A ball around it: middle (n, 3), a point of the shape, and radius (n or 1,)."""


class _ByPieces:
    def piece(self, bodies: Bodies, index: int) -> tuple[Array, Array]:
        """One of the pieces."""
        corners, thickness = self.pieces(bodies)
        return corners[:, index], thickness[:, index]

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """All of them."""
        raise NotImplementedError


@dataclass(frozen=True, eq=False, kw_only=True)
class Box(_ByPieces):
    """Edges along the axes as drawn."""

    body: str
    middle: Array  # (samples, 3)
    half: Array  # (samples, 3)
    facets: ClassVar[float] = 12

    @property
    def on(self) -> tuple[str, ...]:
        """The body it is fastened to."""
        return (self.body,)

    def solid(self, bodies: Bodies) -> Block:
        """A block in each pose."""
        edges = bodies.turn(self.body, np.eye(3)[None])
        half = np.broadcast_to(self.half, (bodies.count, 3))
        return Block(middle=bodies.at(self.body, self.middle), edges=edges, half=half)

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """Twelve triangles."""
        corners = self.middle[:, None, :] + self.half[:, None, :] * _CORNERS
        return bodies.at(self.body, corners)[:, _FACES], np.zeros((1, len(_FACES)))

    def ball(self, bodies: Bodies) -> tuple[Array, Array]:
        """Through its corners."""
        return bodies.at(self.body, self.middle), length(self.half)


_CORNERS = np.array([[x, y, z] for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], dtype=float)
_FACES = np.array(
    [[0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1], [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4],
     [1, 5, 7], [1, 7, 3]]
)  # fmt: skip


@dataclass(frozen=True, eq=False, kw_only=True)
class Cylinder(_ByPieces):
    """With flat ends."""

    body: str
    start: Array  # (samples, 3)
    end: Array  # (samples, 3)
    radius: Array  # (samples,)

    facets: ClassVar[float] = 4 * FACETS

    @property
    def on(self) -> tuple[str, ...]:
        """The body it is fastened to."""
        return (self.body,)

    def solid(self, bodies: Bodies) -> Revolved:
        """A cylinder in each pose; exact."""
        middle, axis = bodies.at(self.body, (self.start + self.end) / 2), bodies.turn(self.body, self._axis)
        nothing = np.zeros(1)
        section = Barrel(
            outer=self.radius, half_width=length(self.end - self.start) / 2, shoulder=nothing, crown=nothing + np.inf
        )
        return Revolved(centre=middle, axis=axis, section=section)

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """Side and ends in facets that are half outside, half inside the round surface."""
        axis = self._axis
        aside = np.eye(3)[np.abs(axis).argmin(axis=-1)]
        across = unit(np.cross(axis, aside))
        other = np.cross(axis, across)
        angle = 2 * np.pi * np.arange(FACETS) / FACETS
        radius = self.radius * 2 / (1 + np.cos(np.pi / FACETS))
        ring = np.cos(angle)[None, :, None] * across[:, None] + np.sin(angle)[None, :, None] * other[:, None]
        ring = radius[:, None, None] * ring
        points = np.concatenate(
            [np.broadcast_arrays(self.start[:, None] + ring, ring)[0], self.end[:, None] + ring], axis=1
        )
        points = np.concatenate([points, np.broadcast_to(self.start[:, None], (len(points), 1, 3)),
                                 np.broadcast_to(self.end[:, None], (len(points), 1, 3))], axis=1)  # fmt: skip
        return bodies.at(self.body, points)[:, _ROUND], np.zeros((1, len(_ROUND)))

    def ball(self, bodies: Bodies) -> tuple[Array, Array]:
        """Through the rims of its ends."""
        reach = np.hypot(length(self.end - self.start) / 2, self.radius)
        return bodies.at(self.body, (self.start + self.end) / 2), reach

    @property
    def _axis(self) -> Array:
        return unit(self.end - self.start)


def _round() -> Array:
    here = np.arange(FACETS)
    then = (here + 1) % FACETS
    low, high = np.full(FACETS, 2 * FACETS), np.full(FACETS, 2 * FACETS + 1)
    faces = [(here, then, then + FACETS), (here, then + FACETS, here + FACETS), (low, then, here),
             (high, here + FACETS, then + FACETS)]  # fmt: skip
    return np.concatenate([np.stack(face, axis=-1) for face in faces])


_ROUND = _round()


@dataclass(frozen=True, eq=False, kw_only=True)
class Rod(_ByPieces):
    """All within a radius of the line between two points, each on a body of its own; a ball where they are one."""

    body: str
    other: str
    start: Array  # (samples, 3), drawn, on `body`
    end: Array  # (samples, 3), drawn, on `other`
    radius: Array  # (samples,)

    facets: ClassVar[float] = 1

    @property
    def on(self) -> tuple[str, ...]:
        """The bodies of its two ends."""
        return (self.body, self.other)

    def solid(self, bodies: Bodies) -> Capsule:
        """A capsule in each pose."""
        start, end = bodies.at(self.body, self.start), bodies.at(self.other, self.end)
        return Capsule(start=start, end=end, radius=np.broadcast_to(self.radius, (bodies.count,)))

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """One line, thick; exact."""
        corners = np.stack([bodies.at(self.body, self.start), bodies.at(self.other, self.end)], axis=1)
        return corners[:, None], self.radius[:, None]

    def ball(self, bodies: Bodies) -> tuple[Array, Array]:
        """Around both ends."""
        start, end = bodies.at(self.body, self.start), bodies.at(self.other, self.end)
        return (start + end) / 2, length(end - start) / 2 + self.radius


@dataclass(frozen=True, eq=False, kw_only=True)
class Turning(_ByPieces):
    """A solid of revolution on the knuckle: the tyre, or a part of the rim's inside."""

    body: str
    centre: Array  # (samples, 3)
    axis: Array  # (samples, 3)
    section: Barrel | Polygon

    facets: ClassVar[float] = np.inf

    @property
    def on(self) -> tuple[str, ...]:
        """The body it turns on."""
        return (self.body,)

    def solid(self, bodies: Bodies) -> Revolved:
        """In each pose."""
        return Revolved(
            centre=bodies.at(self.body, self.centre), axis=bodies.turn(self.body, self.axis), section=self.section
        )

    def ball(self, bodies: Bodies) -> tuple[Array, Array]:
        """Around its centre."""
        return bodies.at(self.body, self.centre), self.section.reach


class Standing(_ByPieces):
    """A surface of the shell: it stands still, and nothing is searched from it."""

    facets: ClassVar[float] = 0

    @property
    def on(self) -> tuple[str, ...]:
        """The shell."""
        return ("shell",)

    def solid(self, bodies: Bodies) -> Solid:
        """It is none."""
        raise NotImplementedError

    def ball(self, bodies: Bodies) -> tuple[Array, Array]:
        """Not asked for."""
        raise NotImplementedError


@dataclass(frozen=True, eq=False, kw_only=True)
class Sheet(Standing):
    """Triangles drawn in the chassis frame: (samples, n, 3 corners, 3)."""

    triangles: Array

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """As they are."""
        return self.triangles, np.zeros((1, self.triangles.shape[1]))


@dataclass(frozen=True, eq=False, kw_only=True)
class Scan(Standing):
    """A mesh in the chassis frame by the plain numbers, and where it is in each sample."""

    vertices: Array  # (n, 3)
    faces: NDArray[np.int64]  # (m, 3)
    moved: Motion  # rotation (samples, 3, 3)

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """As the plain numbers have it."""
        return self._triangles, np.zeros((1, len(self.faces)))

    @cached_property
    def _triangles(self) -> Array:  # asked for at every wheel; a scan's take a while to lay out
        return self.vertices[self.faces][None]

    def piece(self, bodies: Bodies, index: int) -> tuple[Array, Array]:
        """One triangle, moved with the shell in each sample."""
        moved = Motion(self.moved.rotation[:, None], self.moved.shift[:, None])
        return moved.at(self.vertices[self.faces[index]][None]), np.zeros(1)
