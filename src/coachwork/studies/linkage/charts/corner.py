"""An end's curves over travel and over lock, as bought against as changed."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from coachwork.geometry.vectors import Array
from coachwork.studies.chart import Chart, Line
from coachwork.studies.chart import Variant as Look
from coachwork.studies.linkage.result import EndResult, Variant
from coachwork.studies.parts import Blocked, Missing, Part

TRAVEL = "wheel travel from ride height, bump positive (mm)"


def of_end(end: EndResult) -> Iterator[Chart]:
    def chart(
        name: str,
        title: str,
        y_label: str,
        curve: Callable[[Variant], tuple[Array, Array]],
        x_label: str = TRAVEL,
        note: str = "",
        band: tuple[float, float] | None = None,
    ) -> Chart:
        return Chart(
            id=f"linkage.{end.name}.{name}",
            title=f"{title}, {end.name}",
            x_label=x_label,
            y_label=y_label,
            lines=tuple(_lines(end, curve)),
            note=note,
            band=band,
        )

    camber = float(np.degrees(end.wanted.camber_rad[0]))
    toe = float(np.degrees(end.wanted.toe_rad[0]))
    yield chart(
        "camber",
        "Camber over travel",
        "camber, top out positive (deg)",
        _over_travel(lambda v: np.degrees(v.left.camber_rad)),
        band=(camber - 1.0, camber + 1.0),
    )
    yield chart(
        "toe",
        "Toe over travel, steering straight",
        "toe-in per wheel (deg)",
        _over_travel(lambda v: np.degrees(v.left.toe_in_rad)),
        band=(toe - 0.5, toe + 0.5),
    )
    yield chart("track", "How the tyre moves out over travel", "contact point, outward positive (mm)", _half_track)
    yield chart(
        "swing-arm",
        "How fast the wheel's top leans in as it rises",
        "lean in (deg per mm of rise)",
        _swing_arm,
        note="A swing arm of 100 mm leans 0.57 deg per mm.",
    )
    yield chart("roll-centre", "Roll centre over travel", "height over the ground (mm)", _roll_centre)
    yield chart("shaft-plunge", "How far the drive shaft is pulled", "pulled out positive (mm)", _plunge)
    yield chart("damper-ratio", "Damper motion for each millimetre of the wheel", "motion ratio (mm per mm)", _damper)
    if end.steered:
        crank = "steering input to the left (deg of crank, or mm of slide)"
        yield chart("steer", "Steer angles at ride height", "left wheel, to the left positive (deg)", _steer, crank)
        yield Chart(
            id=f"linkage.{end.name}.ackermann",
            title=f"Outer wheel against the ideal one, {end.name}",
            x_label="inner wheel (deg)",
            y_label="outer wheel (deg)",
            lines=tuple(_ackermann(end)),
            note="The ideal is Ackermann's condition for the changed wheelbase.",
        )
        yield chart(
            "scrub",
            "Scrub radius over steer",
            "kingpin offset at ground, inboard positive (mm)",
            _scrub,
            "left wheel's steer angle (deg)",
        )


def _lines(end: EndResult, curve: Callable[[Variant], tuple[Array, Array]]) -> Iterator[Line]:
    states: tuple[tuple[Look, Part[Variant]], ...] = (("as bought", end.bought), ("as changed", end.changed))
    for look, variant in states:
        if isinstance(variant, Variant):
            x, y = curve(variant)
            if x.size:
                yield Line(name=look, variant=look, x=x, y=y)


_NONE = np.zeros(0)


def _over_travel(pick: Callable[[Variant], Array]) -> Callable[[Variant], tuple[Array, Array]]:
    def curve(variant: Variant) -> tuple[Array, Array]:
        return variant.left.travel_mm[0], pick(variant)[0, :, variant.left.straight]

    return curve


def _half_track(variant: Variant) -> tuple[Array, Array]:
    if isinstance(variant.ground, (Missing, Blocked)):
        return _NONE, _NONE
    change = variant.ground.half_track_change_mm(variant.left.ride, variant.left.straight)
    return variant.left.travel_mm[0], change[0]


def _swing_arm(variant: Variant) -> tuple[Array, Array]:
    if isinstance(variant.ground, (Missing, Blocked)):
        return _NONE, _NONE
    return variant.left.travel_mm[0], np.degrees(variant.ground.centre.lean_in_rad_per_mm[0])


def _roll_centre(variant: Variant) -> tuple[Array, Array]:
    if isinstance(variant.ground, (Missing, Blocked)):
        return _NONE, _NONE
    return variant.left.travel_mm[0], variant.ground.centre.roll_centre_height_mm[0]


def _plunge(variant: Variant) -> tuple[Array, Array]:
    if isinstance(variant.shaft, (Missing, Blocked)):
        return _NONE, _NONE
    return variant.left.travel_mm[0], variant.shaft.pulled_mm[0, :, variant.left.straight]


def _damper(variant: Variant) -> tuple[Array, Array]:
    if isinstance(variant.damper, (Missing, Blocked)):
        return _NONE, _NONE
    return variant.left.travel_mm[0], variant.damper.poses.motion_ratio[0]


def _input(variant: Variant) -> Array:
    """The steering's input as labelled: degrees of a crank, millimetres of a slide."""
    steer_input = variant.left.steer_input[0]
    return np.asarray(np.degrees(steer_input) if variant.left.input_is_angle else steer_input)


def _steer(variant: Variant) -> tuple[Array, Array]:
    if isinstance(variant.lock, (Missing, Blocked)):
        return _NONE, _NONE
    return _input(variant), np.degrees(variant.lock.left_rad[0])


def _scrub(variant: Variant) -> tuple[Array, Array]:
    if isinstance(variant.ground, (Missing, Blocked)) or variant.ground.kingpin is None:
        return _NONE, _NONE
    scrub = np.broadcast_to(variant.ground.kingpin.scrub_radius_mm, variant.left.assembles.shape)
    return np.degrees(variant.left.steer_rad[0, variant.left.ride]), scrub[0, variant.left.ride]


def _ackermann(end: EndResult) -> Iterator[Line]:
    states: tuple[tuple[Look, Part[Variant]], ...] = (("as bought", end.bought), ("as changed", end.changed))
    for look, variant in states:
        if not isinstance(variant, Variant) or isinstance(variant.lock, (Missing, Blocked)):
            continue
        half = slice(variant.left.straight, None)
        inner, outer = (np.degrees(angle[0, half]) for angle in variant.lock.inner_and_outer_rad)
        yield Line(name=look, variant=look, x=inner, y=outer)
        if look == "as changed" and not isinstance(variant.turn, (Missing, Blocked)):
            ideal = outer - np.degrees(variant.turn.ackermann.outer_error_rad[0, half])
            yield Line(name="ideal", variant="reference", x=inner, y=ideal)
