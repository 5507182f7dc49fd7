"""`coachwork demo`: the example builds copied out, checked and drawn."""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path, PurePosixPath

import coachwork
from coachwork.build import FILE_NAME, read, write_whole
from coachwork.cli.plot import write_charts
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.confidence import Report, examine
from coachwork.confidence.json_form import json_form
from coachwork.confidence.words import tally
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.wording import count

EXAMPLE = "harbour-mail-van"
SCAN = "shell.stl"
_FAILS_SHOWN = 4
_NOT_COPIED = ("__pycache__", "results", "charts", "papers", "parts", ".coachwork")  # what a run leaves behind


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Copy, check, draw, and say where all of it is."""
    place: Path = options.place
    copy_out(example(), place)
    screen.say(f"The harbour mail van, an invented vehicle, is in {place}.")
    if not options.without_scans:
        make_scans(place)
    for file in sorted(place.rglob(FILE_NAME), reverse=True):  # as found, then as finished
        _one(screen, file.parent, plan or Plan())
    return 0


def example() -> Traversable:
    """The example builds: inside the installed package, or beside the sources in a checkout."""
    packaged = files("coachwork") / "examples" / EXAMPLE
    beside = Path(coachwork.__file__).parents[2] / "examples" / EXAMPLE
    found = next((place for place in (packaged, beside) if place.is_dir()), None)
    if found is None:
        raise CoachworkError("the example builds are not part of this installation; install coachwork again")
    return found


def copy_out(source: Traversable, place: Path) -> None:
    """Copy a folder. Raises CoachworkError, with nothing written, if that would overwrite a file that differs."""
    contents = {path: file.read_bytes() for path, file in _all_files(source)}
    changed = [place / path for path, raw in contents.items() if _differs(place / path, raw)]
    if changed:
        named = "\n".join(f"  {path}" for path in changed)
        raise CoachworkError(f"changed since they were copied out, and left alone:\n{named}\nname another folder")
    for path, raw in contents.items():
        if not (place / path).exists():
            (place / path).parent.mkdir(parents=True, exist_ok=True)
            (place / path).write_bytes(raw)


def _all_files(folder: Traversable, *inside: str) -> Iterator[tuple[PurePosixPath, Traversable]]:
    for item in sorted(folder.iterdir(), key=lambda item: item.name):
        if item.is_dir() and item.name not in _NOT_COPIED:
            yield from _all_files(item, *inside, item.name)
        elif item.is_file() and item.name != SCAN:
            yield PurePosixPath(*inside, item.name), item


def make_scans(place: Path) -> None:
    """Scans of the van's shells, made by the script that is copied out with them; ten megabytes each, so not shipped.

    A scan that is there already stays. Raises CoachworkError where the script fails.
    """
    for folder, options in (("as-found", ["--as-found"]), ("as-finished", [])):
        target = place / folder / SCAN
        if target.exists():
            continue
        part = target.with_suffix(".part")
        try:
            command = [sys.executable, str(place / "make_shell.py"), str(part), *options]
            done = subprocess.run(command, capture_output=True, text=True, check=False)
            if done.returncode != 0:
                last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
                raise CoachworkError(f"{target} could not be made: {last}")
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)


def _differs(path: Path, raw: bytes) -> bool:
    return path.exists() and (not path.is_file() or path.read_bytes() != raw)


def _one(screen: Screen, folder: Path, plan: Plan) -> None:
    with Progress() as progress:
        report = examine(read(folder), plan=plan, progress=progress, tell=progress.tell)
    results = folder / "results"
    write_whole(results / "report.json", json.dumps(json_form(report)) + "\n")
    charts = [chart for answer in report.answers.values() for chart in answer.study.charts(answer.result)]
    write_charts(charts, results / "charts")
    _summary(screen, report)
    screen.say(f"coachwork check {folder}", mark="All of it:", indent=2)
    drawings = f" and {count(len(charts), 'drawing')}" if charts else ""
    screen.say(f"report.json{drawings} in {results}", mark="Results:  ", indent=2)


def _summary(screen: Screen, report: Report) -> None:
    screen.gap()
    screen.say(report.build.name, tone="strong")
    screen.say(f"{tally(report.verdicts).capitalize()}.", indent=2)
    fails = [verdict for verdict in report.verdicts if verdict.state == "fails"]
    for verdict in fails[:_FAILS_SHOWN]:
        screen.say(verdict.question, mark="FAILS", tone="bad", indent=4)
    if len(fails) > _FAILS_SHOWN:
        screen.say(f"and {len(fails) - _FAILS_SHOWN} more that fail", indent=4)
