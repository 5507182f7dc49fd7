"""`coachwork strength`: runs the finite elements of the made parts, keeps what they find, and says how stiff it is."""

from __future__ import annotations

import argparse

from coachwork.build import Build, read
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.cli.what_if import try_changes
from coachwork.elasticity.flexibility import Kept, load
from coachwork.elasticity.surface import beside
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.plan.asked import asked_parts
from coachwork.plan.strengths import COMPUTED, place_of
from coachwork.studies.parts import CannotBe, is_missing
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.jobs import CHASSIS, job_of
from coachwork.studies.structure.result import StructureResult
from coachwork.studies.structure.verdicts import stiffness_words

STUDY = "structure"


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """0 when all was computed and nothing of it fails, else 1."""
    build = read(options.place)
    made = [part for name, part in asked_parts(build).made.items() if name in COMPUTED]
    if not made:
        raise CoachworkError(
            f"{build.path.parent}: no chassis, battery door or arm stands made as the build asks now; run "
            "coachwork make first"
        )
    refused = [part.name for part in made if not _computed(build, part, screen)]
    chassis = next((part for part in made if part.name == CHASSIS), None)
    if options.what_if and chassis is not None:
        try_changes(build, chassis, screen)
    answer = (plan or Plan()).run(build, only=[STUDY])[STUDY]
    result: StructureResult = answer.result
    if not is_missing(result.twist):
        screen.say(f"It gives {stiffness_words(result.twist)}.", tone="strong")
    failing = [finding for finding in answer.findings if finding.fails]
    for finding in failing:
        screen.say(f"{finding.question} {finding.why}", mark="FAILS", tone="bad")
        if finding.do:
            screen.say(finding.do, mark="Do", indent=2)
    screen.say(f"All of it: coachwork check {options.place} --question {STUDY}")
    return 1 if failing or refused else 0


def _computed(build: Build, part: PartSolid, screen: Screen) -> bool:
    """Whether a part's result is there now; where it cannot be, why is told."""
    from coachwork.elasticity.process import NotComputed, SolverFailed, flexibility_of

    try:
        job = job_of(part)
    except CannotBe as no:
        screen.say(no.why, mark="NOT COMPUTED", tone="bad")
        return False
    place = place_of(build, part)
    assert place is not None
    kept = load(place)
    if kept is not None and beside(place).exists():
        screen.say(f"{part.name}: as it was; {_words(kept)}", indent=2)
        return True
    try:
        with Progress(doing="computing") as progress:
            progress(part.name, 0, 1)
            kept = flexibility_of(job, place, lambda words: progress(f"{part.name}: {words}", 0, 1) if words else None)
    except NotComputed as no:
        screen.say(f"{part.name}: {no}", mark="NOT COMPUTED", tone="bad")
        return False
    except SolverFailed as fault:
        raise CoachworkError(f"{part.name}: {fault}") from None
    screen.say(f"{part.name}: {_words(kept)}, in {kept.seconds:.0f} s", indent=2)
    return True


def _words(kept: Kept) -> str:
    return f"{kept.elements:,} elements, to {100 * kept.left:.1f} %"
