"""`coachwork why`: what most likely stopped it, and the next thing to look at."""

from __future__ import annotations

import argparse

import numpy as np

from coachwork.build import Build, Entry, find, read
from coachwork.build.run_log import Run, log_of, read_log
from coachwork.cli.log import LITHIUM
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.confidence.sampling import run_samples, sampled_view
from coachwork.confidence.words import listed, points_joined, sentence
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.parts import Blocked, Missing, is_missing
from coachwork.studies.power.compute import stacked_setup
from coachwork.studies.power.result import PowerResult
from coachwork.studies.power.why import Answer, Likely, Seen, why
from coachwork.studies.power.why.rank import NextTest
from coachwork.studies.power.why.seen import Reading
from coachwork.studies.power.why.signs import NAMES, SIGNS
from coachwork.studies.power.why.simulated import Simulated, simulate

SAMPLES = 240
SEED = 1  # the same log gives the same answer
SHOWN = 4  # causes told in full
LUMPS = {"controller": "controller", "motor can": "motor_can", "regulator": "regulator", "pack": "pack"}


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Rank the causes of one run's stop."""
    build = read(options.place)
    number, stop = chosen(read_log(log_of(find(options.place).parent)), options.run, options.place)
    with Progress() as progress:
        sim, without = simulated(build, plan or Plan(), seen_in(stop), progress)
    show(screen, number, stop, why(seen_in(stop), sim), without)
    return 0


def chosen(runs: tuple[Run, ...], number: int | None, place: object) -> tuple[int, Run]:
    """The run asked for, or the last that stopped. Raises CoachworkError."""
    if not runs:
        raise CoachworkError(f"{place}: there is no run in the log yet; write one down with: coachwork log {place}")
    if number is not None:
        if not 1 <= number <= len(runs):
            raise CoachworkError(f"run {number}: the log holds runs 1 to {len(runs)}")
        return number, runs[number - 1]
    stops = [i for i, one in enumerate(runs, start=1) if one.stopped]
    if not stops:
        raise CoachworkError(f"{place}: no run in the log stopped; say which one with --run")
    return stops[-1], runs[stops[-1] - 1]


def seen_in(run: Run) -> Seen:
    """A run of the log as plain words and numbers."""

    def reading(entry: Entry) -> Reading | None:
        held = entry.measured
        return None if held is None else Reading(value=held.value, sigma=held.sigma)

    signs = {sign: getattr(run, sign.replace("-", "_")) for sign in SIGNS}
    degc = {lump: reading(getattr(run, name)) for lump, name in LUMPS.items()}
    felt = {lump: getattr(run, f"{name}_felt") for lump, name in LUMPS.items()}
    minutes = reading(run.minutes)
    return Seen(
        seconds=None if minutes is None else minutes.value,
        before_v=reading(run.volts_before),
        after_v=reading(run.volts_after),
        degc={lump: held for lump, held in degc.items() if held is not None},
        felt={lump: word for lump, word in felt.items() if word is not None and degc[lump] is None},
        signs={sign: outcome for sign, outcome in signs.items() if outcome is not None},
    )


def simulated(build: Build, plan: Plan, seen: Seen, progress: Progress | None) -> tuple[Simulated | None, str]:
    """The build's drives at the stop, and nothing; or None, and why there are none."""
    rng = np.random.default_rng(SEED)
    plain: PowerResult = plan.run(build, only=["power"])["power"].result
    if is_missing(plain.answer):
        return None, lacking(plain.answer)
    view = sampled_view(build, plan, "power", samples=SAMPLES, rng=rng)
    answers = [answer.result.answer for answer in run_samples(build, plan, "power", view, progress=progress)]
    setup = stacked_setup([answer.setup for answer in answers if not is_missing(answer)])
    return simulate(setup, seen, rng), ""


def lacking(gap: Missing | Blocked) -> str:
    """Why there is no drive, as the end of a sentence."""
    return f"the drive lacks {listed(points_joined(gap.keys))}" if isinstance(gap, Missing) else gap.why


def show(screen: Screen, number: int, stop: Run, answer: Answer, without: str) -> None:
    """Causes, what each predicts, the next test, cautions."""
    named = f"Run {number} of the log" + (f", {stop.date}" if stop.date else "")
    screen.say(named, tone="strong")
    if without:
        screen.say(f"Only signs are weighed, no minutes, volts and temperatures: {without}.")
    first, second = answer.causes[:2]
    screen.gap()
    if answer.told_apart:
        screen.say(f"Most likely {NAMES[first.cause]}: {first.chance:.0%}.", tone="strong")
    else:
        screen.say(
            f"The evidence does not separate the first two: {NAMES[first.cause]} ({first.chance:.0%}), or "
            f"{NAMES[second.cause]} ({second.chance:.0%}).",
            tone="strong",
        )
    screen.gap()
    for cause in answer.causes[:SHOWN]:
        _cause(screen, cause)
    rest = [one for one in answer.causes[SHOWN:] if one.chance >= 0.005]
    if rest:
        screen.say("less likely: " + ", ".join(f"{one.cause} {one.chance:.0%}" for one in rest) + ".", indent=2)
    if answer.test is not None:
        screen.gap()
        _test(screen, answer.test, first, second)
    screen.gap()
    screen.say(LITHIUM, tone="warning")


def _cause(screen: Screen, cause: Likely) -> None:
    screen.say(sentence(NAMES[cause.cause]), mark=f"{cause.chance:4.0%}", indent=2, tone="strong")
    agree = [one for one in cause.predicted if one.chance >= 0.3]
    against = [one for one in cause.predicted if one.chance < 0.3]
    if agree:
        screen.say("fits: " + ", ".join(f"{one.what} {one.seen}" for one in agree) + ".", indent=8)
    if against:
        told = ", ".join(f"{one.what} {one.seen}, where it predicts {one.told}" for one in against)
        screen.say(f"does not: {told}.", indent=8)


def _test(screen: Screen, test: NextTest, first: Likely, second: Likely) -> None:
    screen.say(f"Next: {test.how}{'' if test.how.endswith('?') else '.'}", tone="strong")
    screen.say(f"{'':20}{first.cause:>20}{second.cause:>20}", indent=2)
    for outcome, (one, other) in test.outcomes.items():
        screen.say(f"{outcome:20}{one:>20.0%}{other:>20.0%}", indent=2)
