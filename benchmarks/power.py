"""A 30-minute drive with every event at its moment, alone and five hundred at once.

Baselines: the vehicle itself, which takes 30 minutes; and the same circuit, lumps and guards in a plain loop of fixed
steps (forward Euler), as short as they must be for temperatures and moments as exact. How short is found first, by
halving the step until the regulator's moment of trip is within 5 ms of what our steps of one second give; ours of
usual length is within 1 ms.
"""

import sys
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from benchmarks.rows import Row, per_second

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "studies" / "power"))
import power_case
import power_radau

SECONDS = 1800.0
GUARDS = (("regulator heat", "regulator", 125.0, "supply", "off-on", 0.0, 0.0),)
WANTED_SAMPLES = 500
TRIAL_STEPS_S = (1.0, 0.5, 0.25, 0.125, 0.0625, 0.03125, 0.015625)  # the air under the shell forbids longer ones
EQUAL_S = 0.005  # of the moment of trip: what counts as equally exact; ours is ten times better still


def rows() -> Iterator[Row]:
    """Drives a second."""
    case = power_case.Case(guards=GUARDS)
    exact = case.drive(SECONDS, longest_step_s=1.0).first_s["regulator heat"][0]
    ours = case.drive(SECONDS).first_s["regulator heat"][0]
    one = per_second(lambda: case.drive(SECONDS), things=1)
    step, loop = _loop(case, exact)
    print(f"  (regulator trips at {exact:.3f} s; ours {ours - exact:+.4f} s; loop of {step} s steps)")
    yield Row(name="a 30-minute drive, every event (drives)", per_second=one, baseline="the vehicle itself",
              baseline_per_second=1 / SECONDS)  # fmt: skip
    yield Row(name="the same", per_second=one, baseline=f"plain loop, {step:g} s", baseline_per_second=loop)
    many = _many(case)
    yield Row(name=f"{WANTED_SAMPLES} drives with other numbers at once (drives)",
              per_second=per_second(lambda: many.drive(SECONDS), things=WANTED_SAMPLES, seconds=3.0),
              baseline=f"plain loop, {step:g} s", baseline_per_second=loop)  # fmt: skip


def _many(case: "power_case.Case") -> "power_case.Case":
    rng = np.random.default_rng(1)
    names = ("controller_m2", "usual", "heavy", "resistance_ohm", "outside_degc", "ohm", "mass_kg", "shell_m2", "out_v")
    return case.but(**{name: case.numbers[name] * rng.uniform(0.85, 1.15, WANTED_SAMPLES) for name in names})


def _loop(case: "power_case.Case", exact: float) -> tuple[float, float]:
    """(step, drives a second) of the longest step that is as exact."""
    for step in TRIAL_STEPS_S:
        start = time.perf_counter()
        moment = _euler(case, step)
        took = time.perf_counter() - start
        if moment is not None and abs(moment - exact) <= EQUAL_S:
            return step, 1 / took
    return step, 1 / took


def _euler(case: "power_case.Case", step: float) -> float | None:
    """When the regulator trips, by forward Euler, moment by moment; drives on to the end."""
    c, limit, tripped = case.numbers, case.guards[0][2], None
    state = np.array([c["outside_degc"]] * 7 + [0.0, c["share"]])
    parts, now, turn = list(power_radau.parts_of(case.legs)), 0.0, 0
    while now < SECONDS:
        length, speed, gain, leg = parts[turn % len(parts)]
        turn += 1
        end = min(now + length, SECONDS)
        while now < end - 1e-9:
            h = min(step, end - now)
            on = {"motor": tripped is None, "rail": tripped is None, "controller": True}
            at = power_radau.moment(c, state, speed, gain, leg, on)
            _, warming = power_radau.lost_and_rates(c, state[:7], at["heat"])
            slow = (at["current"] * c["slow_ohm"] - state[7]) / c["slow_s"]
            rate = np.array([*warming, slow, -at["current"] / c["charge_as"]])
            before = state[2]
            state = state + h * rate
            now += h
            if tripped is None and state[2] >= limit:
                tripped = now - h * (state[2] - limit) / (state[2] - before)
    return tripped
