"""`coachwork make`: draws the parts, writes their files, measures them back, says whether they can be made, and prints
the papers that go to the bench with them.
"""

from __future__ import annotations

import argparse
import difflib
from collections.abc import Mapping
from pathlib import Path

from coachwork.build import Build, read
from coachwork.build.sections.making import Making
from coachwork.cli.papers import print_papers
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.confidence.words import listed
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.finding import Finding
from coachwork.studies.makeability.result import MakeabilityResult
from coachwork.studies.makeability.specs.every import Wanted
from coachwork.studies.parts import Blocked, Missing, is_missing
from coachwork.studies.solids import PartSolid

STUDY = "makeability"


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """0 when every part was made and nothing about it fails, else 1."""
    from coachwork.parts.making import make_all
    from coachwork.parts.publish import publish

    build, plan = read(options.place), plan or Plan()
    wanted = _asked(build, plan, options.part)
    folder: Path = options.to if options.to is not None else build.path.parent / "parts"
    with Progress(doing="making") as progress:
        outcome = make_all(build, wanted, tell=lambda part, doing: progress(f"{part}: {doing}", 0, 1))
        progress("drawings", 0, 1)
        publish(outcome.parts, folder, pictures=options.pictures)
        _print_drawings(build, outcome.parts, folder)
    screen.say(f"{build.name}: {len(outcome.parts)} parts in {folder}", tone="strong")
    result: MakeabilityResult = plan.run(build, only=[STUDY])[STUDY].result
    _tell_parts(screen, wanted, result, outcome.seconds)
    _tell_refused(screen, wanted, outcome.refused)
    findings = plan.run(build, only=[STUDY])[STUDY].findings
    status = _tell_findings(screen, findings, refused=len(outcome.parts) < len(wanted))
    if options.papers and not options.part:
        screen.gap()
        print_papers(build, screen, plan)
    return status


def _print_drawings(build: Build, parts: Mapping[str, PartSolid], folder: Path) -> None:
    """Of the parts asked for now, as one PDF file."""
    from coachwork.papers.part_drawings import NAME, part_drawings
    from coachwork.papers.press import pdf

    if parts:
        sheet = part_drawings(parts, build=build.name, revision=build[Making].revision)
        (folder / f"{NAME}.pdf").write_bytes(pdf(sheet, paper="a4", footer=f"{build.name} - {NAME}"))


def _asked(build: Build, plan: Plan, names: list[str] | None) -> list[Wanted]:
    result: MakeabilityResult = plan.run(build, only=[STUDY])[STUDY].result
    if not result.wanted:
        raise CoachworkError(
            f'{build.path}: no parts are asked for; write under [parts]: make = "chassis, battery-door"'
        )
    for name in names or ():
        if name not in result.wanted:
            near = difflib.get_close_matches(name, result.wanted, n=1, cutoff=0.4)
            raise CoachworkError(
                f"{name}: there is no part of this name; "
                + (f"did you mean {near[0]}?" if near else f"there are {listed(list(result.wanted), most=99)}")
            )
    return [each for name, each in result.wanted.items() if not names or name in names]


def _tell_parts(screen: Screen, wanted: list[Wanted], result: MakeabilityResult, seconds: dict[str, float]) -> None:
    for each in wanted:
        checked = result.checked.get(each.name)
        if checked is None:
            continue
        x, y, z = checked.solid.measured.size_mm if checked.solid.measured is not None else (0.0, 0.0, 0.0)
        price = "" if is_missing(checked.price) else f", {checked.price:.2f} at your rates"
        took = f", made in {seconds[each.name]:.1f} s" if each.name in seconds else ", as it was"
        size = f"{x:.1f} x {y:.1f} x {z:.1f} mm, {checked.mass_g:.1f} g"
        screen.say(f"{each.number}  {each.name}: {size}{price}{took}", indent=2, hang=8)


def _tell_refused(screen: Screen, wanted: list[Wanted], refused: dict[str, str]) -> None:
    for each in wanted:
        for part in (each.spec, each.settings):
            if isinstance(part, Missing):
                screen.say(f"{each.name}: not measured yet: {listed(list(part.keys))}", mark="NOT MADE", tone="bad",
                           indent=2)  # fmt: skip
                break
            if isinstance(part, Blocked):
                screen.say(f"{each.name}: {part.why}", mark="NOT MADE", tone="bad", indent=2)
                break
        if each.name in refused:
            screen.say(refused[each.name], mark="NOT MADE", tone="bad", indent=2)


def _tell_findings(screen: Screen, findings: tuple[Finding, ...], *, refused: bool) -> int:
    failing = [finding for finding in findings if finding.fails]
    screen.gap()
    for finding in failing:
        screen.say(finding.question, mark="FAILS", tone="bad", indent=2)
        screen.say(finding.why, mark="Why", indent=8, hang=4)
        if finding.do:
            screen.say(finding.do, mark="Do ", indent=8, hang=4)
    if not failing:
        screen.say("Nothing that was measured on them fails; coachwork check tells all.", indent=2)
    return 1 if failing or refused else 0
