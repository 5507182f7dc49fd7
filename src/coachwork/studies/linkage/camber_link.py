"""Kind (a): a lower arm, a hub carrier that swings on the arm's outer pin, and one camber link above.

                 chassis o=========== camber link ===========o  carrier
                                                              \\
    chassis hinge pin (x)----------- arm ------------(x) hub pin      + knuckle in the carrier on the kingpin,
                                                                        steered by a tie-rod

The two loops are closed one after the other, each by one circle that meets one sphere: seen from the arm, the carrier's
ball goes round the hub pin and the camber link holds it at its length from the chassis ball; seen from the carrier, the
knuckle's ball goes round the kingpin and the tie-rod does the same. Solving in the frame of the body that holds the pin
keeps the circle where it was drawn, so only the ball has to be moved.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np

from coachwork.geometry.circle_sphere import Circle, Pin, Swing
from coachwork.geometry.rigid import Motion, Twist
from coachwork.geometry.vectors import Array, frozen, length
from coachwork.studies.linkage.loosened import Loosened
from coachwork.studies.linkage.poses import CornerPoses


@dataclass(frozen=True, eq=False, kw_only=True)
class CamberLinkCorner:
    """Drawn hardpoints of the left corner, (..., 3) in mm, and the lengths of its two links.

    A length left out is the distance between the link's hardpoints; given, it may differ from it, and then the drawn
    pose is not one that the linkage takes. An unsteered end leaves kingpin and tie-rod out.
    """

    arm_pin_front: Array
    arm_pin_rear: Array
    hub_pin_front: Array
    hub_pin_rear: Array
    camber_link_inner: Array
    camber_link_outer: Array
    kingpin_lower: Array | None = None
    kingpin_upper: Array | None = None
    tie_rod_inner: Array | None = None
    tie_rod_outer: Array | None = None
    camber_link_length_mm: Array | None = None  # (...)
    tie_rod_length_mm: Array | None = None  # (...)

    def __post_init__(self) -> None:
        """Fill in the lengths left out, write-protect the arrays."""
        steered = [self.kingpin_lower, self.kingpin_upper, self.tie_rod_inner, self.tie_rod_outer]
        if any(point is None for point in steered) and any(point is not None for point in steered):
            raise ValueError("a steered corner needs both kingpin points and both tie-rod balls, an unsteered one none")
        if self.camber_link_length_mm is None:
            drawn = length(np.subtract(self.camber_link_outer, self.camber_link_inner))
            object.__setattr__(self, "camber_link_length_mm", drawn)
        if self.tie_rod_length_mm is None and self.tie_rod_outer is not None and self.tie_rod_inner is not None:
            object.__setattr__(self, "tie_rod_length_mm", length(np.subtract(self.tie_rod_outer, self.tie_rod_inner)))
        for field in fields(self):
            if (value := getattr(self, field.name)) is not None:
                object.__setattr__(self, field.name, frozen(value))

    @cached_property
    def _arm_pin(self) -> Pin:
        """Directed forward, so that a positive turn lifts the left wheel."""
        return Pin.through(self.arm_pin_rear, self.arm_pin_front)

    @cached_property
    def arm_twist(self) -> Twist:
        """The arm's velocity per radian of its angle."""
        return Twist.about(self._arm_pin.point, self._arm_pin.direction)

    @cached_property
    def _hub_pin(self) -> Pin:
        return Pin.through(self.hub_pin_rear, self.hub_pin_front)

    @cached_property
    def _camber_link_circle(self) -> Circle:
        return Circle.drawn(self._hub_pin, self.camber_link_outer, ball=self.camber_link_inner)

    @cached_property
    def _tie_rod_circle(self) -> Circle | None:
        """None at an unsteered end."""
        lower, upper, outer, inner = self.kingpin_lower, self.kingpin_upper, self.tie_rod_outer, self.tie_rod_inner
        if lower is None or upper is None or outer is None or inner is None:
            return None
        return Circle.drawn(Pin.through(lower, upper), outer, ball=inner)

    def poses(self, *, arm_angle_rad: Array, tie_rod_inner: Array | None = None) -> CornerPoses:
        """Poses for angles (...) of the arm and positions (..., 3) of the tie-rod's inner ball, drawn ones if left out.

        NaN motions: a link cannot reach; the rooms say which and by how many mm.
        """
        arm_angle_rad = np.asarray(arm_angle_rad, dtype=float)
        arm, upper = self._hung(arm_angle_rad)
        carrier = upper.on(arm)
        if self._tie_rod_circle is None:
            knuckle, knuckle_angle, tie_rod_room = carrier, np.zeros(()), np.full((), np.inf)
        else:
            inner = self.tie_rod_inner if tie_rod_inner is None else tie_rod_inner
            assert inner is not None
            assert self.tie_rod_length_mm is not None
            steer = self._tie_rod_circle.meeting(carrier.back(inner), self.tie_rod_length_mm)
            knuckle, knuckle_angle, tie_rod_room = steer.on(carrier), steer.angle, steer.room
        return CornerPoses(
            arm=arm,
            upper_arm=None,
            carrier=carrier,
            knuckle=knuckle,
            arm_angle_rad=arm_angle_rad,
            upper_angle_rad=upper.angle,
            knuckle_angle_rad=knuckle_angle,
            upper_room_mm=upper.room,
            tie_rod_room_mm=tie_rod_room,
        )

    def bump_twist(self, poses: CornerPoses, *, tie_rod_inner: Array | None = None) -> Twist:
        """The knuckle's velocity per radian of arm angle, with the tie-rod's inner ball held."""
        return self._tied(self._carrier_twist(poses.arm, poses.carrier), poses.carrier, poses.knuckle, tie_rod_inner)

    def without_camber_link(self, arm_angle_rad: Array, carrier_angle_rad: Array) -> Loosened:
        """Poses for angles (...) of the arm and of the carrier about the hub pin; the tie-rod as drawn."""
        arm = self._arm_pin.turned(arm_angle_rad)
        carrier = self._hub_pin.turned(carrier_angle_rad, on=arm)
        circle = self._tie_rod_circle
        if circle is None:
            knuckle = carrier
        else:
            assert self.tie_rod_inner is not None
            assert self.tie_rod_length_mm is not None
            knuckle = circle.meeting(carrier.back(self.tie_rod_inner), self.tie_rod_length_mm).on(carrier)
        return Loosened(
            knuckle=knuckle,
            by_arm=self._tied(self.arm_twist, carrier, knuckle),
            by_joint=self._tied(self._hub_pin.twist(arm), carrier, knuckle),
            link_mm=length(carrier.at(self.camber_link_outer) - self.camber_link_inner),
        )

    def without_tie_rod(self, arm_angle_rad: Array, knuckle_angle_rad: Array) -> Loosened:
        """Poses for angles (...) of the arm and of the knuckle about the kingpin. ValueError at an unsteered end."""
        if self._tie_rod_circle is None or self.tie_rod_outer is None or self.tie_rod_inner is None:
            raise ValueError("this corner has no such link")
        arm, upper = self._hung(arm_angle_rad)
        carrier, kingpin = upper.on(arm), self._tie_rod_circle.pin
        knuckle = kingpin.turned(knuckle_angle_rad, on=carrier)
        return Loosened(
            knuckle=knuckle,
            by_arm=self._carrier_twist(arm, carrier),
            by_joint=kingpin.twist(carrier),
            link_mm=length(knuckle.at(self.tie_rod_outer) - self.tie_rod_inner),
        )

    def _hung(self, arm_angle_rad: Array) -> tuple[Motion, Swing]:
        """The arm, and the carrier's swing about the hub pin that it carries."""
        assert self.camber_link_length_mm is not None
        arm = self._arm_pin.turned(arm_angle_rad)
        return arm, self._camber_link_circle.meeting(arm.back(self.camber_link_inner), self.camber_link_length_mm)

    def _carrier_twist(self, arm: Motion, carrier: Motion) -> Twist:
        """The carrier's velocity per radian of arm angle."""
        return self.arm_twist.holding(
            carrier.at(self.camber_link_outer), at_distance_from=self.camber_link_inner, own=self._hub_pin.twist(arm)
        )

    def _tied(self, twist: Twist, carrier: Motion, knuckle: Motion, tie_rod_inner: Array | None = None) -> Twist:
        """The knuckle's velocity where the carrier has this one, with the tie-rod's inner ball held."""
        if self._tie_rod_circle is None:
            return twist
        inner = self.tie_rod_inner if tie_rod_inner is None else tie_rod_inner
        assert inner is not None
        assert self.tie_rod_outer is not None
        own = self._tie_rod_circle.pin.twist(carrier)
        return twist.holding(knuckle.at(self.tie_rod_outer), at_distance_from=inner, own=own)
