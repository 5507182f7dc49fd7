"""The made parts with what finite elements have found of them, as the structure study asks for it."""

from __future__ import annotations

import json
from collections.abc import Hashable
from pathlib import Path

from coachwork.build import Build
from coachwork.build.sections.making import Making
from coachwork.elasticity.flexibility import Kept, load
from coachwork.elasticity.job import content_of, key_of
from coachwork.plan.asked import asked_parts
from coachwork.plan.asked import stamp as stamp_of_asked
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.arm_jobs import ARMS
from coachwork.studies.structure.jobs import CHASSIS, DOOR, job_of
from coachwork.studies.structure.strengths import FOLDER, Strengths
from coachwork.studies.structure.trials import Trial, trial_of

COMPUTED = (CHASSIS, DOOR, *ARMS)  # the parts whose finite elements are asked for


def strengths(build: Build) -> Strengths:
    """What stands made as the build asks now, and computed; nothing is computed here."""
    asked = asked_parts(build)
    parts = asked.made
    kept: dict[str, Kept] = {}
    for name in COMPUTED:
        place = place_of(build, parts[name]) if name in parts else None
        found = load(place) if place is not None else None
        if found is not None:
            kept[name] = found
    material = build[Making].material
    return Strengths(
        parts=parts, kept=kept, latched=tuple(asked.latched(material)), posted=asked.posted(material),
        trials=_trials(build, parts.get(CHASSIS)),
    )  # fmt: skip


def folder_of(build: Build) -> Path:
    """Where all that finite elements found is kept."""
    return build.path.parent / ".coachwork" / FOLDER


def trials_file(build: Build, chassis: PartSolid) -> Path:
    """Where the changes that were computed for this chassis stand, there or not."""
    return folder_of(build) / f"trials-{content_of(Path(chassis.step))[:20]}.json"


def _trials(build: Build, chassis: PartSolid | None) -> tuple[Trial, ...]:
    if chassis is None:
        return ()
    try:
        told = json.loads(trials_file(build, chassis).read_text("utf-8"))
        return tuple(trial_of(each) for each in told)
    except (OSError, ValueError, KeyError, TypeError):
        return ()


def place_of(build: Build, part: PartSolid) -> Path | None:
    """Where a part's result is kept, there or not: by solid, fittings and loads; None where it has no job."""
    try:
        job = job_of(part)
        return folder_of(build) / f"{key_of(job, content_of(Path(part.step)))}.npz"
    except (CannotBe, OSError):
        return None


def stamp(build: Build) -> Hashable:
    """Of the parts asked for, those made, and the kept results, surfaces and trials too."""
    folder = folder_of(build)
    files = tuple(sorted(file.name for file in folder.iterdir())) if folder.is_dir() else ()
    trials = tuple((name, (folder / name).stat().st_mtime_ns) for name in files if name.startswith("trials-"))
    return stamp_of_asked(build), build[Making].material, files, trials
