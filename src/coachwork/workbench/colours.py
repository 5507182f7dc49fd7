"""What colours the drawing: the room that is left all over what stands still, the stress all over a made part.

Each is a list of surfaces, told as plain data, and fetched one by one: corners, triangles, and some numbers a corner.
The room is worked out when it is first looked at, from the same scene as the verdicts; the stress lies kept beside the
part's finite elements, which run nowhere near here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from coachwork.build import Build
from coachwork.confidence import Report
from coachwork.confidence.json_form import Json
from coachwork.elasticity.fittings import reach_mm
from coachwork.elasticity.surface import SurfaceStress, beside, load_surface
from coachwork.plan.made import made_parts
from coachwork.plan.strengths import place_of
from coachwork.studies.clearance.room import Room, RoomAt, room
from coachwork.studies.clearance.room_round import RingsAt
from coachwork.studies.clearance.search import FAR_MM, Placed
from coachwork.studies.structure.jobs import job_of
from coachwork.studies.structure.result import ShownLoad, StructureResult
from coachwork.studies.watch import Watch
from coachwork.studies.wording import called, first
from coachwork.workbench.plain import packed

MOST_TOLD = 40  # pairs in the list of the tightest
AROUND = 60  # facets of a tyre


@dataclass(frozen=True, eq=False, kw_only=True)
class Coloured:
    """A legend's worth: what is told of it, and its surfaces by name."""

    told: dict[str, Json]
    surfaces: dict[str, bytes]


def room_colours(report: Report, watch: Watch) -> Coloured | None:
    """The room left over all poses; None where clearance was not asked. Raises Unwanted."""
    answer = report.answers.get("clearance")
    if answer is None:
        return None
    found = room(answer.result.scene, watch)
    told: dict[str, Any] = {
        "kind": "room",
        "far": FAR_MM,
        "gap": first(answer.result.gap_mm),
        "moving": [{"name": one.name, "corner": _corner(one)} for one in found.moving],
        "standing": [{"name": one.name} for one in found.standing],
        "surfaces": [
            *({"id": at.key, "name": at.name, "rides": None} for at in found.at),
            *({"id": at.key, "name": at.name, "rides": at.rides} for at in found.round),
        ],
        "worst": sorted(_tightest(found), key=lambda one: one["value"])[:MOST_TOLD],
    }
    surfaces = {at.key: _room_packed(at) for at in found.at} | {at.key: _turned(at) for at in found.round}
    return Coloured(told=told, surfaces=surfaces)


def _corner(one: Placed) -> str:
    assert one.corner is not None
    return one.corner.name


def _tightest(found: Room) -> Iterator[dict[str, Any]]:
    """Of each pair, where it is tightest."""
    for at in found.at:
        for number in np.unique(at.moving[at.moving >= 0]):
            its = np.flatnonzero(at.moving == number)
            worst = int(its[np.argmin(at.room_mm[its])])
            yield {
                "surface": at.key, "corner": worst, "value": round(float(at.room_mm[worst]), 2),
                "words": f"{at.name}, to {found.moving[number].name}",
            }  # fmt: skip


def _room_packed(at: RoomAt) -> bytes:
    return packed(at.vertices, at.faces, [at.room_mm, at.moving, *at.share.T[:2]])


def _turned(at: RingsAt) -> bytes:
    """The rings as a surface round the axis y, as the page turns a tyre; those that nothing comes near are left out."""
    angle = 2 * np.pi * np.arange(AROUND) / AROUND
    radius, height = at.profile[:, :1], at.profile[:, 1:]
    corners = np.stack(
        [radius * np.cos(angle), np.broadcast_to(height, (len(radius), AROUND)), radius * np.sin(angle)], axis=-1
    )
    known = np.isfinite(at.room_mm)
    ring = np.flatnonzero(known[:-1] & known[1:])[:, None]
    one = np.arange(AROUND)
    other = (one + 1) % AROUND
    a, b = ring * AROUND + one, ring * AROUND + other
    faces = np.concatenate([np.stack([a, b, b + AROUND], axis=-1), np.stack([a, b + AROUND, a + AROUND], axis=-1)])
    rows = [np.repeat(row, AROUND) for row in (at.room_mm, at.standing, *at.share.T[:2])]
    return packed(corners.reshape(-1, 3), faces.reshape(-1, 3), rows)


def stress_told(report: Report) -> list[Json]:
    """The made parts whose surface can be coloured, and under which loads; fetched as `stress_surface`."""
    result: StructureResult | None = report.answers["structure"].result if "structure" in report.answers else None
    parts = {part.name: part for part in made_parts(report.build)}
    found: list[Json] = []
    for name in dict.fromkeys(load.part for load in (() if result is None else result.shown)):
        place = place_of(report.build, parts[name]) if name in parts else None
        if place is not None and beside(place).is_file():
            rows = list(job_of(parts[name]).watch)
            loads = [load for load in result.shown if load.part == name] if result is not None else []
            found.append({"part": name, "name": called(name), "stamp": place.stem[:16],
                          "loads": [_load_told(load, rows.index(load.watched)) for load in loads]})  # fmt: skip
    return found


def _load_told(load: ShownLoad, row: int) -> dict[str, Json]:
    return {"watched": load.watched, "row": row, "title": load.title, "words": load.words, "times": first(load.times),
            "bears": round(first(load.bears_mpa), 1)}  # fmt: skip


def stress_surface(build: Build, name: str) -> bytes | None:
    """A part's surface in its own frame, and its stress under each watched load as it was watched; None: not there.

    The last row tells corners under a screw's head or a lip by a 1: the stress there is that of the pressure assumed.
    """
    part = made_parts(build).parts.get(name)
    place = None if part is None else place_of(build, part)
    surface: SurfaceStress | None = None if place is None else load_surface(beside(place))
    if part is None or surface is None:
        return None
    under = np.zeros(len(surface.places_mm))
    for fitting in job_of(part).fittings:
        for patch in fitting.patches:
            under[np.linalg.norm(surface.places_mm - np.array(patch.at_mm), axis=1) <= reach_mm(patch)] = 1.0
    return packed(surface.places_mm, surface.triangles, [*surface.stress_mpa, under])
