"""`coachwork papers`: what is printed and taken to the bench."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from coachwork.build import Build, read
from coachwork.build.sections.measuring import Measuring
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.confidence import examine
from coachwork.papers.told import Units
from coachwork.plan import Plan
from coachwork.studies.wording import count

if TYPE_CHECKING:
    from coachwork.papers.sheet import PaperSize


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the papers, or those asked for, into the build's own folder for them."""
    from coachwork.papers.binder import known_papers

    only = None if options.only is None else known_papers(options.only)
    print_papers(
        read(options.place), screen, plan, only=only, paper=options.paper, units=options.units, folder=options.to
    )
    return 0


def print_papers(
    build: Build, screen: Screen, plan: Plan | None, *, only: list[str] | None = None, paper: PaperSize = "a4",
    units: Literal["mm", "in"] | None = None, folder: Path | None = None,
) -> None:  # fmt: skip
    """Answer the build, write its papers and say where they are.

    only   : names of papers; None for all
    units  : None as the build likes them
    folder : None for `papers` beside the build file
    """
    from coachwork.papers.binder import papers_of
    from coachwork.papers.filing import write_papers

    with Progress() as progress:
        report = examine(build, plan=plan, progress=progress, tell=progress.tell)
        shown_in = Units(units or build[Measuring].shown_in)
        files = papers_of(report, only=only, paper=paper, units=shown_in, progress=progress)
    folder = build.path.parent / "papers" if folder is None else folder
    write_papers(files, folder, all_there_are=only is None)
    printed = [name for name in files if name.endswith(".pdf")]
    screen.say(f"{count(len(printed), 'paper')} in {folder}:")
    for name in printed:
        screen.say(name, indent=2)
    if further := len(files) - len(printed):
        screen.say(f"{count(further, 'drawing')} for cutters and printers beside them, as SVG and DXF.", indent=2)
    if any(name.startswith("templates") for name in files):
        screen.say("Print templates at 100 %, not fitted to the page, and measure both check rules first.")
