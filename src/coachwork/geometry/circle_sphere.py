"""A point that can only swing about a pin, held at a fixed distance from a ball: where can it be?

                  pin           The point goes round a circle; the distance puts it on a sphere.
                   |            Circle and sphere meet twice, touch once, or miss each other.
          circle  -+-  o point
                   |    \\
                   |     \\  length
                           o ball

With c the centre and r the radius of the circle, u from c to the drawn point and v = pin x u (both of length one), and
d from c to the ball:

    |ball - point(angle)|^2 = length^2   <=>   d.u cos(angle) + d.v sin(angle) = (r^2 + |d|^2 - length^2) / (2 r)

This is the law of cosines in the plane of the circle: the point is arccos(right side / (in-plane part of d)) before or
after the ball. Everything here is in one length unit, whichever.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coachwork.geometry.rigid import Axis, Motion, Twist
from coachwork.geometry.vectors import Array, cross, dot, length, unit


@dataclass(frozen=True, eq=False)
class Pin:
    """A line that a body swings about."""

    point: Array  # (..., 3), anywhere on the line
    direction: Array  # (..., 3), of length one; the swing is right-handed about it

    @classmethod
    def through(cls, first: Array, then: Array) -> Pin:
        """The pin through two points, directed from the first to the second."""
        return cls(first, unit(then - first))

    @cached_property
    def axis(self) -> Axis:
        """What a turn about it is made of."""
        return Axis.about(self.point, self.direction)

    def turned(self, angle: Array, *, on: Motion | None = None) -> Motion:
        """What a swing by an angle (...) does to the body, where the body that holds the pin has moved by `on`."""
        return self.axis.turned(np.cos(angle), np.sin(angle), on=on)

    def twist(self, carrying: Motion) -> Twist:
        """The velocity of a swing, per radian, where the body that holds the pin has moved by `carrying`."""
        return Twist.about(carrying.at(self.point), carrying.turn(self.direction))


@dataclass(frozen=True, eq=False)
class Swing:
    """How far a body must swing about its pin for a link to fit, and the room the link has left."""

    pin: Pin
    cosine: Array  # (...), NaN where the link cannot fit
    sine: Array  # (...)
    room: Array  # (...), length unit: how much longer or shorter the link may get; negative: by how much it misses

    @property
    def angle(self) -> Array:
        """The swing from the drawn position, -pi to pi: (...)."""
        return np.asarray(np.arctan2(self.sine, self.cosine))

    @property
    def motion(self) -> Motion:
        """What the swing does to the body."""
        return self.pin.axis.turned(self.cosine, self.sine)

    def on(self, carrying: Motion) -> Motion:
        """The body's motion where the body that holds the pin has moved by `carrying`."""
        return self.pin.axis.turned(self.cosine, self.sine, on=carrying)


@dataclass(frozen=True, eq=False)
class Circle:
    """The way of a body's point about its pin: what all swings of it have in common.

    It keeps the side of the plane through pin and ball that the point was drawn on, which chooses between the two
    answers. A link can pass from one side to the other only where it is in line with the pin, and there the mechanism
    locks.
    """

    pin: Pin
    centre: Array  # (..., 3)
    radial: Array  # (..., 3), of length one, from the centre to the drawn point; NaN where that is on the pin
    sideways: Array  # (..., 3), of length one, where the point goes first
    radius: Array  # (...)
    side: Array  # (...), 1 where the drawn ball lies behind the point, else -1

    @classmethod
    def drawn(cls, pin: Pin, point: Array, *, ball: Array) -> Circle:
        """From where the point (..., 3) and the link's other ball (..., 3) were drawn."""
        to_point = point - pin.point
        centre = pin.point + dot(to_point, pin.direction)[..., None] * pin.direction
        radial = point - centre
        sideways = cross(pin.direction, radial)
        radius = length(radial)
        side = np.where(dot(ball - centre, sideways) > 0.0, -1.0, 1.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            radial, sideways = radial / radius[..., None], sideways / radius[..., None]
        return cls(pin, centre, radial, sideways, radius, side)

    def meeting(self, ball: Array, distance: Array) -> Swing:
        """The swing that puts the point at `distance` from `ball`.

        ball     : (..., 3), where the ball is now, seen from the body that holds the pin
        distance : (...), may differ from the drawn distance
        NaN      : cosine and sine, where `room` is negative or the ball or the point is on the pin
        """
        radius = self.radius
        with np.errstate(divide="ignore", invalid="ignore"):
            offset = ball - self.centre
            forward, across = dot(offset, self.radial), dot(offset, self.sideways)
            in_plane_squared, squared = forward**2 + across**2, dot(offset, offset)
            in_plane = np.sqrt(in_plane_squared)
            height_squared = np.maximum(squared - in_plane_squared, 0.0)
            shortest = np.sqrt((in_plane - radius) ** 2 + height_squared)
            longest = np.sqrt((in_plane + radius) ** 2 + height_squared)
            room = np.minimum(distance - shortest, longest - distance)
            share = (radius**2 + squared - distance**2) / (2.0 * radius * in_plane)
            # Where circle and sphere just touch, rounding must not tell the room from the angle: the room decides.
            share = np.where(room >= 0.0, np.clip(share, -1.0, 1.0), np.nan)
            rest = self.side * np.sqrt(1.0 - share**2)
            cosine = (forward * share - across * rest) / in_plane
            sine = (across * share + forward * rest) / in_plane
        return Swing(self.pin, cosine, sine, room)


def swing(pin: Pin, point: Array, *, drawn_ball: Array, ball: Array, distance: Array) -> Swing:
    """The swing about `pin` that puts a body's `point` (..., 3) at `distance` from `ball`: see `Circle`."""
    return Circle.drawn(pin, point, ball=drawn_ball).meeting(ball, distance)
