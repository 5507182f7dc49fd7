"""One line of a benchmark's table, and the clock that all of them share."""

import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Row:
    """What was timed, how often a second it went, and how often the baseline did."""

    name: str
    per_second: float
    baseline: str
    baseline_per_second: float
    wanted_ratio: float | None = None  # None: nothing was promised

    @property
    def ratio(self) -> float:
        """How many times faster than the baseline."""
        return self.per_second / self.baseline_per_second

    def __str__(self) -> str:
        """The row as the table prints it."""
        wanted = "" if self.wanted_ratio is None else f", wanted {self.wanted_ratio:,.0f}"
        rates = f"{_told(self.per_second):>13} /s  {_told(self.baseline_per_second):>11} /s"
        return f"{self.name:<48}{rates}  {self.ratio:>8,.1f} x {self.baseline}{wanted}"


def _told(rate: float) -> str:
    """Three digits at the least.

    >>> _told(3_480_123.0), _told(0.6231)
    ('3,480,123', '0.623')
    """
    return f"{rate:,.0f}" if rate >= 100 else f"{rate:.3g}"


def per_second(work: Callable[[], object], *, things: int, seconds: float = 1.0) -> float:
    """Things done a second: the best of three runs, each long enough; a first call warms caches and compilers up.

    The best, not the mean: whatever else the machine does can only slow a run down.
    """
    work()
    start = time.perf_counter()
    work()
    calls = max(1, int(seconds / 3 / (time.perf_counter() - start)))
    runs = []
    for _ in range(3):
        start = time.perf_counter()
        for _ in range(calls):
            work()
        runs.append((time.perf_counter() - start) / calls)
    return things / min(runs)
