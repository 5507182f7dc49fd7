"""Steering knuckles on a live axle: one drag link to the left knuckle, one track-rod from it to the right one.

chassis or axle ball o==== drag link ====o left knuckle o======== track-rod ========o right knuckle
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from coachwork.geometry.circle_sphere import Pin, swing
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, frozen, length


@dataclass(frozen=True, eq=False, kw_only=True)
class AxleKnuckles:
    """Both knuckles in many poses, in the chassis frame, NaN where a rod cannot reach; every array (...)."""

    left: Motion
    right: Motion
    drag_link_room_mm: Array  # by how much it could be shorter or longer; negative: by how much it misses
    track_rod_room_mm: Array


@dataclass(frozen=True, eq=False, kw_only=True)
class AxleSteering:
    """Drawn points of a steered live axle, (..., 3), right-hand ones with negative y, and the rods' lengths, (...)."""

    left_kingpin_lower: Array
    left_kingpin_upper: Array
    right_kingpin_lower: Array
    right_kingpin_upper: Array
    drag_link_inner: Array  # on the chassis's servo or crank, or on the axle's own
    drag_link_outer: Array  # on the left knuckle
    track_rod_left: Array
    track_rod_right: Array
    drag_link_length_mm: Array | None = None  # drawn distances if left out
    track_rod_length_mm: Array | None = None

    def __post_init__(self) -> None:
        """Fill in the lengths left out, write-protect the arrays."""
        if self.drag_link_length_mm is None:
            drawn = length(np.subtract(self.drag_link_outer, self.drag_link_inner))
            object.__setattr__(self, "drag_link_length_mm", drawn)
        if self.track_rod_length_mm is None:
            drawn = length(np.subtract(self.track_rod_left, self.track_rod_right))
            object.__setattr__(self, "track_rod_length_mm", drawn)
        for field in fields(self):
            object.__setattr__(self, field.name, frozen(getattr(self, field.name)))

    def knuckles(self, axle: Motion, *, drag_link_inner: Array, servo_on_axle: bool = False) -> AxleKnuckles:
        """Where the knuckles are for axle poses and positions (..., 3) of the drag link's inner ball.

        servo_on_axle : the inner ball is then given where it would be on the axle as drawn, and rides with it; steering
                        does not change with heave or roll. On the chassis it does: bump steer.
        """
        assert self.drag_link_length_mm is not None
        assert self.track_rod_length_mm is not None
        drag = swing(
            Pin.through(self.left_kingpin_lower, self.left_kingpin_upper),
            self.drag_link_outer,
            drawn_ball=self.drag_link_inner,
            ball=drag_link_inner if servo_on_axle else axle.back(drag_link_inner),
            distance=self.drag_link_length_mm,
        )
        track = swing(
            Pin.through(self.right_kingpin_lower, self.right_kingpin_upper),
            self.track_rod_right,
            drawn_ball=self.track_rod_left,
            ball=drag.motion.at(self.track_rod_left),
            distance=self.track_rod_length_mm,
        )
        return AxleKnuckles(
            left=drag.on(axle),
            right=track.on(axle),
            drag_link_room_mm=drag.room,
            track_rod_room_mm=track.room,
        )
