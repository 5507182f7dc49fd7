"""Samples of a build's numbers within their spreads, for what first order cannot tell: chances of what happens."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from coachwork.build import Build
from coachwork.plan import Answer, Cancelled, Plan, Progress, Sampled

AT_ONCE = 60  # samples between two words on how far it is, and two looks whether to stop


def sampled_view(build: Build, plan: Plan, study: str, *, samples: int, rng: np.random.Generator) -> Sampled:
    """Every number that a study reads, drawn anywhere within its half-width, each by itself (JCGM 101:2008, 6.4.2)."""
    answer = plan.run(build, only=[study])[study]
    spread = {k: held for k, held in answer.everything_read().items() if held is not None and held.half_width > 0}
    columns = {}
    for key, held in sorted(spread.items()):
        column = rng.uniform(held.low, held.high, samples)
        column[0] = held.value  # the first is the build as it stands
        columns[key] = column
    return Sampled(samples=samples, columns=columns)


def run_samples(
    build: Build, plan: Plan, study: str, view: Sampled, *, progress: Progress | None = None,
    cancelled: Callable[[], bool] = lambda: False,
) -> list[Answer]:  # fmt: skip
    """A study over all samples of a view, some at a time. Raises Cancelled when `cancelled()` turns true."""
    starts = range(0, view.samples, AT_ONCE)
    answers = []
    for done, start in enumerate(starts):
        if cancelled():
            raise Cancelled(study)
        if progress is not None:
            progress(f"{study}, samples {start + 1} and on", done, len(starts))
        stop = min(start + AT_ONCE, view.samples)
        part = replace(view, samples=stop - start, columns={key: c[start:stop] for key, c in view.columns.items()})
        answers.append(plan.run_sampled(build, study, part))
    return answers
