"""`coachwork drive`: the round over the spread of what is known: which protection trips first, when, how likely."""

from __future__ import annotations

import argparse

import numpy as np

from coachwork.build import Numbers, read
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.cli.why import lacking
from coachwork.confidence.sampling import run_samples, sampled_view
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.parts import is_missing
from coachwork.studies.power.guards import Trip
from coachwork.studies.power.heat import LUMPS
from coachwork.studies.power.result import Answer, PowerResult
from coachwork.studies.power.words import MEANS, minutes

MOST = 5000
SEED = 1


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Drive, count, tell."""
    if not 20 <= options.samples <= MOST:
        raise CoachworkError(f"--samples {options.samples}: 20 to {MOST} are wanted")
    build, plan = read(options.place), plan or Plan()
    plain: PowerResult = plan.run(build, only=["power"])["power"].result
    if is_missing(plain.answer):
        raise CoachworkError(f"{build.path}: {lacking(plain.answer)}")
    view = sampled_view(build, plan, "power", samples=options.samples, rng=np.random.default_rng(SEED))
    with Progress() as progress:
        answers = [one.result.answer for one in run_samples(build, plan, "power", view, progress=progress)]
    show(screen, build.name, plain.answer, answers)
    return 0


def first_trips(answers: list[Answer]) -> tuple[list[Trip], Numbers, Numbers]:
    """(trips, (trips, samples) their first moments, (samples,) which comes first; -1 where none does)."""
    trips = list(answers[0].watched.first_s)
    when = np.concatenate([np.stack([a.watched.first_s[trip] for trip in trips]) for a in answers], axis=1)
    first = np.where(np.isfinite(when).any(axis=0), np.argmin(when, axis=0), -1)
    return trips, when, first.astype(float)


def show(screen: Screen, name: str, plain: Answer, answers: list[Answer]) -> None:
    """The counts, and where temperatures and run time lie."""
    trips, when, first = first_trips(answers)
    n = first.size
    screen.say(f"{name}: {n} drives of {minutes(plain.setup.seconds)}", tone="strong")
    screen.gap()
    screen.say(f"{np.mean(first < 0):4.0%}  nothing stops it", indent=2)
    for j in sorted(range(len(trips)), key=lambda j: -np.sum(first == j)):
        mine = when[j, first == j]
        if mine.size:
            low, middle, high = np.percentile(mine, [5, 50, 95])
            times = f"after {minutes(middle)} ({minutes(low)} to {minutes(high)})"
            screen.say(f"{mine.size / n:4.0%}  {MEANS[trips[j]]}, {times}", indent=2, hang=8)
    screen.gap()
    screen.say("Nine in ten lie between", tone="strong")
    run_time = np.concatenate([answer.run_time_s for answer in answers]) / 60
    low, high = np.percentile(run_time, [5, 95])
    screen.say(f"{low:.0f} and {high:.0f} min  until the pack is empty or cut off", indent=2)
    hottest = np.concatenate([answer.watched.hottest_degc for answer in answers])
    for i, lump in enumerate(LUMPS):
        low, high = np.percentile(hottest[:, i], [5, 95])
        screen.say(f"{low:.0f} and {high:.0f} degC  {lump}, hottest, if nothing stopped it", indent=2)
