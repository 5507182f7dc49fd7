"""From the build's sections, the linkage's poses and the scan to the nearest of every pair."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial

import numpy as np

from coachwork.build import NotMeasured
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.envelopes import Envelopes
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wheels import Wheels
from coachwork.geometry.vectors import Array
from coachwork.scans.seated import SeatedShell
from coachwork.studies.clearance.corner_scene import SIDES, CornerScene, EndScene
from coachwork.studies.clearance.corners import LOCK, TRAVEL
from coachwork.studies.clearance.inputs import Sections
from coachwork.studies.clearance.made import near_shell
from coachwork.studies.clearance.result import QUESTIONS, ClearanceResult, Closest, Contact, EndClearance
from coachwork.studies.clearance.scene import NOTHING, Scene, scene
from coachwork.studies.clearance.search import (
    FAR_MM,
    NEAR_MM,
    Candidate,
    Pair,
    Placed,
    Spot,
    Surroundings,
    again,
    near_or_nearest,
    nearest_alone,
    pair,
)
from coachwork.studies.linkage.result import LinkageResult
from coachwork.studies.memory import Memory
from coachwork.studies.parts import Blocked, CannotBe, Part, attempt, is_missing, need
from coachwork.studies.solids import StandingParts
from coachwork.studies.watch import UNWATCHED, Watch

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
    memory: Memory,
    made: StandingParts = NOTHING,
    watch: Watch = UNWATCHED,
) -> ClearanceResult:
    """Everything near everything; with samples, at the places that `plain`, its answer to the plain numbers, found."""
    gap = wanted.gap.mm
    sections = Sections(
        shell=shell, gear=running_gear, wheels=wheels, changes=changes, envelopes=envelopes, samples=gap.size
    )
    built = scene(sections, linkage, scan, made, watch, memory)
    if gap.size > 1:
        if plain is None:
            raise ValueError("with samples, the answer to the plain numbers is needed: it holds the places to look at")
        return _sampled(plain, built, gap)

    def end(name: EndName) -> EndClearance:
        one = built.ends[name]
        return memory.once_reading(f"{name} end", (one, *built.still), lambda: _end(built, one))

    def underside() -> Part[Closest]:
        return memory.once_reading("underside", built.still, lambda: attempt(_underside, built))

    return ClearanceResult(
        front=end("front"), rear=end("rear"), underside=None if is_missing(scan) else underside(),
        gap_mm=gap, scene=built,
        no_scan=scan.why if isinstance(scan, Blocked) else "",
        made_near=None if is_missing(scan) or not made.triangles else attempt(near_shell, made, scan.content),
    )  # fmt: skip


def _end(built: Scene, end: EndScene) -> EndClearance:
    tyres = _Once(lambda: _tyres(built, end))
    ask: dict[str, Callable[[], Closest]] = {
        "tyre-shell": lambda: _tyre_shell(built, end, tyres),
        "tyre-parts": lambda: _tyre_parts(built, end, tyres),
        "rim-inside": lambda: _rim_inside(built, end),
        "shaft": lambda: _against_still(built, _each(end, lambda c: (need(c.shaft),))),
        "damper": lambda: _against_still(built, _each(end, lambda c: (need(c.damper),))),
        "links": lambda: _against_still(built, _each(end, lambda c: need(c.links))),
        "steering": lambda: _against_still(built, _each(end, lambda c: need(c.steering))),
        "anti-roll-bar": lambda: _against_still(built, _each(end, _bar)),
        "parts": lambda: _against_still(built, _each(end, lambda c: need(c.parts))),
    }

    def asked(question: str) -> Closest:
        built.watch.look(f"{end.name} {question}")
        return ask[question]()

    return EndClearance(name=end.name, closest={one: attempt(asked, one) for one in QUESTIONS if _arises(one, end)})


def _arises(question: str, end: EndScene) -> bool:
    """By the build's settings and choices, never by a number."""
    left = end.sides["left"]
    if question == "steering":
        return end.steered or end.name == "front"
    if question == "shaft":
        return not end.live
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

    def __init__(self, make: Callable[[], list[Pair]]) -> None:
        self._make = make
        self._made: list[Pair] | None = None

    def __call__(self) -> list[Pair]:
        if self._made is None:
            self._made = self._make()
        return self._made


def _tyres(built: Scene, end: EndScene) -> list[Pair]:
    """Every tyre of this end against all that stands still: one search each."""
    return [found for look in _tyre_looks(built, end, shell=None) for found in look(FAR_MM)]


def _tyre_looks(built: Scene, end: EndScene, *, shell: bool | None) -> list[Candidate]:
    """Each tyre against the shell alone, or all else alone, or both."""
    looks: list[Candidate] = []
    for side in SIDES:
        around = built.surroundings(end.name, side)
        kinds = [part.thing.kind == "shell" for part, _ in around.parts]
        chosen = around if shell is None else around.only([i for i, kind in enumerate(kinds) if kind is shell])
        looks.append(partial(_around, chosen, need(end.sides[side].tyre)))
    return looks


def _tyre_shell(built: Scene, end: EndScene, tyres: _Once) -> Closest:
    if is_missing(built.scan):
        _lacks([*(end.sides[side].tyre for side in SIDES), end.arches])
    near = [one for one in tyres() if one.other.thing.kind == "shell"]
    return _closest(near or near_or_nearest(_tyre_looks(built, end, shell=True)))


def _tyre_parts(built: Scene, end: EndScene, tyres: _Once) -> Closest:
    lacking = [getattr(end.sides[side], name) for side in SIDES for name in ("tyre", "ring", "links", "damper")]
    _lacks([*lacking, built.standing, *(end.sides[side].parts for side in SIDES)])
    ask: list[Candidate] = []
    for side in SIDES[: 1 if end.alike else 2]:
        ring, corner = need(end.sides[side].ring), end.sides[side]
        near = [*need(corner.links), need(corner.damper), *need(corner.parts)]
        ask += [partial(_pair, built, ring, other) for other in near if "tyre" not in other.thing.may_touch]
    rods = [one for one in need(built.standing) if _is_rod(one) and "tyre" not in one.thing.may_touch]
    ask += [partial(_pair, built, need(end.sides[side].tyre), rod) for side in SIDES for rod in rods]
    still = [one for one in tyres() if one.other.thing.kind != "shell"]
    pairs = still + [one for look in ask for one in look(FAR_MM)]
    pairs = pairs or near_or_nearest([*ask, *_tyre_looks(built, end, shell=False)])
    return _closest(one for one in pairs if "tyre" not in one.other.thing.may_touch)


def _pair(built: Scene, moving: Placed, other: Placed, within: float) -> list[Pair]:
    return pair(moving, other, built.memory, within=within, compiled=built.compiled)


def _is_rod(placed: Placed) -> bool:
    """Whether a standing thing is in no tree, for it has no triangles."""
    assert placed.still is not None
    return any(shape.pieces(placed.still)[0].shape[2] != 3 for shape in placed.thing.shapes)


def _rim_inside(built: Scene, end: EndScene) -> Closest:
    corners = [end.sides[side] for side in SIDES[: 1 if end.alike else 2]]
    _lacks([part for corner in corners for part in (corner.rim, corner.links, corner.parts)])

    ask = [
        partial(_pair, built, need(corner.rim), other)
        for corner in corners
        for other in (*need(corner.links), *need(corner.parts))
        if "rim" not in other.thing.may_touch
    ]
    return _closest(near_or_nearest(ask))


def _against_still(built: Scene, moving: list[Placed]) -> Closest:
    """Against what stands on the chassis, exactly, the made parts and the scanned shell; an arch is out of reach."""
    standing = need(built.standing)
    if not standing and not built.made and is_missing(built.scan):
        raise NotMeasured(["envelopes"])

    ask: list[Candidate] = []
    meshes: list[Candidate] = []
    for one in moving:
        near = [other for other in standing if one.thing.kind not in other.thing.may_touch]
        ask += [partial(_pair, built, one, other) for other in near]
        if (around := built.meshes_for(one.thing.kind)) is not None:
            meshes.append(partial(_around, around, one))
    if not ask and not meshes:
        raise CannotBe("everything that could be touched is said to be touched by design")
    pairs = [pair for look in ask for pair in look(FAR_MM)]
    # Of the meshes, only what may be the worst or touches is told apart: looking at them is what takes the time.
    for look in meshes:
        least = min((pair.found.distance for pair in pairs), default=FAR_MM)
        # To whole millimetres up, so that a search is not another one for a hair's breadth of another pair.
        within = min(FAR_MM, max(least, 0.0) + AS_BAD_MM)
        pairs += [one for one in look(float(np.ceil(within))) if one.found.distance < within]
    return _closest(pairs or nearest_alone([*ask, *meshes]))


def _around(shell: Surroundings, moving: Placed, within: float) -> list[Pair]:
    return shell.around(moving, within=within)


def _underside(built: Scene) -> Closest:
    """The scanned shell over what stands on the chassis; nothing moves."""
    scan, standing = need(built.scan), need(built.standing)
    near = [one for one in standing if "shell" not in one.thing.may_touch]
    if not near:
        raise NotMeasured(["envelopes"])
    shell = Surroundings.of((scan,), built.memory, name="the shell alone")
    return _closest(found for one in near for found in shell.around(one))


def _lacks(parts: Iterable[Part[object]]) -> None:
    """Raise for all that is missing at once, so that every key is named."""
    keys = [key for part in parts if is_missing(part) for key in getattr(part, "keys", ())]
    if keys:
        raise NotMeasured(keys)
    for part in parts:
        need(part)


def _closest(pairs: Iterable[Pair]) -> Closest:
    """The pairs, the nearest first; those that may be the worst looked at more finely."""
    ordered = sorted(pairs, key=lambda one: one.found.distance)
    if not ordered:
        raise NotMeasured(["envelopes"])
    limit = min(NEAR_MM, ordered[0].found.distance + AS_BAD_MM)
    finer = [one.finer() if one.found.distance < limit else one for one in ordered]
    nearest: dict[tuple[str, str], Contact] = {}
    for one in sorted(finer, key=lambda one: one.found.distance):
        if (one.moving.name, one.other.name) not in nearest:
            nearest[one.moving.name, one.other.name] = _contact(one)
    return Closest(contacts=tuple(nearest.values()))


def _contact(pair: Pair) -> Contact:
    moving, other, found = pair.moving, pair.other, pair.found
    from_moving = found.spot.solid == moving.key
    at, other_at = (found.on_solid, found.on_surface) if from_moving else (found.on_surface, found.on_solid)
    pose = None if moving.corner is None else moving.corner.pose(np.array(found.spot.share))
    if pose is not None:  # what the two do not know of is not told
        travels, steers = (bool(np.ptp(pair.shares[:, axis]) > 0) for axis in (TRAVEL, LOCK))
        pose = replace(pose, travels=travels, steered=pose.steered and steers)
    return Contact(
        moving=moving.name, other=other.name, distance_mm=np.array([found.distance]),
        depth_of=(other if from_moving else moving).name, moving_at_mm=at, other_at_mm=other_at, pose=pose,
        spot=found.spot,
    )  # fmt: skip


def _sampled(plain: ClearanceResult, built: Scene, gap: Array) -> ClearanceResult:
    """The plain answer's nearest pairs looked at again with these numbers."""

    def looked(part: Part[Closest]) -> Closest:
        closest = need(part)
        least = float(closest.distance_mm[0])
        near = [one for one in closest.contacts if float(one.distance_mm[0]) < least + AS_BAD_MM]
        return Closest(contacts=tuple(_moved(one, _again(one.spot, built, gap.size)) for one in near))

    def end(name: EndName) -> EndClearance:
        found: EndClearance = getattr(plain, name)

        def made() -> EndClearance:
            return EndClearance(name=name, closest={one: attempt(looked, part) for one, part in found.closest.items()})

        return built.memory.once(f"{name} end", (found, built.ends[name], *built.still), made)

    def under(found: Part[Closest]) -> Part[Closest]:
        return built.memory.once("underside", (found, *built.still), lambda: attempt(looked, found))

    return ClearanceResult(
        front=end("front"), rear=end("rear"), underside=None if plain.underside is None else under(plain.underside),
        gap_mm=gap, no_scan=plain.no_scan, made_near=plain.made_near, scene=built,
    )  # fmt: skip


def _again(spot: Spot, built: Scene, samples: int) -> Array:
    return np.broadcast_to(again(spot, built.placed), (samples,))


def _moved(contact: Contact, distance: Array) -> Contact:
    return Contact(
        moving=contact.moving, other=contact.other, distance_mm=distance, depth_of=contact.depth_of,
        moving_at_mm=contact.moving_at_mm, other_at_mm=contact.other_at_mm, pose=contact.pose, spot=contact.spot,
    )  # fmt: skip
