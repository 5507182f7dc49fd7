"""What moves and what it may touch, as shapes: from the build's entries. Every function raises NotMeasured.

The tyre is one solid for all its states: as wide as it bulges under load, as large as it grows at speed. It never is
both at the same place, but either can be, and a gap must be there in both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from coachwork.build import Length, Numbers, Point, require
from coachwork.build.sections.corner import End, Hardpoints
from coachwork.build.sections.envelopes import FIXED, Envelope
from coachwork.build.sections.wheels import Wheel
from coachwork.geometry.sections import Barrel, Polygon
from coachwork.geometry.solids import MIRROR
from coachwork.geometry.vectors import Array, unit
from coachwork.studies.clearance.axle_corner import AxleCorner
from coachwork.studies.clearance.shapes import Box, Cylinder, Rod, Scan, Shape, Turning
from coachwork.studies.parts import CannotBe

Redrawn = Callable[[str, Array], Array]  # (body, points as measured (samples, 3)) -> as drawn: a changed hub has moved


@dataclass(frozen=True, eq=False, kw_only=True)
class Thing:
    """A part that takes up space: its name in the builder's words, what kind of thing it is, its convex shapes."""

    name: str
    kind: str  # of build.sections.envelopes.TOUCHING
    shapes: tuple[Shape, ...]
    may_touch: tuple[str, ...] = ()

    @property
    def on(self) -> frozenset[str]:
        """The bodies it hangs on."""
        return frozenset(body for shape in self.shapes for body in shape.on)

    @property
    def is_mesh(self) -> bool:
        """Whether it is a surface of triangles, a scan or a made part: searched over, not from."""
        return all(isinstance(shape, Scan) for shape in self.shapes)


def tyre(wheel: Wheel, *, centre: Array, axis: Array, ring: bool) -> Thing:
    """The tyre on its knuckle, with the wheel inside it filled in, or as the ring that it is."""
    require(wheel.tyre_diameter, wheel.tyre_width, wheel.tyre_growth, wheel.tyre_bulge, wheel.tyre_crown,
            wheel.tyre_shoulder)  # fmt: skip
    half = wheel.tyre_width.mm / 2 + wheel.tyre_bulge.mm
    shoulder = np.minimum(wheel.tyre_shoulder.mm, 0.95 * half)
    section = Barrel(
        outer=wheel.tyre_diameter.mm / 2 + wheel.tyre_growth.mm, half_width=half, shoulder=shoulder,
        crown=np.maximum(wheel.tyre_crown.mm, half), inner=_seat(wheel) if ring else None,
    )  # fmt: skip
    return Thing(name="tyre", kind="tyre", shapes=(Turning(body="knuckle", centre=centre, axis=axis, section=section),))


def _seat(wheel: Wheel) -> Numbers:
    require(wheel.seat_diameter)
    return np.asarray(wheel.seat_diameter.mm / 2)


def rim(wheel: Wheel, *, key: str, centre: Array, axis: Array) -> Thing:
    """All of the wheel round its hollow, from the rim's inner edge to the mounting face, cut into convex rings."""
    if not wheel.rim_inside:
        require(*(Length(key=f"{key}.rim-inside"),))
    require(wheel.rim_width, wheel.seat_diameter, *(e for p in wheel.rim_inside.values() for e in p.entries()))
    points = sorted(wheel.rim_inside.values(), key=lambda point: float(point.depth.mm[0]))
    depth, radius = [p.depth.mm for p in points], [p.diameter.mm / 2 for p in points]
    face = wheel.rim_width.mm / 2 + wheel.inset_mm()
    inner_edge = -wheel.rim_width.mm / 2
    depth, radius = [np.zeros(1), *depth, np.maximum(face, depth[-1] + 0.1)], [radius[0], *radius, radius[-1]]
    outside = np.maximum(wheel.seat_diameter.mm / 2, np.max(np.broadcast_arrays(*radius), axis=0) + 1.0)
    shapes = []
    for (deep, wide), (deeper, narrow) in pairwise(zip(depth, radius, strict=True)):
        if float((deeper - deep)[0]) < 1e-6:  # a step: the next ring has its face
            continue
        corners = [(wide, deep), (outside, deep), (outside, deeper), (narrow, deeper)]
        ring = np.stack([np.stack(np.broadcast_arrays(r, inner_edge + d), axis=-1) for r, d in _alike(corners)], axis=1)
        section = Polygon(corners=ring, rounding=np.zeros(1))
        shapes.append(Turning(body="knuckle", centre=centre, axis=axis, section=section))
    return Thing(name="rim", kind="rim", shapes=tuple(shapes))


def _alike(corners: list[tuple[Numbers, Numbers]]) -> Iterator[tuple[Numbers, Numbers]]:
    shape = np.broadcast_shapes(*(np.shape(value) for corner in corners for value in corner))
    for radius, depth in corners:
        yield np.broadcast_to(radius, shape), np.broadcast_to(depth, shape)


def shaft(end: End, points: Hardpoints, redrawn: Redrawn) -> Thing:
    """From joint centre to joint centre."""
    require(points.shaft_inner, points.shaft_outer, end.shaft_diameter)
    rod = Rod(
        body="chassis", other="knuckle", start=points.shaft_inner.mm, end=redrawn("knuckle", points.shaft_outer.mm),
        radius=end.shaft_diameter.mm / 2,
    )  # fmt: skip
    return Thing(name="drive shaft", kind="shaft", shapes=(rod,))


def damper(end: End, points: Hardpoints, *, on: str) -> Thing:
    """From eye to eye, as thick as its spring all the way, less the half of that at either end."""
    require(points.damper_inner, points.damper_outer, end.damper_diameter)
    upper, lower, radius = points.damper_inner.mm, points.damper_outer.mm, end.damper_diameter.mm / 2
    along = unit(lower - upper) * radius[:, None]
    rod = Rod(body="chassis", other=on, start=upper + along, end=lower - along, radius=radius)
    return Thing(name="damper", kind="damper", shapes=(rod,))


def links(end: End, points: Hardpoints, redrawn: Redrawn, *, steered: bool) -> Iterator[Thing]:
    """Camber link and tie-rod (or toe link), each with its two rod ends."""
    if end.kind == "camber-link":
        yield _link(
            "camber link", "chassis", "carrier", points.camber_link_inner, points.camber_link_outer, end, redrawn
        )
    if steered or end.kind == "two-arm":
        inner = "bell-crank" if steered else "chassis"
        yield _link("tie-rod", inner, "knuckle", points.tie_rod_inner, points.tie_rod_outer, end, redrawn)


def axle_links(end: End, corner: AxleCorner, *, left: bool) -> Iterator[Thing]:
    """A live axle's links, and on the left the drag link of a steered one.

    All links are drawn for either wheel; for the right one in the mirror, as everything of a right corner.
    """
    flip = np.ones(3) if left else MIRROR
    require(end.link_diameter, end.rod_end_diameter)
    thin, big = end.link_diameter.mm / 2, end.rod_end_diameter.mm / 2
    for link in corner.drawn.axle.links:
        on_chassis, on_axle = link.chassis_ball[:, 0, 0] * flip, link.axle_ball[:, 0, 0] * flip
        yield _rod_with_ends(link.name.replace("-", " "), "chassis", "axle", on_chassis, on_axle, thin, big)
    if corner.steered and left:
        points = corner.points
        inner = "axle" if end.servo_on_axle else "bell-crank"
        yield _rod_with_ends("drag link", inner, "knuckle", points.tie_rod_inner.mm, points.tie_rod_outer.mm, thin, big)


def _link(name: str, inner: str, outer: str, start: Point, finish: Point, end: End, redrawn: Redrawn) -> Thing:
    require(start, finish, end.link_diameter, end.rod_end_diameter)
    thin, big = end.link_diameter.mm / 2, end.rod_end_diameter.mm / 2
    return _rod_with_ends(name, inner, outer, start.mm, redrawn(outer, finish.mm), thin, big)


def _rod_with_ends(name: str, inner: str, outer: str, first: Array, last: Array, thin: Numbers, big: Numbers) -> Thing:
    shapes = (
        Rod(body=inner, other=outer, start=first, end=last, radius=thin),
        Rod(body=inner, other=inner, start=first, end=first, radius=big),
        Rod(body=outer, other=outer, start=last, end=last, radius=big),
    )
    return Thing(name=name, kind="links", shapes=shapes)


def bell_crank(end: End, points: Hardpoints, *, with_servo: bool) -> Thing:
    """From its pivot to the tie-rod's ball, and on the servo's side to the drag link's; a slide: its ball alone."""
    steering = end.steering
    require(points.tie_rod_inner, steering.crank_width)
    ball, radius = points.tie_rod_inner.mm, steering.crank_width.mm / 2
    if steering.kind == "slide":
        shapes: tuple[Shape, ...] = (Rod(body="bell-crank", other="bell-crank", start=ball, end=ball, radius=radius),)
        return Thing(name="steering slide's ball", kind="steering", shapes=shapes)
    require(steering.pivot)
    balls = [ball, steering.crank_ball.mm] if with_servo and steering.crank_ball.known else [ball]
    shapes = tuple(
        Rod(body="bell-crank", other="bell-crank", start=steering.pivot.mm, end=tip, radius=radius) for tip in balls
    )
    return Thing(name="bell-crank", kind="steering", shapes=shapes)


def servo_arm(end: End) -> Thing:
    """The servo's arm, and the drag link to the bell-crank."""
    steering = end.steering
    require(steering.servo_axis, steering.servo_ball, steering.servo_arm_width)
    ball, radius = steering.servo_ball.mm, steering.servo_arm_width.mm / 2
    shapes: list[Shape] = [
        Rod(body="servo-arm", other="servo-arm", start=steering.servo_axis.mm, end=ball, radius=radius)
    ]
    if steering.kind != "slide":
        require(steering.crank_ball, end.link_diameter)
        drag = steering.crank_ball.mm
        shapes.append(Rod(body="servo-arm", other="bell-crank", start=ball, end=drag, radius=end.link_diameter.mm / 2))
    return Thing(name="servo arm", kind="steering", shapes=tuple(shapes))


def anti_roll_bar(end: End) -> Thing | None:
    """Its lever and link on one side; the bar between them stays in its bearings. None where there is none."""
    bar = end.anti_roll_bar
    if not (bar.bearing.given or bar.lever.given or bar.on_arm.given):
        return None
    require(bar.bearing, bar.lever, bar.on_arm, bar.diameter)
    lever, radius = bar.lever.mm, bar.diameter.mm / 2
    turns = "anti-roll-bar"
    root = np.stack(np.broadcast_arrays(bar.bearing.mm[:, 0], lever[:, 1], bar.bearing.mm[:, 2]), axis=-1)
    shapes = (
        Rod(body=turns, other=turns, start=root, end=lever, radius=radius),
        Rod(body=turns, other="arm", start=lever, end=bar.on_arm.mm, radius=radius),
    )
    return Thing(name="anti-roll bar", kind="anti-roll-bar", shapes=shapes)


def envelope(name: str, part: Envelope, *, key: str, redrawn: Redrawn | None = None) -> Thing:
    """A part that the builder measured. `redrawn` is for those on a moving body."""

    def drawn(body: str, point: Point) -> Array:
        return point.mm if redrawn is None or body in FIXED else redrawn(body, point.mm)

    shapes: list[Shape] = []
    match part.kind:
        case None:
            require(Length(key=f"{key}.kind"))
        case "box":
            require(part.corner, part.opposite)
            one, other = drawn(part.on, part.corner), drawn(part.on, part.opposite)
            shapes.append(Box(body=part.on, middle=(one + other) / 2, half=np.abs(other - one) / 2))
        case "rod":
            require(part.axis_from, part.axis_to, part.diameter)
            far = part.to_on or part.on
            shapes.append(
                Rod(body=part.on, other=far, start=drawn(part.on, part.axis_from), end=drawn(far, part.axis_to),
                    radius=part.diameter.mm / 2)
            )  # fmt: skip
        case "cylinder":
            require(part.axis_from, part.axis_to, part.diameter)
            ends = drawn(part.on, part.axis_from), drawn(part.on, part.axis_to)
            shapes.append(Cylinder(body=part.on, start=ends[0], end=ends[1], radius=part.diameter.mm / 2))
        case "turned":
            if not part.steps:
                require(Length(key=f"{key}.steps"))
            require(part.axis_from, part.axis_to, *(e for step in part.steps.values() for e in step.entries()))
            foot = drawn(part.on, part.axis_from)
            along = unit(drawn(part.on, part.axis_to) - foot)
            for step in part.steps.values():
                top = foot + step.length.mm[:, None] * along
                shapes.append(Cylinder(body=part.on, start=foot, end=top, radius=step.diameter.mm / 2))
                foot = top
    if any(isinstance(shape, Cylinder) and np.isnan(unit(shape.end - shape.start)).any() for shape in shapes):
        raise CannotBe(f"{name}: the two points of its axis are one point")
    return Thing(name=name, kind="parts", shapes=tuple(shapes), may_touch=part.touches)
