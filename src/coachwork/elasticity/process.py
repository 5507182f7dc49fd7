"""Runs the finite elements in a process of their own: progress, cancelling, and crashes told in words."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from coachwork.elasticity.flexibility import Kept, load
from coachwork.elasticity.job import Wanted, job_json
from coachwork.elasticity.worker import REFUSED
from coachwork.errors import CoachworkError
from coachwork.followed import lines_of


class SolverFailed(CoachworkError):
    """The process ended without a result."""


class NotComputed(CoachworkError):
    """The job cannot be done, and the message says why."""


Look = Callable[[str], None]  # called every tenth of a second, with words where there are new ones; raises to stop


def _nobody(_: str) -> None:
    pass


def flexibility_of(wanted: Wanted, result: Path, look: Look = _nobody, *, threads: int | None = None) -> Kept:
    """Compute, keep in the file `result`, and return what is kept.

    threads : where None, as many as there are cores and two at most, or what OMP_NUM_THREADS says

    Raises NotComputed, SolverFailed, and what `look` raises, with the process ended and nothing left behind.
    """
    threads = usual_threads() if threads is None else threads
    result.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        job, errors = Path(folder) / "job.json", Path(folder) / "errors"
        job.write_text(json.dumps(job_json(wanted) | {"threads": threads}), "utf-8")
        command = [sys.executable, "-m", "coachwork.elasticity.worker", str(job), str(result)]
        with errors.open("wb") as sink, subprocess.Popen(command, stdout=subprocess.PIPE, stderr=sink) as process:
            try:
                fault = _followed(process, look)
            except BaseException:
                process.terminate()
                raise
        if process.returncode == REFUSED and fault:
            raise NotComputed(fault)
        kept = load(result) if process.returncode == 0 else None
        if kept is None:
            raise SolverFailed(_crash(process.returncode, errors.read_text("utf-8", errors="replace")))
    return kept


def usual_threads() -> int:
    """Two; one where the machine has no more, or what OMP_NUM_THREADS says, as in other numerical libraries.

    Threads that wait for one another keep their cores busy: where other work wants these, two take two to three times
    the processor time of one, and longer by the clock as well.
    """
    asked = os.environ.get("OMP_NUM_THREADS", "").partition(",")[0]
    return int(asked) if asked.isdecimal() and int(asked) > 0 else min(2, os.cpu_count() or 1)


def _followed(process: subprocess.Popen[bytes], look: Look) -> str:
    """Pass on how far it is until it ends; what it refused the job for, if it did."""
    fault = ""

    def wanted() -> bool:
        look("")
        return True

    for line in lines_of(process, wanted):
        told = _told(line)
        fault = told.get("fault", fault)
        if "doing" in told:
            look(told["doing"])
    return fault


def _told(line: bytes) -> dict[str, str]:
    """A line of ours; the CAD kernel writes lines of its own between them."""
    try:
        told = json.loads(line)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


def _crash(status: int, errors: str) -> str:
    ended = f"was ended by signal {-status}" if status < 0 else f"ended with status {status}"
    last = [line for line in errors.splitlines() if line.strip()]
    if any("No module named 'netgen'" in line or "No module named 'ngsolve'" in line for line in last):
        return "finite elements need netgen and ngsolve: pip install 'coachwork[strength]'"
    return f"the finite elements' process {ended} and left no result" + (
        f"; its last words: {last[-1]}" if last else ""
    )
