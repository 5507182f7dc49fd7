"""From the build's sections, the linkage's poses and the scan to the nearest of every pair."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from coachwork.build import NotMeasured
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.envelopes import Envelopes
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wheels import Wheels
from coachwork.geometry.vectors import Array
from coachwork.scans.seated import SeatedShell
from coachwork.studies.clearance.result import QUESTIONS, ClearanceResult, Closest, Contact, EndClearance
from coachwork.studies.clearance.scene import SIDES, CornerScene, EndScene, Scene, Sections, scene
from coachwork.studies.clearance.search import Found, Placed, Spot, Surroundings, again, pair
from coachwork.studies.linkage.result import LinkageResult
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing, need

AS_BAD_MM = 1.0  # what is less than this behind the worst may overtake it, the spreads being what they are


def clearance(
    shell: Shell,
    running_gear: RunningGear,
    wheels: Wheels,
    changes: Changes,
    envelopes: Envelopes,
    wanted: Wanted,
    linkage: LinkageResult,
    scan: Part[SeatedShell],
    plain: ClearanceResult | None,
) -> ClearanceResult:
    """Everything near everything; with samples, at the places that `plain`, its own answer to the plain numbers, found."""
    gap = wanted.gap.mm
    sections = Sections(
        shell=shell, gear=running_gear, wheels=wheels, changes=changes, envelopes=envelopes, samples=gap.size
    )
    built = scene(sections, linkage, scan)
    if gap.size > 1:
        if plain is None:
            raise ValueError("with samples, the answer to the plain numbers is needed: it holds the places to look at")
        return _sampled(plain, built, gap)
    return ClearanceResult(
        front=_end(built, built.ends["front"]), rear=_end(built, built.ends["rear"]),
        underside=None if not shell.mesh.strip() else attempt(_underside, built), gap_mm=gap, scene=built,
    )  # fmt: skip


def _end(built: Scene, end: EndScene) -> EndClearance:
    around = built.surroundings(end.name)
    tyres = _Once(lambda: _tyres(built, end, around))
    ask: dict[str, Callable[[], Closest]] = {
        "tyre-shell": lambda: _tyre_shell(built, end, tyres),
        "tyre-parts": lambda: _tyre_parts(built, end, tyres),
        "rim-inside": lambda: _rim_inside(end),
        "shaft": lambda: _against_still(built, around, _each(end, lambda c: (need(c.shaft),))),
        "damper": lambda: _against_still(built, around, _each(end, lambda c: (need(c.damper),))),
        "links": lambda: _against_still(built, around, _each(end, lambda c: need(c.links))),
        "steering": lambda: _against_still(built, around, _each(end, lambda c: need(c.steering))),
        "anti-roll-bar": lambda: _against_still(built, around, _each(end, _bar)),
        "parts": lambda: _against_still(built, around, _each(end, lambda c: need(c.parts))),
    }
    return EndClearance(name=end.name, closest={name: attempt(ask[name]) for name in QUESTIONS if _arises(name, end)})


def _arises(question: str, end: EndScene) -> bool:
    """By the build's settings and choices, never by a number."""
    left = end.sides["left"]
    if question == "steering":
        return end.steered or end.name == "front"
    if question == "anti-roll-bar":
        return is_missing(left.bar) or left.bar is not None
    if question == "parts":
        return is_missing(left.parts) or bool(left.parts)
    return True


def _bar(corner: CornerScene) -> tuple[Placed, ...]:
    bar = need(corner.bar)
    return () if bar is None else (bar,)


def _each(end: EndScene, of: Callable[[CornerScene], Iterable[Placed]]) -> list[Placed]:
    return [placed for side in SIDES for placed in of(end.sides[side])]


class _Once:
    """The tyres' search, made when the first of two questions asks for it."""

    def __init__(self, make: Callable[[], list[tuple[Placed, Placed, Found]]]) -> None:
        self._make = make
        self._made: list[tuple[Placed, Placed, Found]] | None = None

    def __call__(self) -> list[tuple[Placed, Placed, Found]]:
        if self._made is None:
            self._made = self._make()
        return self._made


def _tyres(built: Scene, end: EndScene, around: Surroundings) -> list[tuple[Placed, Placed, Found]]:
    """Every tyre of this end against all that stands still: one search each."""
    found = []
    for tyre in _each(end, lambda corner: (need(corner.tyre),)):
        if around.parts:
            found += [(tyre, other, one) for (other, _), one in zip(around.parts, around.around(tyre), strict=True)]
    return found


def _tyre_shell(built: Scene, end: EndScene, tyres: _Once) -> Closest:
    if is_missing(built.scan):
        _lacks([*(end.sides[side].tyre for side in SIDES), end.arches])
    return _closest((a, b, one) for a, b, one in tyres() if b.thing.kind == "shell")


def _tyre_parts(built: Scene, end: EndScene, tyres: _Once) -> Closest:
    lacking = [getattr(end.sides[side], name) for side in SIDES for name in ("tyre", "ring", "links", "damper")]
    _lacks([*lacking, built.standing, *(end.sides[side].parts for side in SIDES)])
    found = [(a, b, one) for a, b, one in tyres() if b.thing.kind != "shell" and "tyre" not in b.thing.may_touch]
    for side in SIDES[: 1 if end.alike else 2]:
        corner = end.sides[side]
        ring = need(corner.ring)
        near = [*need(corner.links), need(corner.damper), *need(corner.parts)]
        found += [(ring, one, least) for one in near if "tyre" not in one.thing.may_touch for least in pair(ring, one)]
    for side in SIDES:
        tyre = need(end.sides[side].tyre)
        rods = [one for one in need(built.standing) if "tyre" not in one.thing.may_touch and _is_rod(one)]
        found += [(tyre, one, least) for one in rods for least in pair(tyre, one)]
    return _closest(found)


def _is_rod(placed: Placed) -> bool:
    """Whether a standing thing is in no tree, for it has no triangles."""
    assert placed.still is not None
    return any(shape.pieces(placed.still)[0].shape[2] != 3 for shape in placed.thing.shapes)


def _rim_inside(end: EndScene) -> Closest:
    corners = [end.sides[side] for side in SIDES[: 1 if end.alike else 2]]
    _lacks([part for corner in corners for part in (corner.rim, corner.links, corner.parts)])
    found = []
    for corner in corners:
        rim = need(corner.rim)
        near = [*need(corner.links), *need(corner.parts)]
        found += [(rim, one, least) for one in near if "rim" not in one.thing.may_touch for least in pair(rim, one)]
    if not found:
        raise NotMeasured(["envelopes"])
    return _closest(found)


def _against_still(built: Scene, around: Surroundings, moving: list[Placed]) -> Closest:
    """Against what stands on the chassis, exactly, and against the scanned shell; a measured arch is out of reach."""
    standing = need(built.standing)
    scanned = not is_missing(built.scan)
    if not standing and not scanned:
        raise NotMeasured(["envelopes"])
    found: list[tuple[Placed, Placed, Found]] = []
    for one in moving:
        near = [other for other in standing if one.thing.kind not in other.thing.may_touch]
        near = [other for other in near if other.thing.name not in one.thing.may_touch]
        found += [(one, other, least) for other in near for least in pair(one, other, swap=True)]
        if scanned and "shell" not in one.thing.may_touch:
            shell = around.only([0])
            found += [(one, shell.parts[0][0], least) for least in shell.around(one)]
    if not found:
        raise CannotBe("everything that could be touched is said to be touched by design")
    return _closest(found)


def _underside(built: Scene) -> Closest:
    """The scanned shell over what stands on the chassis; nothing moves."""
    scan, standing = need(built.scan), need(built.standing)
    near = [one for one in standing if "shell" not in one.thing.may_touch]
    if not near:
        raise NotMeasured(["envelopes"])
    shell = Surroundings.of((scan,))
    return _closest((one, scan, least) for one in near for least in shell.over(one))


def _lacks(parts: Iterable[Part[object]]) -> None:
    """Raise for all that is missing at once, so that every key is named."""
    keys = [key for part in parts if is_missing(part) for key in getattr(part, "keys", ())]
    if keys:
        raise NotMeasured(keys)
    for part in parts:
        need(part)


def _closest(found: Iterable[tuple[Placed, Placed, Found]]) -> Closest:
    contacts = [_contact(moving, other, one) for moving, other, one in found]
    if not contacts:
        raise NotMeasured(["envelopes"])
    nearest: dict[tuple[str, str], Contact] = {}
    for contact in sorted(contacts, key=lambda one: float(one.distance_mm[0])):
        nearest.setdefault((contact.moving, contact.other), contact)
    return Closest(contacts=tuple(nearest.values()))


def _contact(moving: Placed, other: Placed, found: Found) -> Contact:
    from_moving = found.spot.solid == moving.key
    at, other_at = (found.on_solid, found.on_surface) if from_moving else (found.on_surface, found.on_solid)
    corner = moving.corner
    return Contact(
        moving=moving.name, other=other.name, distance_mm=np.array([found.distance]),
        depth_of=(other if from_moving else moving).name, moving_at_mm=at, other_at_mm=other_at,
        pose=None if corner is None else corner.pose(np.array(found.spot.share)), spot=found.spot,
    )  # fmt: skip


def _sampled(plain: ClearanceResult, built: Scene, gap: Array) -> ClearanceResult:
    """The plain answer's nearest pairs looked at again with these numbers."""

    def looked(closest: Closest) -> Closest:
        least = float(closest.distance_mm[0])
        near = [one for one in closest.contacts if float(one.distance_mm[0]) < least + AS_BAD_MM]
        return Closest(contacts=tuple(_moved(one, _again(one.spot, built, gap.size)) for one in near))

    def end(one: EndClearance) -> EndClearance:
        closest = {name: attempt(lambda part=part: looked(need(part))) for name, part in one.closest.items()}
        return EndClearance(name=one.name, closest=closest)

    underside = plain.underside
    return ClearanceResult(
        front=end(plain.front), rear=end(plain.rear),
        underside=underside if underside is None else attempt(lambda: looked(need(underside))),
        gap_mm=gap, scene=built,
    )  # fmt: skip


def _again(spot: Spot, built: Scene, samples: int) -> Array:
    return np.broadcast_to(again(spot, built.placed), (samples,))


def _moved(contact: Contact, distance: Array) -> Contact:
    return Contact(
        moving=contact.moving, other=contact.other, distance_mm=distance, depth_of=contact.depth_of,
        moving_at_mm=contact.moving_at_mm, other_at_mm=contact.other_at_mm, pose=contact.pose, spot=contact.spot,
    )  # fmt: skip
