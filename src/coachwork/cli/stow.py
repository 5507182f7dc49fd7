"""`coachwork stow`: looks for the best place for every box, draws it, and writes it into the build when told to."""

from __future__ import annotations

import argparse
import difflib
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from coachwork.build import Build, find, read, read_text, with_entry, write, write_whole
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.balance import BalanceResult
from coachwork.studies.parts import Blocked, Missing, Part, attempt, is_missing
from coachwork.studies.stowage.accept import Accepted, accepted
from coachwork.studies.stowage.posing import problem_of
from coachwork.studies.stowage.problem import Problem
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.stowage.solve import Clash, Limits, Placement, Undecided
from coachwork.studies.stowage.solve import find as look
from coachwork.studies.stowage.tables import Tables
from coachwork.studies.stowage.words import cheapest_first, clash_words, demand_words, way_words
from coachwork.studies.watch import Watch
from coachwork.studies.wording import called, first

STOPPED = 130  # 128 + SIGINT, as shells have it


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """0 when a place was found for every box, also where the search was stopped after that; 130 when it was stopped
    before; else 1.
    """
    build = read(options.place)
    plan = plan or Plan()
    result: StowageResult = plan.run(build, only=["stowage"])["stowage"].result
    problem = _problem(result.tables, options.move)
    effort = float(options.effort)
    limits = Limits(decide=20 * effort, improve=40 * effort, each=6 * effort)
    with _stoppable() as stopped, Progress() as progress:
        progress("stowage", 0, 1)
        watch = Watch(tell=lambda words: progress(f"stowage: {words}", 0, 1), cancelled=lambda: bool(stopped))
        found: Part[Placement | Clash | Undecided] = attempt(look, problem, limits, watch)
    if stopped and isinstance(found, Undecided):
        screen.say("Stopped before anything was found.", tone="strong")
        return STOPPED
    if stopped:
        screen.say("Stopped; this is the best so far.", tone="strong")
    if isinstance(found, Missing | Blocked):
        raise CoachworkError(found.why if isinstance(found, Blocked) else f"not measured: {', '.join(found.keys)}")
    if isinstance(found, Undecided):
        screen.say(f"Not decided: {found.why}. A larger --effort looks longer.")
        return 1
    if isinstance(found, Clash):
        _tell_clash(screen, found, problem)
        return 1
    return _tell_places(screen, build, result, problem, found, options)


def _problem(tables: Tables, moved: list[str] | None) -> Problem:
    for name in moved or ():
        if name not in tables.boxes.each:
            near = difflib.get_close_matches(name, tables.boxes.each, n=1, cutoff=0.5)
            raise CoachworkError(
                f"{name}: there is no box of this name"
                + (f"; did you mean {near[0]}?" if near else f"; there are {', '.join(tables.boxes.each)}")
            )
    problem = attempt(problem_of, tables, move=None if moved is None else frozenset(moved))
    if isinstance(problem, Missing):
        raise CoachworkError(f"not measured yet: {', '.join(problem.keys)}")
    if isinstance(problem, Blocked):
        raise CoachworkError(f"{problem.why}; see docs/theory/stowage.md, or `coachwork new --blank DIR` for every key")
    return problem


@contextmanager
def _stoppable() -> Iterator[list[int]]:
    """Ctrl-C stops the search and keeps what it has found; the list is filled then."""
    stopped: list[int] = []

    def stop(number: int, _: FrameType | None) -> None:
        if stopped:  # a second time: at once
            raise KeyboardInterrupt
        stopped.append(number)

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield stopped
    finally:
        signal.signal(signal.SIGINT, before)


def _tell_clash(screen: Screen, clash: Clash, problem: Problem) -> None:
    screen.say("There is no place for everything.", tone="bad")
    screen.say(f"{clash_words(clash).capitalize()}.")
    screen.gap()
    if not clash.ways:
        screen.say("None of these alone would do: something else clashes beside them. Change one, and look again.")
        return
    screen.say("Any one of these alone would do:" if len(clash.ways) > 1 else "What would do:")
    for way in cheapest_first(clash):
        words = way_words(way, problem.step_mm)
        screen.say(words or f"give up that {demand_words(way.demand)}", mark="-", indent=2)


def _tell_places(
    screen: Screen, build: Build, result: StowageResult, problem: Problem, found: Placement,
    options: argparse.Namespace,
) -> int:  # fmt: skip
    places = accepted(problem, found)
    text = spliced(build.text, build, places)
    after = read_text(text, build.path)
    answers = Plan().run(after, only=["stowage", "balance"])
    judged: StowageResult = answers["stowage"].result
    screen.say(f"A place for each of {len(places)} boxes: {proven(found)}.", tone="strong")
    wide = max(len(called(place.name)) for place in places)
    for place in places:
        turned = "" if place.turn.words == "as it is" else f", {place.turn.words}"
        at = "stays" if place.stays else f"x {place.x_mm:z7.1f}  y {place.y_mm:z6.1f} mm  on {place.on}{turned}"
        screen.raw(f"  {called(place.name):<{wide}}  {at}")
    for name, run in judged.leads.items():
        if not isinstance(run, Missing | Blocked) and float(run.needs_mm[0]) > float(run.length_mm[0]):
            screen.say(f"The lead {called(name)} is too short.", indent=2)
    screen.say(" ".join(_balanced(judged, answers["balance"].result)))
    if unseen := judged.tables.around.unseen:
        screen.say(f"Not looked at, since numbers lack: {'; '.join(unseen)}.")
    folder: Path = options.to if options.to is not None else find(options.place).parent / "stowage"
    from coachwork.papers.stowage_drawing import drawings

    for name, svg in drawings(judged, title=f"{build.name}: {proven(found)}"):
        write_whole(folder / f"{name}.svg", svg)
        screen.say(f"Drawn at 1:1 in {folder / f'{name}.svg'}.")
    if options.accept:
        write(build, text)
        screen.say(f"The places are in {build.path}.")
    else:
        screen.say("Nothing was written into the build; --accept does.")
    return 0


def _balanced(judged: StowageResult, balance: BalanceResult) -> Iterator[str]:
    """Where the weight then is, as far as masses tell."""
    if not is_missing(judged.side):
        off = first(judged.side.off_mm)
        way = "left" if off >= 0 else "right"
        yield (
            f"The boxes pull the balance {abs(off):.1f} mm to the {way}."
            if abs(off) >= 0.05 else "The boxes leave the balance in the middle."
        )  # fmt: skip
    wheelbase, wanted = judged.tables.wheelbase_mm, judged.tables.wanted.front_share
    if wheelbase is not None and not is_missing(balance.by_parts):
        share = 1 + first(balance.by_parts.cg_mm[:, 0]) / first(wheelbase)
        yield (
            f"By the parts in [masses], {100 * share:.1f} % of the weight is on the front wheels; "
            f"{100 * first(wanted.ratio):.0f} % is wanted."
        )


def proven(found: Placement) -> str:
    """How good a placement is known to be."""
    if found.gap is None:
        return "the first that was found; how good it is was not looked into"
    if found.gap < 1e-6:
        return "proven best"
    return f"within {100 * found.gap:.1f} % of the best there can be, or nearer"


def spliced(text: str, build: Build, places: tuple[Accepted, ...]) -> str:
    """The build's text with the places put in; boxes that stay are left alone, and so is every other character."""
    from coachwork.build.sections.stowed import BoxPlaces

    for place in places:
        if place.stays:
            continue
        old = build[BoxPlaces].each.get(place.name)
        values = {"on": place.on, "x": f"{place.x_mm:zg}", "y": f"{place.y_mm:zg}"}
        if place.turn.down != (old.down if old else "bottom"):
            values["down"] = place.turn.down
        if place.turn.turned != (old.turned if old else None):
            values["turned"] = place.turn.turned or "?"
        for key, value in values.items():
            text = with_entry(text, f"places.{place.name}.{key}", value)
    return text
