"""`coachwork strength --what-if`: changed chassis drawn and computed, so that a cure is told with its effect."""

from __future__ import annotations

import json
from dataclasses import replace
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
from coachwork.studies.makeability.specs.every import every_part
from coachwork.studies.makeability.specs.plain import by_plain_numbers
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Blocked, CannotBe
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.assembly import Frame
from coachwork.studies.structure.jobs import CHASSIS, coarse_job_of
from coachwork.studies.structure.strengths import Strengths
from coachwork.studies.structure.trials import Change, Trial, candidates, trial_json


def try_changes(build: Build, chassis: PartSolid, screen: Screen) -> list[Trial]:
    """Those that can be drawn, told as they come and kept for the study."""
    if chassis.own:
        raise CoachworkError("the chassis is drawn by you; what-if changes are for one that coachwork make draws")
    trials = []
    with Progress(doing="computing") as progress:
        base = _stiffness(build, chassis, progress, "as it is")
        for change in candidates(by_plain_numbers(build[Parts]).chassis, by_plain_numbers(build[Decks])):
            try:
                drawn = _drawn(build, change, progress)
                twist, bending = _stiffness(build, drawn, progress, change.words)
            except CoachworkError as no:
                screen.say(f"{change.words}: {no}", mark="NOT COMPUTED", tone="bad")
                continue
            trial = Trial(change=change, twist_times=twist / base[0], bending_times=bending / base[1])
            trials.append(trial)
            screen.say(f"{change.words}: {_more(trial.twist_times)} in twist, {_more(trial.bending_times)} in bending",
                       indent=2)  # fmt: skip
    file = trials_file(build, chassis)
    file.write_text(json.dumps([trial_json(trial) for trial in trials], indent=1), "utf-8")
    return trials


def _more(times: float) -> str:
    return f"{100 * (times - 1):+.0f} %"


def _drawn(build: Build, change: Change, progress: Progress) -> PartSolid:
    """The changed chassis; the studies still see the one that was made. Raises CoachworkError."""
    from coachwork.parts.making import made_now

    text = build.text
    for key, value in change.entries.items():
        text = with_entry(text, key, value)
    changed = read_text(text, build.path)
    wanted = [each for each in every_part(PartTables.of(changed)) if each.name == CHASSIS]
    if not wanted:
        raise CoachworkError("the build asks for no chassis")
    if isinstance(spec := wanted[0].spec, Blocked):
        raise CoachworkError(spec.why)
    outcome = made_now(changed, wanted, tell=lambda _, doing: progress(f"{change.words}: {doing}", 0, 1))
    if CHASSIS not in outcome.parts:
        raise CoachworkError(outcome.refused.get(CHASSIS, "it was not drawn"))
    return outcome.parts[CHASSIS]


def _stiffness(build: Build, part: PartSolid, progress: Progress, words: str) -> tuple[float, float]:
    """In twist and in bending, without a door, for 1 MPa. Raises CoachworkError."""
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


def _both(alone: PartSolid, kept: Kept) -> tuple[float, float]:
    frame = Frame(strengths=Strengths(parts={CHASSIS: alone}, kept={CHASSIS: kept}), modulus_mpa={CHASSIS: 1.0})
    return frame.twist_nmm_per_deg("open"), 1 / frame.sag_mm_per_n("open")
