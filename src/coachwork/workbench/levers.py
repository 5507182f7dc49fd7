"""What the builder can turn to move a verdict: the numbers that are chosen, not measured, and what a step of each does.

A verdict's leads are the numbers whose spread makes it doubtful; a choice, such as a pinion's teeth or the height of a
ball, has little spread or none and would never show among them. Each is moved by one step up and down, all of them as
samples of one run, as the spreads are.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import Build, Count, Entry, Length
from coachwork.plan import Answer, Plan, Sampled
from coachwork.quantity import Source
from coachwork.studies.finding import margin_of
from coachwork.studies.watch import UNWATCHED, Watch

MOST = 4  # told of one verdict
STEP_MM, SHARE = 1.0, 0.02  # a length's step; any other number's, as a share of it
TABLES = ("changes.", "wheels.", "gearing.", "places.")  # what a builder buys, makes or moves


@dataclass(frozen=True, kw_only=True)
class Lever:
    """One number to turn: by how much the verdict's margin grows for one step more, in the verdict's unit."""

    key: str
    step: float  # in the number's internal unit
    gain: float


def levers_of(plan: Plan, build: Build, answer: Answer, watch: Watch = UNWATCHED) -> Mapping[str, tuple[Lever, ...]]:
    """{id of a finding: its levers, strongest first}; made once for an answer. Raises plan.Cancelled."""
    return plan.once(answer, "levers", lambda: _tried(plan, build, answer, watch))


def _tried(plan: Plan, build: Build, answer: Answer, watch: Watch) -> Mapping[str, tuple[Lever, ...]]:
    read = answer.everything_read()
    entries = [entry for entry in build.entries() if entry.key in read and _can_be_turned(entry)]
    steps = np.array([_step(entry) for entry in entries])
    if not entries or not any(finding.measured for finding in answer.findings):
        return {}
    samples = 2 * len(entries) + 1
    columns = {}
    for j, (entry, step) in enumerate(zip(entries, steps, strict=True)):
        assert entry.best is not None
        column = np.full(samples, entry.best.value)
        column[2 * j] += step
        column[2 * j + 1] -= step
        columns[entry.key] = column
    with np.errstate(all="ignore"):  # a step may lead where nothing can be: NaN there, and no lever
        moved = plan.run_sampled(build, answer.study.name, Sampled(samples=samples, columns=columns), watch)
    found = {}
    for finding in moved.findings:
        if finding.value is None or finding.limit is None:
            continue
        margin = np.broadcast_to(margin_of(finding.value, finding.limit, finding.sense), samples)
        up, down = margin[0:-1:2] - margin[-1], margin[-1] - margin[1:-1:2]
        gain = (np.where(np.isnan(up), down, up) + np.where(np.isnan(down), up, down)) / 2
        gain = np.where(np.isfinite(gain), gain, 0.0)
        order = [int(j) for j in np.argsort(-np.abs(gain), kind="stable")[:MOST] if abs(gain[j]) > 1e-9]
        found[finding.id] = tuple(Lever(key=entries[j].key, step=float(steps[j]), gain=float(gain[j])) for j in order)
    return found


def _can_be_turned(entry: Entry) -> bool:
    best = entry.best
    return (
        best is not None
        and entry.measured is not None
        and (best.source is Source.CHOSEN or isinstance(entry, Count) or entry.key.startswith(TABLES))
    )


def _step(entry: Entry) -> float:
    assert entry.best is not None
    if isinstance(entry, Length):
        return STEP_MM
    if isinstance(entry, Count):
        return 1.0
    return max(abs(entry.best.value), 0.1) * SHARE
