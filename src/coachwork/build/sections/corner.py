"""Suspension hardpoints of one end of the running gear, left side, in the frame of its own axle.

Frame (ISO 8855): x forward from the axle line, y to the left from the centreline, z up from the chassis's flat
underside. The right side is the mirror image unless `right` says otherwise. Measure with the chassis at ride height
on a flat board; all points of an end are taken in that one position.
"""

from __future__ import annotations

from typing import Annotated, Literal

from coachwork.build.entries import Angle, Ask, Length, Mass, Point, Torque
from coachwork.build.section import Section
from coachwork.build.sections.springing import Damper, Spring
from coachwork.build.sections.wheels import Wheel
from coachwork.quantity import Source

EndName = Literal["front", "rear"]
StudAxis = Literal["x", "y", "z"]
_FRAME = "; x from the axle line forward, y from the centreline outward, z from the flat underside up"


def _point(what: str) -> Ask:
    return Ask(how=what + _FRAME, sign="any", usual=(-400, 400))


class Hardpoints(Section):
    """Where the pivots are. Which of them are needed depends on the kind of suspension."""

    arm_pin_front: Annotated[Point, _point("lower arm's hinge pin on the chassis, its front end")] = Point()
    arm_pin_rear: Annotated[Point, _point("lower arm's hinge pin on the chassis, its rear end")] = Point()
    hub_pin_front: Annotated[Point, _point("hinge pin at the outer end of the arm, its front end")] = Point()
    hub_pin_rear: Annotated[Point, _point("hinge pin at the outer end of the arm, its rear end")] = Point()
    camber_link_inner: Annotated[Point, _point("camber link's ball on the chassis, centre of the ball")] = Point()
    camber_link_outer: Annotated[Point, _point("camber link's ball on the hub carrier, centre of the ball")] = Point()
    lower_ball: Annotated[Point, _point("lower arm's outer ball joint, centre of the ball")] = Point()
    upper_pin_front: Annotated[Point, _point("upper arm's hinge pin on the chassis, its front end")] = Point()
    upper_pin_rear: Annotated[Point, _point("upper arm's hinge pin on the chassis, its rear end")] = Point()
    upper_ball: Annotated[Point, _point("upper arm's outer ball joint, centre of the ball")] = Point()
    kingpin_lower: Annotated[Point, _point("a point low on the line the knuckle turns about")] = Point()
    kingpin_upper: Annotated[Point, _point("a point high on the line the knuckle turns about")] = Point()
    tie_rod_inner: Annotated[Point, _point("tie-rod's inner ball, steering straight ahead")] = Point()
    tie_rod_outer: Annotated[Point, _point("tie-rod's outer ball on the knuckle, steering straight ahead")] = Point()
    track_rod: Annotated[Point, _point("live axle: track-rod's ball on the left knuckle, steering straight")] = Point()
    hub_face: Annotated[Point, _point("centre of the face the wheel bolts against")] = Point()
    damper_inner: Annotated[Point, _point("damper's upper mounting on the chassis")] = Point()
    damper_outer: Annotated[Point, _point("damper's lower mounting on the arm")] = Point()
    shaft_inner: Annotated[Point, _point("drive shaft's inner joint, centre of its pin, axle at ride height")] = Point()
    shaft_outer: Annotated[Point, _point("drive shaft's outer joint, centre of its pin")] = Point()


class AxleLink(Section):
    """One link that holds a live axle: a ball on the chassis, a ball on the axle. A right-hand one has negative y."""

    chassis: Annotated[Point, _point("this link's pivot on the chassis (a leaf: its fixed eye)")] = Point()
    axle: Annotated[Point, _point("this link's pivot on the axle (a leaf: the middle of its clamp)")] = Point()
    length: Annotated[Length, Ask(how="pivot to pivot, if it differs from the points", usual=(5, 400))] = Length()


class AntiRollBar(Section):
    """The anti-roll bar of one end, left side: it turns in its bearings, and a link ties its lever to the lower arm."""

    bearing: Annotated[Point, _point("centre of the bar where it turns in the chassis")] = Point()
    lever: Annotated[Point, _point("anti-roll bar's lever: the ball at its end")] = Point()
    on_arm: Annotated[Point, _point("anti-roll bar's link: its ball on the lower arm")] = Point()
    diameter: Annotated[Length, Ask(how="diameter of the bar and its lever", usual=(0.8, 8), guess="2.5 ± 1 mm")] = (
        Length()
    )


class Steering(Section):
    """What moves the inner tie-rod balls, and the servo behind it."""

    kind: Literal["bell-crank", "slide"] | None = None
    pivot: Annotated[Point, _point("bell-crank's pivot, at the height of the tie-rod's ball")] = Point()
    axis: StudAxis = "z"
    lock: Annotated[
        Angle,
        Ask(
            how="angle the crank turns from straight to its stop, on the protractor",
            usual=(0.05, 1.2),
            guess="25 ± 5 deg",
        ),
    ] = Angle()
    slide_lock: Annotated[Length, Ask(how="how far the slide moves from straight to its stop", usual=(0.5, 40))] = (
        Length()
    )
    servo_axis: Annotated[Point, _point("servo's output shaft, at the height of its arm's ball")] = Point()
    servo_turns_about: StudAxis = "x"
    servo_ball: Annotated[Point, _point("drag link's ball on the servo arm, steering straight ahead")] = Point()
    crank_ball: Annotated[Point, _point("drag link's ball on the bell-crank, steering straight ahead")] = Point()
    crank_width: Annotated[
        Length,
        Ask(how="width of the bell-crank's arms, or their height if that is more", usual=(2, 30), guess="8 ± 2 mm"),
    ] = Length()
    servo_arm_width: Annotated[
        Length, Ask(how="width of the servo arm, or its height if that is more", usual=(2, 30), guess="7 ± 2 mm")
    ] = Length()
    servo_torque: Annotated[
        Torque,
        Ask(how="servo's stall torque at your receiver voltage, from its label", source=Source.LABEL, usual=(30, 6000)),
    ] = Torque()
    servo_travel: Annotated[
        Angle, Ask(how="angle the servo turns from neutral to full stick", usual=(0.2, 1.6), guess="45 ± 5 deg")
    ] = Angle()


class End(Hardpoints):
    """One end as bought: kind, hardpoints, limits, wheel."""

    kind: Literal["camber-link", "two-arm", "live-axle"] | None = None
    right: Hardpoints = Hardpoints()
    camber: Annotated[
        Angle,
        Ask(
            how="camber as measured, wheel against a square; positive when the top leans out",
            sign="any",
            usual=(-0.2, 0.2),
            guess="0 ± 0.5 deg",
        ),
    ] = Angle()
    toe: Annotated[
        Angle,
        Ask(
            how="toe of one wheel as measured, positive when the front edges point inward",
            sign="any",
            usual=(-0.2, 0.2),
            guess="0 ± 0.5 deg",
        ),
    ] = Angle()
    ride_height: Annotated[
        Length, Ask(how="ground up to the chassis's flat underside at this axle, as measured", usual=(2, 150))
    ] = Length()
    bump_travel: Annotated[
        Length, Ask(how="how far the wheel can rise from ride height to its stop", usual=(0.5, 80), guess="8 ± 2 mm")
    ] = Length()
    droop_travel: Annotated[
        Length, Ask(how="how far the wheel can drop from ride height to its stop", usual=(0.5, 80), guess="5 ± 2 mm")
    ] = Length()
    wheel: Wheel = Wheel()
    camber_link_length: Annotated[
        Length, Ask(how="camber link, ball centre to ball centre, if it differs from the points", usual=(8, 200))
    ] = Length()
    tie_rod_length: Annotated[
        Length, Ask(how="tie-rod, ball centre to ball centre, if it differs from the points", usual=(8, 200))
    ] = Length()
    camber_link_inner_stud: StudAxis = "x"
    camber_link_outer_stud: StudAxis = "x"
    tie_rod_inner_stud: StudAxis = "z"
    tie_rod_outer_stud: StudAxis = "z"
    ball_joint_limit: Annotated[
        Angle,
        Ask(
            how="how far a rod end tips on its ball before it touches the stud's shoulder, each way",
            usual=(0.1, 0.9),
            guess="22 ± 3 deg",
        ),
    ] = Angle()
    shaft_length: Annotated[Length, Ask(how="drive shaft, pin centre to pin centre", usual=(15, 250))] = Length()
    shaft_plunge_in: Annotated[
        Length,
        Ask(
            how="how far the shaft can still be pushed together from the measured position",
            sign="not negative",
            usual=(0, 20),
            guess="1.5 ± 0.7 mm",
        ),
    ] = Length()
    shaft_plunge_out: Annotated[
        Length,
        Ask(
            how="how far the shaft can still be pulled apart before a pin leaves its cup",
            sign="not negative",
            usual=(0, 20),
            guess="2.0 ± 0.8 mm",
        ),
    ] = Length()
    shaft_joint_limit: Annotated[
        Angle,
        Ask(how="largest angle the shaft's joints turn through without binding", usual=(0.1, 0.9), guess="30 ± 5 deg"),
    ] = Angle()
    damper_stroke: Annotated[Length, Ask(how="how far the damper's rod moves from end to end", usual=(2, 80))] = (
        Length()
    )
    shaft_diameter: Annotated[Length, Ask(how="diameter of the drive shaft", usual=(1.5, 20), guess="5 ± 2 mm")] = (
        Length()
    )
    damper_diameter: Annotated[
        Length, Ask(how="damper's diameter, over its spring", usual=(5, 40), guess="13 ± 3 mm")
    ] = Length()
    link_diameter: Annotated[
        Length, Ask(how="diameter of camber link and tie-rod between their rod ends", usual=(1, 12), guess="3.5 ± 1 mm")
    ] = Length()
    rod_end_diameter: Annotated[
        Length, Ask(how="diameter of the rod ends of camber link and tie-rod", usual=(3, 20), guess="7 ± 2 mm")
    ] = Length()
    unsprung: Annotated[
        Mass,
        Ask(
            how="what goes up and down with both wheels of this axle: wheels, hubs, half of the arms and shafts (a "
            "live axle: all of it), on the kitchen scale",
            usual=(20, 2500),
            guess="240 ± 90 g",
        ),
    ] = Mass()
    spring: Spring = Spring()
    damper: Damper = Damper()
    steering: Steering = Steering()
    anti_roll_bar: AntiRollBar = AntiRollBar()
    links: dict[str, AxleLink] = {}
    leaf_sprung: bool = False
    servo_on_axle: bool = False
