"""The linkage's inputs: from the build's entries to drawn corners, as bought and as changed.

Everything taken from an entry gets two more axes, so that it broadcasts over (samples, travel, steer). A changed end is
the bought one redrawn: points that were given anew take the place of the old ones, all that rides on a longer arm moves
out along it, and a link's new length is told as a difference from the old link, as callipers measure it best.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np

from coachwork.build import Length, NotMeasured, Point, require
from coachwork.build.sections.changes import ChangedEnd, Changes
from coachwork.build.sections.corner import End, EndName, Hardpoints
from coachwork.geometry.circle_sphere import Pin, swing
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, dot, length, unit
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.poses import Corner
from coachwork.studies.linkage.two_arm import TwoArmCorner

Side = Literal["left", "right"]

PINS = ("arm_pin_front", "arm_pin_rear", "hub_face")
NEEDED: dict[str, tuple[str, ...]] = {
    "camber-link": (*PINS, "hub_pin_front", "hub_pin_rear", "camber_link_inner", "camber_link_outer"),
    "two-arm": (*PINS, "lower_ball", "upper_pin_front", "upper_pin_rear", "upper_ball"),
}
TIE_ROD = ("tie_rod_inner", "tie_rod_outer")
STEERED = ("kingpin_lower", "kingpin_upper", *TIE_ROD)
ON_THE_HUB = (
    "hub_pin_front",
    "hub_pin_rear",
    "camber_link_outer",
    "lower_ball",
    "upper_ball",
    "kingpin_lower",
    "kingpin_upper",
    "tie_rod_outer",
    "hub_face",
    "shaft_outer",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class DrawnEnd:
    """One corner of an end, drawn. Points (samples, 1, 1, 3), lengths (samples, 1, 1), mm and rad."""

    corner: Corner
    hub_face: Array
    spin_axis: Array  # of length one, outboard
    moved: Motion  # of the hub, from where it was bought to where it is drawn
    short_mm: Array  # by how much the upper arm cannot reach the hub at all
    points: Hardpoints  # the entries behind it, for parts that need more of them
    bought_points: Hardpoints  # the same as the donor brought them

    def on_hub(self, point: Point) -> Array:
        """A drawn point of carrier, knuckle or wheel."""
        return self.moved.at(over_poses(point.mm))

    def on_chassis(self, point: Point) -> Array:
        """A drawn point that a longer arm does not move."""
        return over_poses(point.mm)


def over_poses(values: Array) -> Array:
    """(samples) or (samples, 3) with axes for travel and steer put in."""
    return values[:, None, None] if values.ndim == 1 else values[:, None, None, :]


def is_steered(end: End, name: EndName) -> bool:
    """The front always is; a rear end where it has a steering of its own."""
    return name == "front" or end.steering.kind is not None


@cache
def nothing_changed() -> Changes:
    """No change at either end; made once, for that takes a millisecond."""
    return Changes()


def bought(end: End, name: EndName, side: Side) -> DrawnEnd:
    """The end as the donor brought it. Raises NotMeasured naming every point it lacks."""
    return changed(end, name, side, nothing_changed().front)


def changed(end: End, name: EndName, side: Side, change: ChangedEnd) -> DrawnEnd:
    """The end as the build changes it. Raises NotMeasured naming every point it lacks."""
    if end.kind is None or end.kind not in NEEDED:
        raise NotMeasured([f"running-gear.{name}.kind"])
    old = chosen_points(end.right if side == "right" else Hardpoints(), end)
    new = chosen_points(change.hardpoints, old)
    needed = NEEDED[end.kind] + (TIE_ROD if end.kind == "two-arm" else STEERED if is_steered(end, name) else ())
    require(*(getattr(points, point) for points in (old, new) for point in needed))
    was = {point: over_poses(getattr(old, point).mm) for point in needed}
    at = {point: over_poses(getattr(new, point).mm) for point in needed}
    out = np.zeros_like(at["hub_face"])
    if change.arm_longer.given:
        out = over_poses(change.arm_longer.mm)[..., None] * _along_arm(was, end.kind)
        at = {point: where + out if point in ON_THE_HUB else where for point, where in at.items()}
    draw = _camber_link if end.kind == "camber-link" else _two_arm
    corner, tilt, short = draw(was, at, end, change)
    return DrawnEnd(
        corner=corner,
        hub_face=tilt.at(at["hub_face"]),
        spin_axis=tilt.turn(_spin_axis(end)),
        moved=tilt @ Motion.by(out),
        short_mm=short,
        points=new,
        bought_points=old,
    )


def changed_length(*, drawn_mm: Array, new: Length, old: Length) -> Array:
    """A link's length in the drawing: as drawn, plus how much longer the new link is than the old.

    The difference of two links held in the callipers is worth more than the distance of two points in space, so the
    old link's own length is asked for as soon as there is a new one.
    """
    if not new.given:
        return drawn_mm
    require(new, old)
    return np.asarray(drawn_mm + over_poses(new.mm - old.mm))


def chosen(new: Point, old: Point) -> Point:
    """Coordinate by coordinate: the new one where given, else the old."""
    pairs = zip(new.coordinates, old.coordinates, strict=True)
    return Point(*(a if a.given else b for a, b in pairs))


def chosen_points(first: Hardpoints, then: Hardpoints) -> Hardpoints:
    """Point by point, coordinate by coordinate: the first where given, else the other."""
    names = Hardpoints.model_fields
    return Hardpoints().model_copy(update={name: chosen(getattr(first, name), getattr(then, name)) for name in names})


def _along_arm(at: dict[str, Array], kind: str) -> Array:
    """The direction in which a longer lower arm carries the hub: square to its pin, through its outer end."""
    outer = at["lower_ball"] if kind == "two-arm" else (at["hub_pin_front"] + at["hub_pin_rear"]) / 2
    along_pin = unit(at["arm_pin_front"] - at["arm_pin_rear"])
    reach = outer - at["arm_pin_rear"]
    return unit(reach - dot(reach, along_pin)[..., None] * along_pin)


def _spin_axis(end: End) -> Array:
    """Outboard along the wheel's axle, from camber and toe as measured (signs: wheel_angles)."""
    camber, toe = over_poses(end.camber.rad), over_poses(end.toe.rad)
    axis = (np.sin(toe) * np.cos(camber), np.cos(toe) * np.cos(camber), -np.sin(camber))
    return np.stack(np.broadcast_arrays(*axis), axis=-1)


def _distance(at: dict[str, Array], link: str) -> Array:
    return length(at[f"{link}_outer"] - at[f"{link}_inner"])


Drawing = tuple[Corner, Motion, Array]  # the corner, how its hub was tilted to draw it, by how many mm that fell short


def _camber_link(was: dict[str, Array], at: dict[str, Array], end: End, change: ChangedEnd) -> Drawing:
    link = changed_length(
        drawn_mm=_distance(was, "camber_link"), new=change.camber_link_length, old=end.camber_link_length
    )
    rod = {}
    if "tie_rod_outer" in at:
        rod_mm = changed_length(drawn_mm=_distance(was, "tie_rod"), new=change.tie_rod_length, old=end.tie_rod_length)
        rod = {"tie_rod_length_mm": rod_mm}
    points = {name: where for name, where in at.items() if name != "hub_face"}
    return CamberLinkCorner(**points, camber_link_length_mm=link, **rod), Motion.identity(), np.zeros_like(link)


def _two_arm(was: dict[str, Array], at: dict[str, Array], end: End, change: ChangedEnd) -> Drawing:
    """Arms of new lengths tilt the knuckle; it is drawn tilted, about its lower ball, so that the upper arm fits."""

    def upper_pin(points: dict[str, Array]) -> Pin:
        return Pin.through(points["upper_pin_rear"], points["upper_pin_front"])

    def foot(points: dict[str, Array]) -> Array:
        pin = upper_pin(points)
        return pin.point + dot(points["upper_ball"] - pin.point, pin.direction)[..., None] * pin.direction

    radius = length(was["upper_ball"] - foot(was))
    if change.upper_arm_longer.given:
        radius = radius + over_poses(change.upper_arm_longer.mm)
    pin = Pin(at["lower_ball"], upper_pin(at).direction)
    fit = swing(pin, at["upper_ball"], drawn_ball=foot(at), ball=foot(at), distance=radius)
    out_of_reach = fit.room < 0
    tilt = Motion.turned(
        pin.point, pin.direction, np.where(out_of_reach, 1.0, fit.cosine), np.where(out_of_reach, 0.0, fit.sine)
    )
    rod_mm = changed_length(drawn_mm=_distance(was, "tie_rod"), new=change.tie_rod_length, old=end.tie_rod_length)
    corner = TwoArmCorner(
        lower_pin_front=at["arm_pin_front"],
        lower_pin_rear=at["arm_pin_rear"],
        upper_pin_front=at["upper_pin_front"],
        upper_pin_rear=at["upper_pin_rear"],
        kingpin_lower=at["lower_ball"],
        kingpin_upper=tilt.at(at["upper_ball"]),
        tie_rod_inner=at["tie_rod_inner"],
        tie_rod_outer=tilt.at(at["tie_rod_outer"]),
        tie_rod_length_mm=rod_mm,
    )
    return corner, tilt, np.maximum(0.0, -fit.room)
