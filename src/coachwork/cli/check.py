"""`coachwork check`: the build's questions answered on one page, or as JSON."""

from __future__ import annotations

import argparse
import difflib
import json
from collections.abc import Iterable

from coachwork.build import read
from coachwork.cli.progress import Progress
from coachwork.cli.report_page import show_report
from coachwork.cli.screen import Screen
from coachwork.confidence import examine
from coachwork.confidence.json_form import json_form
from coachwork.errors import CoachworkError
from coachwork.plan import Plan


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Print the answers. 1 when something fails, else 0."""
    plan = plan or Plan()
    only = None if options.question is None else studies_named(options.question, plan)
    build = read(options.place)
    with Progress() as progress:
        report = examine(build, plan=plan, only=only, progress=progress, tell=progress.tell)
    if options.json:
        screen.raw(json.dumps(json_form(report)))  # ASCII, the same bytes in every locale
    else:
        show_report(screen, report, everything=options.everything)
    return 1 if report.fails else 0


def studies_named(names: Iterable[str], plan: Plan) -> list[str]:
    """The names, each once. Raises CoachworkError for one that is no study, with the nearest that is."""
    known = [study.name for study in plan.studies]
    for name in names:
        if name not in known:
            near = difflib.get_close_matches(name.lower(), known, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(known)}"
            raise CoachworkError(f"{name}: there is no question of this name; {hint}")
    return list(dict.fromkeys(names))
