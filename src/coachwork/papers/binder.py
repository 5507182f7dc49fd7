"""All papers of a build: which there are, how they become files, and how those get into the folder.

    files = papers_of(examine(build))          {"report.pdf": b"%PDF...", ...}
    write_papers(files, folder)                in filing.py

Whoever makes parts adds sheets of their own by `more` and drawings at 1:1 by `drawings`.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace

from coachwork.confidence import Report
from coachwork.errors import CoachworkError
from coachwork.papers.assumptions import assumptions
from coachwork.papers.build_order import build_order
from coachwork.papers.channel_card_sheet import channel_card_sheet
from coachwork.papers.cut_list import cut_list
from coachwork.papers.measuring_sheet import measuring_sheet
from coachwork.papers.report_paper import report_paper
from coachwork.papers.run_log_sheet import run_log_sheet
from coachwork.papers.set_up_sheet import set_up_sheet
from coachwork.papers.sheet import PaperSize, Sheet
from coachwork.papers.shopping_list import shopping_list
from coachwork.papers.subject import Subject
from coachwork.papers.template import Template, dxf, svg
from coachwork.papers.templates import template_sheet, templates_of
from coachwork.papers.told import MILLIMETRES, Units
from coachwork.papers.wiring_sheet import wiring_sheet

Paper = Callable[[Subject], Sheet]
TEMPLATES = "templates"
PAPERS: Mapping[str, Paper] = {
    "measuring-sheet": measuring_sheet,
    "report": report_paper,
    TEMPLATES: lambda of: template_sheet(of, templates_of(of)),
    "cut-list": cut_list,
    "shopping-list": shopping_list,
    "wiring-sheet": wiring_sheet,
    "channel-card": channel_card_sheet,
    "set-up-sheet": set_up_sheet,
    "build-order": build_order,
    "run-log": run_log_sheet,
    "assumptions": assumptions,
}


def papers_of(
    report: Report,
    *,
    only: Iterable[str] | None = None,
    paper: PaperSize = "a4",
    units: Units = MILLIMETRES,
    more: Iterable[Sheet] = (),
    drawings: Iterable[Template] = (),
    progress: Callable[[str, int, int], None] = lambda name, done, all: None,
) -> dict[str, bytes]:
    """{file's name inside the folder: its bytes}; the same bytes for the same report.

    only     : names of papers, of PAPERS; None for all
    more     : further sheets to print in the same way
    drawings : further drawings at 1:1, behind the build's own templates and in their folder
    progress : takes the paper's name, how many are done, how many there are

    Raises CoachworkError for a paper that there is not.
    """
    subject = Subject(report=report, units=units, paper=paper)
    wanted = list(PAPERS) if only is None else known_papers(only)
    files: dict[str, bytes] = {}
    further = list(more)
    for done, name in enumerate(wanted):
        progress(name, done, len(wanted) + len(further))
        files |= _templates(subject, drawings) if name == TEMPLATES else dict(_files(PAPERS[name](subject), subject))
    for done, sheet in enumerate(further, start=len(wanted)):
        progress(sheet.name, done, len(wanted) + len(further))
        files |= dict(_files(sheet, subject))
    return files


def known_papers(names: Iterable[str]) -> list[str]:
    """The names, each once. Raises CoachworkError for one that is no paper, with the nearest that is."""
    asked = list(dict.fromkeys(names))
    for name in asked:
        if name not in PAPERS:
            near = difflib.get_close_matches(name.lower(), PAPERS, n=1, cutoff=0.4)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(PAPERS)}"
            raise CoachworkError(f"{name}: there is no paper of this name; {hint}")
    return asked


def _templates(subject: Subject, further: Iterable[Template]) -> dict[str, bytes]:
    """On paper and as drawings, worked out once."""
    made = templates_of(subject)
    made = replace(made, each=(*made.each, *further))
    files = dict(_files(template_sheet(subject, made), subject))
    for template in made.each:
        files[f"templates/{template.name}.svg"] = svg(template).encode()
        files[f"templates/{template.name}.dxf"] = dxf(template).encode()
    return files


def _files(sheet: Sheet, subject: Subject) -> Iterator[tuple[str, bytes]]:
    from coachwork.papers.press import pdf

    yield f"{sheet.name}.pdf", pdf(sheet, paper=subject.paper, footer=f"{subject.name} - {sheet.name}")
