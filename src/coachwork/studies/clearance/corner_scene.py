"""What hangs on the four corners: each wheel's things, made from the entries, one part for each lack."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.changes import ChangedEnd
from coachwork.build.sections.corner import End, EndName
from coachwork.build.sections.wheels import Wheel, fitted
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance import things
from coachwork.studies.clearance.arch import ArchWall, Opening, opening
from coachwork.studies.clearance.axle_corner import AxleCorner
from coachwork.studies.clearance.corners import Corner, SprungCorner
from coachwork.studies.clearance.inputs import Sections, shift, still
from coachwork.studies.clearance.search import Placed
from coachwork.studies.clearance.things import Thing
from coachwork.studies.linkage.axle import AxleResult, drawn_steering
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.linkage.result import EndResult
from coachwork.studies.linkage.sweep import CornerSweep, lock_input
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing, need

SIDES: tuple[Side, Side] = ("left", "right")


@dataclass(frozen=True, eq=False, kw_only=True)
class CornerScene:
    """What hangs on one wheel's corner."""

    tyre: Part[Placed]  # the wheel filled in
    ring: Part[Placed]  # the tyre alone
    rim: Part[Placed]
    shaft: Part[Placed]
    damper: Part[Placed]
    links: Part[tuple[Placed, ...]]
    steering: Part[tuple[Placed, ...]]
    bar: Part[Placed | None]
    parts: Part[tuple[Placed, ...]]  # envelopes on its bodies

    def all(self) -> Iterator[Placed]:
        """Those that are there."""
        for part in vars(self).values():
            if not is_missing(part):
                yield from part if isinstance(part, tuple) else (() if part is None else (part,))


@dataclass(frozen=True, eq=False, kw_only=True)
class EndScene:
    """Both corners of an end, and its measured arches."""

    name: EndName
    steered: bool
    live: bool  # a live axle: its shafts run inside it
    sides: Mapping[Side, CornerScene]
    alike: bool  # the right is the left's mirror image: what is between its own things need be searched once
    arches: Part[tuple[Placed, ...]]


def end_scene(name: EndName, of: Sections, result: EndResult | AxleResult) -> EndScene:
    """Both corners of an end; raises nothing."""
    gear: End = getattr(of.gear, name)
    change: ChangedEnd = getattr(of.changes, name)
    wheel: Wheel = fitted(planned=getattr(of.wheels, name), bought=gear.wheel)
    key = f"wheels.{name}" if wheel is not gear.wheel else f"running-gear.{name}.wheel"

    def corner_of(side: Side) -> Corner:
        if isinstance(result, AxleResult):
            return _on_axle(name, side, result, gear, change, shift(of, name))
        swept: CornerSweep = getattr(need(result.changed), side)
        out = float(swept.drawn.hub_face[0, 0, 0, 1])
        return SprungCorner(end=name, side=side, swept=swept, entries=gear, shift=shift(of, name), half_track_mm=out)

    def arches() -> tuple[Placed, ...]:
        corner = need(corners["left"])
        hub = corner.bodies(np.zeros((1, 3))).at("knuckle", corner.hub[0])[:, 2]
        ride = change.ride_height if change.ride_height.given else gear.ride_height
        rear = None if name == "front" else shift(of, name)[:, 0]
        hole = opening(of.shell, of.changes, end=name, wheel_height=hub, ride_height=ride, rear_shift=rear)
        return tuple(_arch(name, side, hole, of.samples) for side in SIDES)

    corners = {side: attempt(corner_of, side) for side in SIDES}
    left = corners["left"]
    alike = isinstance(result, EndResult) and not is_missing(result.changed) and (
        result.changed.left is result.changed.right
    )  # fmt: skip
    return EndScene(
        name=name, steered=not is_missing(left) and left.steered, live=isinstance(result, AxleResult), alike=alike,
        sides={side: _corner(name, side, corners[side], gear, change, wheel, key, of) for side in SIDES},
        arches=attempt(arches),
    )  # fmt: skip


def _on_axle(name: EndName, side: Side, result: AxleResult, gear: End, change: ChangedEnd, moved: Array) -> AxleCorner:
    drawn = need(result.changed).drawn
    if result.steered:  # told now what is missing, not in the middle of a search
        drawn_steering(drawn.points, gear, change)
        lock_input(gear, name)
    return AxleCorner(
        end=name, side=side, drawn=drawn, entries=gear, change=change, steered=result.steered, shift=moved
    )


def _arch(name: EndName, side: Side, hole: Opening, samples: int) -> Placed:
    thing = Thing(name=f"{name} {side} arch", kind="shell", shapes=(ArchWall(opening=hole, right=side == "right"),))
    return Placed(key=thing.name, name=thing.name, thing=thing, still=still(samples, np.zeros((1, 3))))


def _corner(
    name: EndName, side: Side, part: Part[Corner], gear: End, change: ChangedEnd, wheel: Wheel, key: str, of: Sections
) -> CornerScene:
    def placed(thing: Thing, tag: str = "") -> Placed:
        words = f"{name} {side} {thing.name}"
        corner = need(part)
        shared = isinstance(corner, AxleCorner) and thing.kind == "links"  # the axle's, of neither side
        return Placed(key=f"{words}{tag}", name=f"{name} {thing.name}" if shared else words, thing=thing, corner=corner)

    def seat() -> dict[str, Numbers]:
        face, axis = need(part).hub
        out = -wheel.inset_mm() + (change.hub_spacer.mm if change.hub_spacer.given else 0.0)
        return {"centre": face + out[:, None] * axis, "axis": axis}

    def one(make: Callable[[], Thing], tag: str = "") -> Part[Placed]:
        return attempt(lambda: placed(make(), tag))

    def steering() -> tuple[Placed, ...]:
        corner = need(part)
        if not corner.steered or gear.servo_on_axle:  # nothing is asked for that is not there
            return ()
        if isinstance(corner, AxleCorner) and side == "right":  # one drag link only
            return ()
        found = [things.bell_crank(gear, corner.points, with_servo=side == "left")]
        if side == "left" and gear.steering.servo_axis.given:
            found.append(things.servo_arm(gear))
        return tuple(placed(thing) for thing in found)

    def links() -> tuple[Placed, ...]:
        corner = need(part)
        if isinstance(corner, AxleCorner):
            found = things.axle_links(gear, corner, left=side == "left")
        else:
            found = things.links(gear, corner.points, corner.redrawn, steered=corner.steered)
        return tuple(placed(thing) for thing in found)

    def bar() -> Placed | None:
        thing = things.anti_roll_bar(gear)
        return None if thing is None else placed(thing)

    def parts() -> tuple[Placed, ...]:
        corner = need(part)
        found = [
            Placed(
                key=f"{label} {name} {side}", name=_named(name, side, label), corner=corner,
                thing=things.envelope(label, piece, key=f"envelopes.{label}", redrawn=corner.redrawn),
            )
            for label, piece in of.envelopes.each.items()
            if piece.moves and piece.end == name
        ]  # fmt: skip
        for one_part in found:
            _check_bodies(one_part)
        return tuple(found)

    return CornerScene(
        tyre=one(lambda: things.tyre(wheel, ring=False, **seat())),
        ring=one(lambda: things.tyre(wheel, ring=True, **seat()), " ring"),
        rim=one(lambda: things.rim(wheel, key=key, **seat())),
        shaft=one(lambda: things.shaft(gear, need(part).points, need(part).redrawn)),
        damper=one(lambda: things.damper(gear, need(part).points, on=_damper_on(need(part)))),
        links=attempt(links),
        steering=attempt(steering),
        bar=attempt(bar),
        parts=attempt(parts),
    )


def _damper_on(corner: Corner) -> str:
    return "axle" if isinstance(corner, AxleCorner) else "arm"


def _named(end: EndName, side: Side, label: str) -> str:
    """In words: "left rear carrier", and not "rear left rear carrier"."""
    words = label.replace("-", " ")
    return f"{side} {words}" if words.startswith(f"{end} ") else f"{end} {side} {words}"


def _check_bodies(placed: Placed) -> None:
    """A part on a body that this suspension does not have."""
    assert placed.corner is not None
    there = placed.corner.bodies(np.zeros((1, 3))).motions
    if gone := placed.thing.on - there.keys():
        raise CannotBe(f"{placed.name}: this end has no {min(gone)} to sit on")
