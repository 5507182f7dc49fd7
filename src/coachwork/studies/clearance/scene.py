"""Everything that takes up space, each thing in its place: built from the build's sections, one part for each lack."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coachwork.build import NotMeasured, Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import End, EndName, Hardpoints
from coachwork.build.sections.envelopes import Envelopes
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheel, Wheels, fitted
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array
from coachwork.scans.seated import SeatedShell
from coachwork.studies.clearance import things
from coachwork.studies.clearance.arch import opening, triangles
from coachwork.studies.clearance.corners import SprungCorner
from coachwork.studies.clearance.search import Placed, Surroundings
from coachwork.studies.clearance.shapes import Bodies, Scan, Sheet
from coachwork.studies.clearance.things import Thing
from coachwork.studies.linkage.axle import AxleResult
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.linkage.result import EndResult, LinkageResult
from coachwork.studies.linkage.sweep import CornerSweep
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing, need

SIDES: tuple[Side, Side] = ("left", "right")
ENDS: tuple[EndName, EndName] = ("front", "rear")


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
    sides: Mapping[Side, CornerScene]
    alike: bool  # the right is the left's mirror image: what is between its own things need be searched once
    arches: Part[tuple[Placed, ...]]


@dataclass(frozen=True, eq=False, kw_only=True)
class Scene:
    """All of it."""

    ends: Mapping[EndName, EndScene]
    standing: Part[tuple[Placed, ...]]  # envelopes that do not move
    scan: Part[Placed]
    has_envelopes: bool

    def placed(self, key: str) -> Placed:
        """A thing by its key. Raises KeyError."""
        return self._by_key[key]

    def surroundings(self, end: EndName, side: Side) -> Surroundings:
        """The shell (its scan, else this wheel's measured arch) and all that stands on the chassis, as one tree."""
        if is_missing(self.scan):
            arches = _there(self.ends[end].arches)
            return Surroundings.of((*(arch for arch in arches if side in arch.key), *_there(self.standing)))
        return self.with_scan

    @cached_property
    def with_scan(self) -> Surroundings:
        return Surroundings.of((need(self.scan), *_there(self.standing)))

    @cached_property
    def _by_key(self) -> dict[str, Placed]:
        found = [placed for end in self.ends.values() for side in end.sides.values() for placed in side.all()]
        for part in (self.standing, self.scan, *(end.arches for end in self.ends.values())):
            if not is_missing(part):
                found += part if isinstance(part, tuple) else (part,)
        return {placed.key: placed for placed in found}


def _there(part: Part[tuple[Placed, ...]]) -> tuple[Placed, ...]:
    return () if is_missing(part) else part


@dataclass(frozen=True, kw_only=True)
class Sections:
    """The tables behind a scene."""

    shell: Shell
    gear: RunningGear
    wheels: Wheels
    changes: Changes
    envelopes: Envelopes
    samples: int


def scene(of: Sections, linkage: LinkageResult, scan: Part[SeatedShell]) -> Scene:
    """Build it; raises nothing."""
    still = _still(of.samples, np.zeros((1, 3)))
    return Scene(
        ends={name: _end(name, of, getattr(linkage, name)) for name in ENDS},
        standing=attempt(lambda: tuple(_standing(of))),
        scan=scan if is_missing(scan) else _scan_of(scan, still),
        has_envelopes=bool(of.envelopes.each),
    )


def _scan_of(scan: SeatedShell, still: Bodies) -> Placed:
    shape = Scan(vertices=scan.vertices_mm, faces=scan.faces, moved=scan.moved)
    return Placed(key="shell", name="shell", thing=Thing(name="shell", kind="shell", shapes=(shape,)), still=still)


def _still(samples: int, shift: Array, *, right: bool = False) -> Bodies:
    motion = Motion(np.eye(3)[None], np.zeros((1, 3)))
    return Bodies(motions={"chassis": motion, "shell": motion}, count=samples, right=right, shift=shift)


def _standing(of: Sections) -> Iterator[Placed]:
    lacking: list[str] = []
    for name, part in of.envelopes.each.items():
        if part.moves:
            continue
        made = attempt(_standing_one, name, of)
        if is_missing(made):
            lacking += getattr(made, "keys", ())
            if not getattr(made, "keys", ()):
                need(made)
            continue
        yield from made
    if lacking:
        raise NotMeasured(lacking)


def _standing_one(name: str, of: Sections) -> tuple[Placed, ...]:
    part = of.envelopes.each[name]
    shift = _shift(of, part.end or "front")
    thing = things.envelope(name, part, key=f"envelopes.{name}")
    words = name.replace("-", " ")
    sides = (False, True) if part.mirrored else (False,)
    return tuple(
        Placed(key=f"{name}{', right' if right else ''}", name=f"{words}, right" if right else words, thing=thing,
               still=_still(of.samples, shift, right=right))
        for right in sides
    )  # fmt: skip


def _shift(of: Sections, end: EndName) -> Array:
    if end == "front":
        return np.zeros((1, 3))
    require(of.gear.wheelbase)
    longer = of.changes.stretch.mm if of.changes.stretch.given else 0.0
    return np.stack([-(of.gear.wheelbase.mm + longer), *np.zeros((2, of.samples))], axis=-1)


def _end(name: EndName, of: Sections, result: EndResult | AxleResult) -> EndScene:
    gear: End = getattr(of.gear, name)
    wheel: Wheel = fitted(planned=getattr(of.wheels, name), bought=gear.wheel)
    key = f"wheels.{name}" if wheel is not gear.wheel else f"running-gear.{name}.wheel"

    def corner_of(side: Side) -> SprungCorner:
        if isinstance(result, AxleResult):
            raise CannotBe("live axles are not searched yet")
        changed = need(result.changed)
        swept: CornerSweep = getattr(changed, side)
        out = np.asarray(swept.drawn.hub_face[0, 0, 0, 1])
        return SprungCorner(
            end=name, side=side, swept=swept, entries=gear, shift=_shift(of, name), half_track_mm=float(out)
        )

    def arches() -> tuple[Placed, ...]:
        corner = corner_of("left")
        height = corner.bodies(np.zeros((1, 3)))
        hub = height.at("knuckle", corner.swept.drawn.hub_face[:, 0, 0])[:, 2]
        change = getattr(of.changes, name)
        ride = change.ride_height if change.ride_height.given else gear.ride_height
        rear = None if name == "front" else _shift(of, name)[:, 0]
        hole = opening(of.shell, of.changes, end=name, wheel_height=hub, ride_height=ride, rear_shift=rear)
        return tuple(_arch(name, side, triangles(hole, right=side == "right"), of.samples) for side in SIDES)

    corners = {side: attempt(corner_of, side) for side in SIDES}
    alike = not isinstance(result, AxleResult) and not is_missing(result.changed) and (
        result.changed.left is result.changed.right
    )  # fmt: skip
    steered = not is_missing(corners["left"]) and need(corners["left"]).steered
    sides = {side: _corner(name, side, corners[side], gear, wheel, key, of) for side in SIDES}
    return EndScene(name=name, steered=steered, sides=sides, alike=alike, arches=attempt(arches))


def _arch(name: EndName, side: Side, corners: Array, samples: int) -> Placed:
    thing = Thing(name=f"{name} {side} arch", kind="shell", shapes=(Sheet(triangles=corners),))
    return Placed(key=thing.name, name=thing.name, thing=thing, still=_still(samples, np.zeros((1, 3))))


def _corner(
    name: EndName, side: Side, part: Part[SprungCorner], gear: End, wheel: Wheel, key: str, of: Sections
) -> CornerScene:
    def at() -> tuple[SprungCorner, CornerSweep]:
        corner = need(part)
        return corner, corner.swept

    def redrawn(body: str, points: Array) -> Array:
        drawn = at()[1].drawn
        return drawn.moved.at(points[:, None, None, :])[:, 0, 0] if body in ("carrier", "knuckle") else points

    def placed(thing: Thing, tag: str = "") -> Placed:
        corner, _ = at()
        words = f"{name} {side} {thing.name}"
        return Placed(key=f"{words}{tag}", name=words, thing=thing, corner=corner)

    def seat() -> dict[str, Numbers]:
        drawn = at()[1].drawn
        spacer = getattr(of.changes, name).hub_spacer
        out = -wheel.inset_mm() + (spacer.mm if spacer.given else 0.0)
        axis = drawn.spin_axis[:, 0, 0]
        return {"centre": drawn.hub_face[:, 0, 0] + out[:, None] * axis, "axis": axis}

    def one(make: Callable[[], Thing], tag: str = "") -> Part[Placed]:
        return attempt(lambda: placed(make(), tag))

    def points() -> Hardpoints:
        return at()[1].drawn.points

    def steering() -> tuple[Placed, ...]:
        corner, swept = at()
        if not corner.steered:  # nothing is asked for that is not there
            return ()
        found = [things.bell_crank(gear, swept.drawn.points, with_servo=side == "left")]
        if side == "left" and gear.steering.servo_axis.given:
            found.append(things.servo_arm(gear))
        return tuple(placed(thing) for thing in found)

    def links() -> tuple[Placed, ...]:
        corner = need(part)
        found = things.links(gear, corner.swept.drawn.points, redrawn, steered=corner.steered)
        return tuple(placed(thing) for thing in found)

    def bar() -> Placed | None:
        thing = things.anti_roll_bar(gear)
        return None if thing is None else placed(thing)

    def parts() -> tuple[Placed, ...]:
        found = [
            Placed(
                key=f"{label} {name} {side}", name=_named(name, side, label), corner=at()[0],
                thing=things.envelope(label, piece, key=f"envelopes.{label}", redrawn=redrawn),
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
        shaft=one(lambda: things.shaft(gear, points(), redrawn)),
        damper=one(lambda: things.damper(gear, points(), redrawn)),
        links=attempt(links),
        steering=attempt(steering),
        bar=attempt(bar),
        parts=attempt(parts),
    )


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
