"""Kinds (a) and (b) once more, by the general constraint solver: slower, and independent of the closed forms.

Nothing of the study runs through here; tests and benchmarks hold the closed forms against it.
"""

from __future__ import annotations

import numpy as np

from coachwork.geometry.linked_bodies import Assembly, assemble
from coachwork.geometry.mechanism import Body, Constraint, Distance, Turn
from coachwork.geometry.vectors import Array, length
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.two_arm import TwoArmCorner


def knuckle_assembly(
    corner: CamberLinkCorner | TwoArmCorner, *, arm_angle_rad: Array, tie_rod_inner: Array | None = None
) -> Assembly:
    """The corner's bodies, arm first, knuckle last, for arm angles (...) and inner balls (..., 3) of the tie-rod.

    NaN motions: not assembled, or not found from the drawn pose.
    """
    inner = corner.tie_rod_inner if tie_rod_inner is None else tie_rod_inner
    constraints: list[Constraint]
    if isinstance(corner, CamberLinkCorner):
        arm = _hinge(corner.arm_pin_rear, corner.arm_pin_front)
        carrier = _hinge(corner.hub_pin_rear, corner.hub_pin_front, on=arm)
        bodies = [arm, carrier]
        assert corner.camber_link_length_mm is not None
        camber_link = Distance(
            body=carrier,
            point=corner.camber_link_outer,
            other_point=corner.camber_link_inner,
            distance=corner.camber_link_length_mm,
        )
        constraints = [Turn(body=arm, angle=np.asarray(arm_angle_rad)), camber_link]
        if corner.kingpin_lower is not None and corner.kingpin_upper is not None:
            bodies.append(_hinge(corner.kingpin_lower, corner.kingpin_upper, on=carrier))
    else:
        arm = _hinge(corner.lower_pin_rear, corner.lower_pin_front)
        knuckle = Body(joint="ball", point=corner.kingpin_lower, on=arm)
        bodies = [arm, knuckle]
        # The upper arm is two links here, from either end of its pin: they hold the ball on the same circle.
        upper_links = [
            Distance(
                body=knuckle, point=corner.kingpin_upper, other_point=end, distance=length(corner.kingpin_upper - end)
            )
            for end in (corner.upper_pin_front, corner.upper_pin_rear)
        ]
        constraints = [Turn(body=arm, angle=np.asarray(arm_angle_rad)), *upper_links]
    if inner is not None and corner.tie_rod_outer is not None:
        assert corner.tie_rod_length_mm is not None
        length_mm = corner.tie_rod_length_mm
        constraints.append(Distance(body=bodies[-1], point=corner.tie_rod_outer, other_point=inner, distance=length_mm))
    return assemble(bodies, constraints)


def _hinge(start: Array, end: Array, on: Body | None = None) -> Body:
    return Body(joint="hinge", point=start, direction=end - start, on=on)
