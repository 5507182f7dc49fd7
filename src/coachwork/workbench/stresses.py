"""The stress that colours a made part, as plain data and surfaces, from what lies kept beside its finite elements.

Under the loads that were watched it is known all over the part. What a drop does is worked out from unit loads, at the
places that are most stressed under those: there it is told by a bead each, and nowhere else.
"""

from __future__ import annotations

import numpy as np

from coachwork.build import Build
from coachwork.confidence import Report
from coachwork.confidence.json_form import Json
from coachwork.elasticity.fittings import reach_mm
from coachwork.elasticity.surface import SurfaceStress, beside, load_surface
from coachwork.plan.made import made_parts
from coachwork.plan.strengths import place_of
from coachwork.studies.parts import is_missing
from coachwork.studies.structure.jobs import CHASSIS, job_of
from coachwork.studies.structure.result import Drop, ShownLoad, StructureResult
from coachwork.studies.wording import called, first
from coachwork.workbench.plain import packed

BEADS = ".drop"  # behind a part's name: its beads
BEAD_MM = 2.4  # radius


def stress_told(report: Report) -> list[Json]:
    """The made parts whose surface can be coloured, and under which loads; fetched as `stress_surface`."""
    result = _structure(report)
    parts = {part.name: part for part in made_parts(report.build)}
    found: list[Json] = []
    for name in dict.fromkeys(load.part for load in (() if result is None else result.shown)):
        place = place_of(report.build, parts[name]) if name in parts else None
        if result is None or place is None or not beside(place).is_file():
            continue
        rows = list(job_of(parts[name]).watch)
        loads = [_load_told(load, rows.index(load.watched)) for load in result.shown if load.part == name]
        if name == CHASSIS and not is_missing(result.drop):
            loads.append(_drop_told(result.drop))
        found.append({"part": name, "name": called(name), "stamp": place.stem[:16], "loads": list(loads)})
    return found


def _load_told(load: ShownLoad, row: int) -> dict[str, Json]:
    return {"watched": load.watched, "row": row, "title": load.title, "words": load.words, "times": first(load.times),
            "bears": round(first(load.bears_mpa), 1), "of": load.part, "note": load.note}  # fmt: skip


def _drop_told(drop: Drop) -> dict[str, Json]:
    words = (
        f"Off a kerb, front axle first, which lands with {first(drop.landing.peak_n):.0f} N, "
        f"{first(drop.landing.factor):.1f} times what it carries. Beads stand at the {len(drop.places_mm)} places that "
        "are most stressed when it is twisted and bent; elsewhere it is not worked out."
    )
    return {"watched": "drop", "row": 0, "title": "Dropped", "words": words, "times": 1.0,
            "bears": round(first(drop.bears_mpa), 1), "of": CHASSIS + BEADS, "note": ""}  # fmt: skip


def stress_surface(report: Report, name: str) -> bytes | None:
    """A part's surface in its own frame with its stress, or the beads of a drop; None for what there is not."""
    if name != CHASSIS + BEADS:
        return _watched(report.build, name)
    result = _structure(report)
    return None if result is None or is_missing(result.drop) else _beads(result.drop)


def _structure(report: Report) -> StructureResult | None:
    answer = report.answers.get("structure")
    return None if answer is None else answer.result


def _watched(build: Build, name: str) -> bytes | None:
    """Its stress under each watched load as it was watched.

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


def _beads(drop: Drop) -> bytes:
    """An octahedron at each place; the last row as above, of noughts."""
    corners = BEAD_MM * np.vstack([np.eye(3), -np.eye(3)])
    faces = np.array([[0, 1, 2], [1, 3, 2], [3, 4, 2], [4, 0, 2], [1, 0, 5], [3, 1, 5], [4, 3, 5], [0, 4, 5]])
    places = (drop.places_mm[:, None] + corners).reshape(-1, 3)
    triangles = (faces + 6 * np.arange(len(drop.places_mm))[:, None, None]).reshape(-1, 3)
    stress = np.repeat(drop.places_mpa, len(corners))
    return packed(places, triangles, [stress, np.zeros_like(stress)])
