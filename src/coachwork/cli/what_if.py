"""`coachwork strength --what-if`: changed chassis drawn and computed, so that a cure is told with its effect."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path

from coachwork.build import Build, read_text, with_entry
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.parts import Parts
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.elasticity.flexibility import Kept, load
from coachwork.elasticity.job import content_of, key_of
from coachwork.errors import CoachworkError
from coachwork.plan.strengths import folder_of, trials_file
from coachwork.studies.makeability.specs.chassis import ChassisSpec
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.plain import by_plain_numbers
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Blocked, CannotBe
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.assembly import Frame
from coachwork.studies.structure.jobs import CHASSIS, coarse_job_of
from coachwork.studies.structure.strengths import Strengths
from coachwork.studies.structure.trials import Change, Trial, candidates, effect, effect_words, trial_json


def try_changes(build: Build, chassis: PartSolid, screen: Screen) -> list[Trial]:
    """Those that can be drawn, told as they come and kept for the study."""
    if chassis.own:
        raise CoachworkError("the chassis is drawn by you; what-if changes are for one that coachwork make draws")
    now = _spec(build)
    trials = []
    with Progress(doing="computing") as progress:
        base = _stiffness(build, chassis, progress, "as it is")
        for change in candidates(by_plain_numbers(build[Parts]).chassis, by_plain_numbers(build[Decks])):
            try:
                drawn, spec = _drawn(build, change, progress)
                stiff = _stiffness(build, drawn, progress, change.words)
            except CoachworkError as no:
                screen.say(f"{change.words}: {no}", mark="NOT COMPUTED", tone="bad")
                continue
            trial = Trial(change=change, twist=effect(base.twist, stiff.twist),
                          bending=effect(base.bending, stiff.bending),
                          gone=max(0, len(now.stiffeners) - len(spec.stiffeners)))  # fmt: skip
            trials.append(trial)
            screen.say(f"{change.words}: {effect_words(trial)}", indent=2)
    file = trials_file(build, chassis)
    file.write_text(json.dumps([trial_json(trial) for trial in trials], indent=1), "utf-8")
    return trials


def _spec(build: Build) -> ChassisSpec:
    """What the build's chassis is drawn from. Raises CoachworkError."""
    spec = _wanted(build).spec
    if isinstance(spec, Blocked):
        raise CoachworkError(spec.why)
    if not isinstance(spec, ChassisSpec):
        raise CoachworkError("the chassis lacks measurements")
    return spec


def _wanted(build: Build) -> Wanted:
    wanted = [each for each in every_part(PartTables.of(build)) if each.name == CHASSIS]
    if not wanted:
        raise CoachworkError("the build asks for no chassis")
    return wanted[0]


def _drawn(build: Build, change: Change, progress: Progress) -> tuple[PartSolid, ChassisSpec]:
    """The changed chassis; the studies still see the one that was made. Raises CoachworkError."""
    from coachwork.parts.making import made_now

    text = build.text
    for key, value in change.entries.items():
        text = with_entry(text, key, value)
    changed = read_text(text, build.path)
    spec = _spec(changed)
    outcome = made_now(changed, [_wanted(changed)], tell=lambda _, doing: progress(f"{change.words}: {doing}", 0, 1))
    if CHASSIS not in outcome.parts:
        raise CoachworkError(outcome.refused.get(CHASSIS, "it was not drawn"))
    return outcome.parts[CHASSIS], spec


@dataclass(frozen=True, kw_only=True)
class _Stiff:
    """In twist and in bending, for 1 MPa: the stiffness, and the error that its mesh showed."""

    twist: tuple[float, float]
    bending: tuple[float, float]


def _stiffness(build: Build, part: PartSolid, progress: Progress, words: str) -> _Stiff:
    """Without a door. Raises CoachworkError."""
    from coachwork.elasticity.process import flexibility_of

    try:
        job = coarse_job_of(part)
    except CannotBe as no:
        raise CoachworkError(no.why) from None
    place = folder_of(build) / f"{key_of(job, content_of(Path(part.step)))}.npz"
    kept: Kept | None = load(place)
    if kept is None:
        kept = flexibility_of(job, place, lambda doing: progress(f"{words}: {doing}", 0, 1) if doing else None)
    alone = replace(part, pads=())
    try:
        return _both(alone, kept)
    except CannotBe as no:
        raise CoachworkError(no.why) from None


def _both(alone: PartSolid, kept: Kept) -> _Stiff:
    frame = Frame(strengths=Strengths(parts={CHASSIS: alone}, kept={CHASSIS: kept}), modulus_mpa={CHASSIS: 1.0})
    return _Stiff(twist=(frame.twist_nmm_per_deg("open"), kept.error("twist")),
                  bending=(1 / frame.sag_mm_per_n("open"), kept.error("bending")))  # fmt: skip
