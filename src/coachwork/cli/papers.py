"""`coachwork papers`: what is printed and taken to the bench."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from coachwork.build import find, read
from coachwork.build.sections.measuring import Measuring
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.confidence import examine
from coachwork.plan import Plan
from coachwork.studies.wording import count


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the papers, or those asked for, into the build's own folder for them."""
    from coachwork.papers.binder import known_papers, papers_of
    from coachwork.papers.filing import write_papers
    from coachwork.papers.told import Units

    only = None if options.only is None else known_papers(options.only)
    build = read(options.place)
    units: Any = options.units or build[Measuring].shown_in
    with Progress() as progress:
        report = examine(build, plan=plan, progress=progress, tell=progress.tell)
        files = papers_of(report, only=only, paper=options.paper, units=Units(units), progress=progress)
    folder: Path = options.to if options.to is not None else find(options.place).parent / "papers"
    write_papers(files, folder, all_there_are=only is None)
    printed = [name for name in files if name.endswith(".pdf")]
    screen.say(f"{count(len(printed), 'paper')} in {folder}:")
    for name in printed:
        screen.say(name, indent=2)
    if further := len(files) - len(printed):
        screen.say(f"{count(further, 'drawing')} for cutters and printers beside them, as SVG and DXF.", indent=2)
    if any(name.startswith("templates") for name in files):
        screen.say("Print templates at 100 %, not fitted to the page, and measure both check rules first.")
    return 0
