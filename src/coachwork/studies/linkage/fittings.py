"""What hangs on a corner: ball joints on their studs, the drive shaft, the damper."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import require
from coachwork.build.sections.changes import ChangedEnd
from coachwork.build.sections.corner import End
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, length
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.ground import straight_ahead
from coachwork.studies.linkage.hardpoints import changed_length, over_poses
from coachwork.studies.linkage.joints import DamperPoses, ball_joint_angle_rad, damper_poses
from coachwork.studies.linkage.shaft import ShaftPoses, shaft_poses
from coachwork.studies.linkage.sweep import AXES, CornerSweep
from coachwork.studies.linkage.wording import greatest, least
from coachwork.studies.result import Result

OUTBOARD = AXES["y"]
JOINTS = ("camber-link-inner", "camber-link-outer", "tie-rod-inner", "tie-rod-outer")


@dataclass(frozen=True, eq=False, kw_only=True)
class BallJoints(Result):
    """How far each rod end tips on its ball; {joint: (samples, travel, steer)} in rad, either way positive."""

    angle_rad: dict[str, Array]
    limit_rad: Array  # (samples, 1, 1)


def ball_joints(swept: CornerSweep, end: End) -> BallJoints:
    """Angles of the rod ends of camber link and tie-rod against the plane square to their studs. Raises NotMeasured."""
    corner, poses = swept.drawn.corner, swept.poses
    angles: dict[str, Array] = {}

    def rod(name: str, inner: Array, outer: Array, carrying: Motion, inner_stud: str, outer_stud: str) -> None:
        angles[f"{name}-inner"] = ball_joint_angle_rad(stud=AXES[inner_stud], ball=inner, other_end=outer)
        stud = carrying.turn(swept.drawn.moved.turn(AXES[outer_stud]))
        angles[f"{name}-outer"] = ball_joint_angle_rad(stud=stud, ball=outer, other_end=inner)

    if isinstance(corner, CamberLinkCorner):
        outer = poses.carrier.at(corner.camber_link_outer)
        rod(
            "camber-link",
            corner.camber_link_inner,
            outer,
            poses.carrier,
            end.camber_link_inner_stud,
            end.camber_link_outer_stud,
        )
    if corner.tie_rod_inner is not None and corner.tie_rod_outer is not None:
        inner = corner.tie_rod_inner if swept.tie_rod_inner is None else swept.tie_rod_inner
        outer = poses.knuckle.at(corner.tie_rod_outer)
        rod("tie-rod", inner, outer, poses.knuckle, end.tie_rod_inner_stud, end.tie_rod_outer_stud)
    shape = swept.assembles.shape
    # A stud's own turn about its axis does not matter, nor which of its ends the rod tips to.
    return BallJoints(
        angle_rad={name: np.abs(np.broadcast_to(angle, shape)) for name, angle in angles.items()},
        limit_rad=over_poses(end.ball_joint_limit.rad),
    )


@dataclass(frozen=True, eq=False, kw_only=True)
class Shaft(Result):
    """The drive shaft over all poses; arrays (samples, travel, steer)."""

    poses: ShaftPoses
    pulled_mm: Array  # from the position it was measured in; negative: pushed together
    plunge_in_mm: Array  # (samples, 1, 1), how far it may be pushed together
    plunge_out_mm: Array  # (samples, 1, 1), how far it may be pulled
    joint_limit_rad: Array  # (samples, 1, 1)
    as_measured_mm: Array  # (samples, 1, 1), the old shaft, pin to pin; its drawn distance where nobody measured it


def shaft(swept: CornerSweep, end: End, change: ChangedEnd) -> Shaft:
    """How the shaft is pulled and pushed by the linkage, with its new length where it has one. Raises NotMeasured."""
    drawn, points = swept.drawn, swept.drawn.points
    require(points.shaft_inner, points.shaft_outer, end.shaft_plunge_in, end.shaft_plunge_out, end.shaft_joint_limit)
    old = drawn.bought_points  # the shaft was measured there, wherever its ends are now
    require(old.shaft_inner, old.shaft_outer)
    was_mm = length(over_poses(old.shaft_outer.mm) - over_poses(old.shaft_inner.mm))
    now_mm = changed_length(drawn_mm=was_mm, new=change.shaft_length, old=end.shaft_length)
    poses = shaft_poses(
        swept.poses.knuckle,
        inner_centre=drawn.on_chassis(points.shaft_inner),
        outer_centre=drawn.on_hub(points.shaft_outer),
        inner_axis=OUTBOARD,
        outer_axis=drawn.spin_axis,
    )
    shape = swept.assembles.shape
    spread = {name: np.broadcast_to(value, shape) for name, value in vars(poses).items()}
    return Shaft(
        poses=ShaftPoses(**spread),
        pulled_mm=spread["distance_mm"] - now_mm,
        plunge_in_mm=over_poses(end.shaft_plunge_in.mm),
        plunge_out_mm=over_poses(end.shaft_plunge_out.mm),
        joint_limit_rad=over_poses(end.shaft_joint_limit.rad),
        as_measured_mm=over_poses(end.shaft_length.mm) if end.shaft_length.given else was_mm,
    )


@dataclass(frozen=True, eq=False, kw_only=True)
class Damper(Result):
    """The damper over travel, straight ahead; arrays (samples, travel)."""

    poses: DamperPoses
    stroke_used_mm: Array  # (samples)
    stroke_mm: Array  # (samples), what it has


def damper(swept: CornerSweep, end: End) -> Damper:
    """The damper between chassis and lower arm. Raises NotMeasured."""
    points, drawn = swept.drawn.points, swept.drawn
    require(points.damper_inner, points.damper_outer, end.damper_stroke)
    straight = straight_ahead(swept)

    poses = damper_poses(
        straight.poses.arm,
        upper_eye=drawn.on_chassis(points.damper_inner),
        lower_eye=drawn.on_chassis(points.damper_outer),
        carrying_twist=drawn.corner.arm_twist,
        wheel_twist=drawn.corner.bump_twist(straight.poses, tie_rod_inner=straight.tie_rod_inner),
        wheel_centre=straight.poses.knuckle.at(drawn.hub_face),
    )
    shape = swept.assembles.shape[:2]
    flat = {name: np.broadcast_to(value, (*shape, 1))[:, :, 0] for name, value in vars(poses).items()}
    used = greatest(flat["length_mm"], 1) - least(flat["length_mm"], 1)
    return Damper(poses=DamperPoses(**flat), stroke_used_mm=used, stroke_mm=end.damper_stroke.mm)
