"""Bodies that hang on each other by joints, the constraints that tie them into loops, and how both move.

The joints' own motions are the unknowns, so joints hold exactly. A joint's rates are screws: turning about a line, or
sliding along a direction. The velocity that a unit rate gives to a point x is then w x (x - p), so every derivative of
a constraint is exact: no differences are taken.

Source: screw Jacobians as in Lynch and Park, Modern Robotics (2017), chapter 5 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias

import numpy as np

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, cross, dot, length, unit


@dataclass(frozen=True, eq=False, kw_only=True)
class Body:
    """A rigid body and the one joint by which it hangs on another, or on the ground.

    Points and directions are where they were drawn: (..., 3).
    """

    joint: Literal["hinge", "ball", "free"]
    point: Array  # of the hinge's line, or the ball's centre; free: the point that it turns about, best its middle
    direction: Array | None = None  # of the hinge, any length but zero; None for the others
    on: Body | None = None  # None: the ground

    @property
    def rates(self) -> int:
        """How many ways the joint lets it move; turns come before shifts."""
        return {"hinge": 1, "ball": 3, "free": 6}[self.joint]


@dataclass(frozen=True, eq=False, kw_only=True)
class Distance:
    """A point of one body stays at a distance (...) from a point of another, or of the ground: a link with two balls.

    The distance must not be zero, where it has no derivative.
    """

    body: Body
    point: Array
    other: Body | None = None
    other_point: Array
    distance: Array

    def equation(self, pose: Pose) -> tuple[Array, Array]:
        """Distance now minus distance wanted (...), and its derivatives (..., rates)."""
        here = pose.motion(self.body).at(self.point)
        there = self.other_point if self.other is None else pose.motion(self.other).at(self.other_point)
        apart = length(here - there)
        direction = (here - there) / apart[..., None]
        row = pose.point_rates(self.body, here, direction)
        if self.other is not None:
            row = row - pose.point_rates(self.other, there, direction)
        return apart - self.distance, row


@dataclass(frozen=True, eq=False, kw_only=True)
class Position:
    """A point's coordinate along a resting direction has a value (...): a plane it stays on, or a drive.

    The direction is taken as it is: give it length one to have the value in the unit of length.
    """

    body: Body
    point: Array
    direction: Array
    value: Array

    def equation(self, pose: Pose) -> tuple[Array, Array]:
        """Coordinate now minus coordinate wanted (...), and its derivatives (..., rates)."""
        here = pose.motion(self.body).at(self.point)
        return dot(here, self.direction) - self.value, pose.point_rates(self.body, here, self.direction)


@dataclass(frozen=True, eq=False, kw_only=True)
class Inclination:
    """The scalar product of a body's direction with a resting one has a value (...): a rotation held or driven."""

    body: Body
    direction: Array
    against: Array
    value: Array

    def equation(self, pose: Pose) -> tuple[Array, Array]:
        """Product now minus product wanted (...), and its derivatives (..., rates)."""
        now = pose.motion(self.body).turn(self.direction)
        return dot(now, self.against) - self.value, pose.turn_rates(self.body, cross(now, self.against))


@dataclass(frozen=True, eq=False, kw_only=True)
class Turn:
    """A hinge has turned by an angle (...) since it was drawn: a drive."""

    body: Body
    angle: Array

    def equation(self, pose: Pose) -> tuple[Array, Array]:
        """Angle now minus angle wanted (...), and its derivatives (rates,)."""
        return pose.turned[pose.bodies.index(self.body)] - self.angle, pose.own_rates(self.body)


Constraint: TypeAlias = Distance | Position | Inclination | Turn


@dataclass(frozen=True, eq=False)
class Pose:
    """Where each joint is, in all poses of a batch: its own motion, and the angle of a hinge (zero for others)."""

    bodies: tuple[Body, ...]
    own: tuple[Motion, ...]
    turned: tuple[Array, ...]

    @classmethod
    def drawn(cls, bodies: Sequence[Body], batch: tuple[int, ...]) -> Pose:
        """Everything as drawn; a body must come after the one it hangs on."""
        still = Motion(np.broadcast_to(np.eye(3), (*batch, 3, 3)), np.zeros((*batch, 3)))
        return cls(tuple(bodies), (still,) * len(bodies), (np.zeros(batch),) * len(bodies))

    @cached_property
    def motions(self) -> tuple[Motion, ...]:
        """The bodies' motions over the ground."""
        result: list[Motion] = []
        for body, own in zip(self.bodies, self.own, strict=True):
            result.append(own if body.on is None else result[self.bodies.index(body.on)] @ own)
        return tuple(result)

    def motion(self, body: Body) -> Motion:
        """One body's motion over the ground."""
        return self.motions[self.bodies.index(body)]

    @cached_property
    def _screws(self) -> tuple[Array, Array]:
        """Of every rate: the direction turned about, and the velocity given to the origin; (..., rates, 3) each."""
        angular, linear = [], []
        for body, own in zip(self.bodies, self.own, strict=True):
            parent = Motion.identity() if body.on is None else self.motion(body.on)
            axes = [parent.turn(axis) for axis in (np.eye(3) if body.direction is None else [unit(body.direction)])]
            centre = parent.at(own.at(body.point))
            angular += axes
            linear += [cross(centre, axis) for axis in axes]
            if body.joint == "free":
                angular += [np.zeros(3)] * 3
                linear += axes
        shape = (*self.turned[0].shape, 3)
        return (
            np.stack([np.broadcast_to(each, shape) for each in angular], axis=-2),
            np.stack([np.broadcast_to(each, shape) for each in linear], axis=-2),
        )

    @property
    def turns(self) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Which rates are turns, the others being shifts: (rates,)."""
        return np.array([i < 3 for body in self.bodies for i in range(body.rates)])

    def own_rates(self, body: Body) -> Array:
        """1 for the rates of the body's own joint, else 0: (rates,)."""
        return np.array([float(each is body) for each in self.bodies for _ in range(each.rates)])

    def _moving(self, body: Body) -> Array:
        """1 for the rates that move the body: its own and those of what it hangs on, else 0: (rates,)."""
        return self.own_rates(body) + (0.0 if body.on is None else self._moving(body.on))

    def turn_rates(self, body: Body, axis: Array) -> Array:
        """How fast the body turns about a direction (..., 3) for each unit rate: (..., rates)."""
        return np.asarray(self._moving(body) * np.einsum("...rk,...k->...r", self._screws[0], axis))

    def point_rates(self, body: Body, point: Array, direction: Array) -> Array:
        """How fast the body's point that is now at `point` moves along a direction for each rate: (..., rates)."""
        along = np.einsum("...rk,...k->...r", self._screws[1], direction)
        return np.asarray(self._moving(body) * along + self.turn_rates(body, cross(point, direction)))

    def moved(self, rates: Array) -> Pose:
        """The pose after every joint has moved by its rates, (..., rates), turns being finite rotations."""
        moved, turned, first = [], [], 0
        for body, own, angle in zip(self.bodies, self.own, self.turned, strict=True):
            mine = rates[..., first : first + body.rates]
            first += body.rates
            if body.direction is not None:
                turned.append(angle + mine[..., 0])
                moved.append(Motion.about(body.point, body.direction, turned[-1]))
                continue
            turn = length(mine[..., :3])
            axis = np.where(turn[..., None] > 0.0, mine[..., :3], [1.0, 0.0, 0.0])
            after = Motion.about(own.at(body.point), axis, turn) @ own
            moved.append(Motion.by(mine[..., 3:]) @ after if body.joint == "free" else after)
            turned.append(angle)
        return Pose(self.bodies, tuple(moved), tuple(turned))


def equations(pose: Pose, constraints: Sequence[Constraint]) -> tuple[Array, Array]:
    """Residuals (..., constraints) and their derivatives (..., constraints, rates)."""
    batch, rates = pose.turned[0].shape, sum(body.rates for body in pose.bodies)
    pairs = [each.equation(pose) for each in constraints]
    return (
        np.stack([np.broadcast_to(residual, batch) for residual, _ in pairs], axis=-1),
        np.stack([np.broadcast_to(row, (*batch, rates)) for _, row in pairs], axis=-2),
    )
