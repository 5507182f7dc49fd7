"""Rigid motions: where the points of a body are now, given where they were when the body was drawn.

There is one frame, and a motion moves points within it: it does not re-express a point in another frame. The motion of
a body that rides on another is `parent @ own`, and `own` is then written in the parent's drawn position.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.vectors import Array, cross, dot, length, unit


@dataclass(frozen=True, eq=False)
class Motion:
    """A rotation about the origin, then a shift."""

    rotation: Array  # (..., 3, 3)
    shift: Array  # (..., 3)

    def at(self, points: Array) -> Array:
        """Where drawn points (..., 3) are now."""
        return self.turn(points) + self.shift

    def turn(self, vectors: Array) -> Array:
        """How drawn directions (..., 3) point now."""
        return _blend(vectors, np.swapaxes(self.rotation, -1, -2))

    def back(self, points: Array) -> Array:
        """The drawn points that are now at `points` (..., 3)."""
        return _blend(points - self.shift, self.rotation)

    def __matmul__(self, earlier: Motion) -> Motion:
        """`earlier` first, then this one."""
        return Motion(self.rotation @ earlier.rotation, self.at(earlier.shift))

    @property
    def inverse(self) -> Motion:
        """The motion that undoes this one."""
        back = np.swapaxes(self.rotation, -1, -2)
        return Motion(back, -np.einsum("...ij,...j->...i", back, self.shift))

    @property
    def angle(self) -> Array:
        """By how much it turns, 0 to pi: (...). Exact to rounding for small angles too."""
        doubled_sine = length(self._doubled_sine_axis)
        return np.asarray(np.arctan2(doubled_sine, np.trace(self.rotation, axis1=-2, axis2=-1) - 1.0))

    @property
    def _doubled_sine_axis(self) -> Array:
        r = self.rotation
        return np.stack(
            [r[..., 2, 1] - r[..., 1, 2], r[..., 0, 2] - r[..., 2, 0], r[..., 1, 0] - r[..., 0, 1]], axis=-1
        )

    @classmethod
    def identity(cls) -> Motion:
        """Everything stays where it was drawn."""
        return cls(np.eye(3), np.zeros(3))

    @classmethod
    def by(cls, shift: Array) -> Motion:
        """A shift (..., 3) without a turn."""
        return cls(np.eye(3), shift)

    @classmethod
    def about(cls, axis_point: Array, axis_direction: Array, angle: Array) -> Motion:
        """A turn by `angle` (...) about a line, right-handed about its direction (of any length but zero)."""
        return cls.turned(axis_point, axis_direction, np.cos(angle), np.sin(angle))

    @classmethod
    def turned(cls, axis_point: Array, axis_direction: Array, cosine: Array, sine: Array) -> Motion:
        """The same from cosine and sine of the angle, which a closed form often has without the angle."""
        return Axis.about(axis_point, axis_direction).turned(cosine, sine)

    @classmethod
    def between(cls, first: Array, then: Array, first_direction: Array, then_direction: Array) -> Motion:
        """The motion that carries one point to another and one direction to another with the least turn.

        NaN: the directions are exactly opposite, so that no least turn exists.
        """
        before, after = unit(first_direction), unit(then_direction)
        turn = skew(cross(before, after))
        with np.errstate(divide="ignore", invalid="ignore"):
            rotation = np.eye(3) + turn + turn @ turn / (1.0 + dot(before, after))[..., None, None]
        return cls(rotation, then - np.einsum("...ij,...j->...i", rotation, first))


@dataclass(frozen=True, eq=False)
class Axis:
    """A line that bodies turn about, with all of a turn that does not hang on its angle.

    Source : Rodrigues' rotation formula, R = a a^T + cos (I - a a^T) + sin [a]x, `a` of length one.
    """

    rotations: Array  # (..., 3, 3, 3), the formula's three
    shifts: Array  # (..., 3, 3), what they make of the shift

    @classmethod
    def about(cls, point: Array, direction: Array) -> Axis:
        """The line through a point (..., 3), directed (of any length but zero)."""
        axis = unit(direction)
        along = axis[..., :, None] * axis[..., None, :]
        across = point - dot(axis, point)[..., None] * axis
        rotations = np.empty((*along.shape[:-2], 3, 3, 3))
        rotations[..., 0, :, :], rotations[..., 1, :, :], rotations[..., 2, :, :] = along, np.eye(3) - along, skew(axis)
        return cls(rotations, np.stack([across, -across, -cross(axis, point)], axis=-2))

    def turned(self, cosine: Array, sine: Array, *, on: Motion | None = None) -> Motion:
        """A turn about it, right-handed, from cosine and sine (...) of the angle.

        on : the motion of the body that the line is drawn on, which then comes last: `on @ turned(...)`, but faster
             where many angles (the last batch axis) share one line and one `on`
        """
        if on is not None and on.rotation.ndim > 2 and on.rotation.shape[-3] > 1:
            return on @ self.turned(cosine, sine)
        rotations, shifts = self.rotations, self.shifts
        if on is not None:
            rotations = on.rotation[..., None, :, :] @ rotations
            shifts = np.einsum("...ij,...kj->...ki", on.rotation, shifts)
            shifts = shifts + np.array([[1.0], [0.0], [0.0]]) * on.shift[..., None, :]
        factors = np.ones((*np.broadcast_shapes(np.shape(cosine), np.shape(sine)), 3))
        factors[..., 1], factors[..., 2] = cosine, sine
        rotation = _blend(factors, rotations.reshape((*rotations.shape[:-2], 9)))
        return Motion(rotation.reshape((*rotation.shape[:-1], 3, 3)), _blend(factors, shifts))


@dataclass(frozen=True, eq=False)
class Twist:
    """The velocity of a rigid body: how fast it turns, and how fast the point of it at the origin moves.

    "Fast" is per unit of whatever drives the body; the caller says of what.
    """

    angular: Array  # (..., 3)
    linear: Array  # (..., 3), of the point at the origin

    def at(self, points: Array) -> Array:
        """Velocities (..., 3) of the points of the body that are now at `points` (..., 3)."""
        return self.linear + cross(self.angular, points)

    def __add__(self, other: Twist) -> Twist:
        """Both at once."""
        return Twist(self.angular + other.angular, self.linear + other.linear)

    def __mul__(self, factor: Array) -> Twist:
        """`factor` (...) times as fast."""
        return Twist(factor[..., None] * self.angular, factor[..., None] * self.linear)

    def holding(self, point: Array, *, at_distance_from: Array, own: Twist) -> Twist:
        """The velocity with as much of a joint's `own` added as keeps `point` at its distance from a resting point.

        Infinite or NaN where the joint cannot: the link is in line with its axis.
        """
        along = point - at_distance_from
        with np.errstate(divide="ignore", invalid="ignore"):
            return self + own * (-dot(along, self.at(point)) / dot(along, own.at(point)))

    @classmethod
    def about(cls, axis_point: Array, axis_direction: Array) -> Twist:
        """Turning about a line, by one radian per unit where the direction is of length one."""
        return cls(axis_direction, cross(axis_point, axis_direction))


def skew(vectors: Array) -> Array:
    """The matrices (..., 3, 3) that do what a vector product from the left does: `skew(a) @ b` is a x b."""
    x, y, z = vectors[..., 0], vectors[..., 1], vectors[..., 2]
    matrices = np.zeros((*vectors.shape, 3))
    matrices[..., 0, 1], matrices[..., 0, 2] = -z, y
    matrices[..., 1, 0], matrices[..., 1, 2] = z, -x
    matrices[..., 2, 0], matrices[..., 2, 1] = -y, x
    return matrices


def _blend(factors: Array, parts: Array) -> Array:
    """Sums (..., n) of parts (..., 3, n) times factors (..., 3).

    Where all factors of the last batch axis share their parts, one matrix product does for all of them: a quarter of
    the time. Rotating vectors is this too: the rows of the rotation are the parts, or its columns.
    """
    if parts.ndim == 2:
        return np.asarray(factors @ parts)
    if parts.shape[-3] == 1 and factors.ndim > 1:
        return np.asarray(factors @ parts[..., 0, :, :])
    return np.asarray(np.einsum("...k,...kn->...n", factors, parts))
