"""`coachwork check` from a cold start, and checking again after one number has changed.

Baselines: a fresh interpreter that does nothing but import the four libraries that `check` stands on, which no program
built on them can beat; and reading and checking the whole build anew.
"""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

from benchmarks.rows import Row, per_second
from coachwork.build import read_text, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan

VAN = Path(__file__).parents[1] / "examples" / "harbour-mail-van" / "as-found"
ONE_NUMBER = "shell.windscreen-height"  # only likeness reads it
TWO_STUDIES = "wheels.front.tyre-diameter"  # stance and linkage do


def rows() -> Iterator[Row]:
    """Runs a second."""
    libraries = _fresh("-c", "import numpy, scipy.special, pydantic, pint; pint.UnitRegistry()")
    yield Row(
        name="check from a cold start (runs)",
        per_second=_fresh("-m", "coachwork", "check", str(VAN)),
        baseline="importing numpy, scipy, pydantic, pint",
        baseline_per_second=libraries,
    )
    text, path = (VAN / "build.toml").read_text(encoding="utf-8"), VAN / "build.toml"
    whole = per_second(lambda: examine(read_text(text, path)), things=1)
    for key in (ONE_NUMBER, TWO_STUDIES):
        builds = [read_text(with_entry(text, key, value), path) for value in (60.0, 61.0)]
        plan = Plan()

        def again(builds: list[object] = builds, plan: Plan = plan) -> None:
            for build in builds:  # there and back, so that the answer kept is never the one wanted
                examine(build, plan=plan)

        yield Row(
            name=f"check again, {key} changed (runs)",
            per_second=per_second(again, things=2),
            baseline="checking the whole build",
            baseline_per_second=whole,
        )


def _fresh(*arguments: str) -> float:
    return per_second(
        lambda: subprocess.run([sys.executable, *arguments], check=False, capture_output=True), things=1, seconds=6
    )
