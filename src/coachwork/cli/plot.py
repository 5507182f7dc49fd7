"""`coachwork plot`: every curve of a build as a drawing."""

from __future__ import annotations

import argparse
from pathlib import Path

from coachwork.build import find, read
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.confidence.words import listed, points_joined
from coachwork.plan import Answer, Plan
from coachwork.studies.chart import Chart
from coachwork.studies.wording import count


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the drawings and say where they are, or why there are none."""
    build = read(options.place)
    with Progress() as progress:
        answers = (plan or Plan()).run(build, progress=progress, tell=progress.tell)
    in_order = sorted(answers.values(), key=lambda answer: answer.study.order)
    charts = [chart for answer in in_order for chart in answer.study.charts(answer.result)]
    if not charts:
        _say_why(screen, in_order)
        return 0
    folder: Path = options.to if options.to is not None else find(options.place).parent / "charts"
    write_charts(charts, folder)
    screen.say(f"{count(len(charts), 'drawing')} in {folder}:")
    for chart in charts:
        screen.say(f"{chart.id}.svg  {chart.title}", indent=2, hang=4)
    return 0


def write_charts(charts: list[Chart], folder: Path) -> None:
    """One SVG file for each chart, named after its id; a file of that name is replaced."""
    from coachwork.papers.charts import svg

    folder.mkdir(parents=True, exist_ok=True)
    for chart in charts:
        (folder / f"{chart.id}.svg").write_text(svg(chart), encoding="utf-8")


def _say_why(screen: Screen, answers: list[Answer]) -> None:
    screen.say("Nothing to draw yet.", tone="strong")
    for answer in answers:
        if missing := sorted(answer.missing()):
            screen.say(f"{answer.study.name} needs {listed(points_joined(missing))}.", indent=2)
    screen.say("coachwork check says what to measure first.")
