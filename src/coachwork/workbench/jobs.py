"""Long work beside the session: a command in a process of its own, which tells how far it is and can be stopped.

A process and not a thread: it burns another core, it can be ended at any moment, and what it loads goes with it. Every
command of ours writes whole files or none, so that ending one leaves nothing half done.
"""

from __future__ import annotations

import contextlib
import importlib.util
import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from coachwork.confidence.json_form import Json

State = Literal["running", "done", "failed", "stopped"]
PROGRESS = "COACHWORK_PROGRESS"  # set to "json", a command tells how far it is as lines of JSON on stderr
PATIENCE_S = 3.0  # for a process that was told to end
NICE = 10  # how far it stands back for what the builder waits for
ASIDE_NICE = 15  # how far its session does, where those are weighed, while the builder waits
KEPT = 12  # jobs that are over and still shown


@dataclass(frozen=True, kw_only=True)
class Work:
    """Something that can be had done. `command`: words behind `coachwork`, DIR standing for the build's folder."""

    name: str
    title: str
    about: str
    command: tuple[str, ...]


ALL = (
    Work(name="stow", title="Find a place for every box", command=("stow", "DIR"),
         about="Looks for the best place for every box and draws it at 1:1; writes nothing into the build."),
    Work(name="stow-accept", title="Stow the boxes and write it down", command=("stow", "DIR", "--accept"),
         about="The same, and puts the places into the build."),
    Work(name="drive", title="Drive the round 300 times", command=("drive", "DIR"),
         about="How long it runs, how warm things become, what trips first and how likely."),
    Work(name="measure", title="Measure the scan", command=("measure", "DIR"),
         about="What the scan says of the shell, beside what you measured."),
    Work(name="trim", title="Draw the line to trim along", command=("trim", "DIR"),
         about="What to cut out of the shell for the tyres, at 1:1."),
    Work(name="plot", title="Draw the curves", command=("plot", "DIR"), about="Every curve as a drawing."),
    Work(name="papers", title="Print the papers for the bench", command=("papers", "DIR"),
         about="Measuring sheet, report, templates at 1:1, lists and sheets, as PDF."),
    Work(name="make", title="Make the parts", command=("make", "DIR", "--no-papers"),
         about="The parts as STEP, 3MF and STL, from the build as it stands."),
    Work(name="strength", title="Try the parts' strength", command=("strength", "DIR"),
         about="Bends, twists and drops the parts that were made, in the computer; their answers follow."),
)  # fmt: skip


def on_offer() -> Iterator[Work]:
    """Those whose command there is."""
    for work in ALL:
        if importlib.util.find_spec(f"coachwork.cli.{work.command[0]}") is not None:
            yield work


@dataclass
class Job:
    """One piece of work, running or over."""

    id: int
    work: Work
    process: subprocess.Popen[str]
    state: State = "running"
    doing: str = ""
    done: int = 0
    of: int = 0
    said: str = ""
    stopped: bool = field(default=False)

    def form(self) -> dict[str, Json]:
        """As plain data."""
        return {"id": self.id, "name": self.work.name, "title": self.work.title, "state": self.state,
                "doing": self.doing, "done": self.done, "of": self.of, "said": self.said}  # fmt: skip


class Jobs:
    """The jobs of one build; `changed` is called, on some thread, when one has something new to say, `over` when one
    has ended and may have left files that the answers hang on.
    """

    def __init__(self, folder: Path, changed: Callable[[], None], over: Callable[[], None] = lambda: None) -> None:
        self._folder, self._changed, self._over = folder, changed, over
        self._jobs: list[Job] = []
        self._lock = threading.Lock()
        self._count = 0
        self._aside: bool | None = None  # what the running ones were told last

    def start(self, name: str) -> Job:
        """Begin. Raises KeyError for work there is none of, ValueError while the same is being done."""
        work = next((work for work in on_offer() if work.name == name), None)
        if work is None:
            raise KeyError(name)
        with self._lock:
            if any(job.work is work and job.state == "running" for job in self._jobs):
                raise ValueError(f"{work.title}: this is being done already")
            words = [str(self._folder) if word == "DIR" else word for word in work.command]
            process = subprocess.Popen(
                [sys.executable, "-m", "coachwork", *words],
                stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
                errors="replace", env={**os.environ, PROGRESS: "json", "COLUMNS": "72", "PYTHONUTF8": "1"},
                start_new_session=True,  # Ctrl-C in the terminal is for the server, which ends its jobs itself
            )  # fmt: skip
            _stand_back(process.pid)
            self._aside = None  # to be told to this one, too
            self._count += 1
            job = Job(id=self._count, work=work, process=process)
            over = [one for one in self._jobs if one.state != "running"]
            for old in over[: max(0, len(over) - KEPT)]:
                self._jobs.remove(old)
            self._jobs.append(job)
        threading.Thread(target=self._follow, args=(job,), daemon=True).start()
        self._changed()
        return job

    def _follow(self, job: Job) -> None:
        assert job.process.stdout is not None
        assert job.process.stderr is not None
        out: list[str] = []
        reader = threading.Thread(target=lambda: out.append(job.process.stdout.read()), daemon=True)  # type: ignore[union-attr]
        reader.start()
        faults = []
        for line in job.process.stderr:
            try:
                told = json.loads(line)
                job.doing, job.done, job.of = str(told["doing"]), int(told["done"]), int(told["of"])
            except (ValueError, KeyError, TypeError):
                faults.append(line)
            else:
                self._changed()
        status = job.process.wait()
        reader.join(timeout=PATIENCE_S)
        job.process.stderr.close()
        if not reader.is_alive():
            job.process.stdout.close()
        job.said = ("".join(out) + "".join(faults)).strip()
        job.state = "stopped" if job.stopped else "done" if status in (0, 1) else "failed"
        self._changed()
        self._over()

    def step_aside(self, now: bool) -> None:
        """Whether the builder waits for answers: then what runs beside them is to leave them the processor.

        To be called again and again: where the system does not take the word at once it is given with the next call.
        """
        if now is not self._aside:
            running = [job.process.pid for job in self._jobs if job.state == "running"]
            took = [_weigh_session(process, ASIDE_NICE if now else 0) for process in running]
            if all(took):
                self._aside = now

    def stop(self, id: int) -> None:
        """End a job. Raises KeyError for one there is not."""
        job = next((job for job in self._jobs if job.id == id), None)
        if job is None:
            raise KeyError(id)
        if job.state == "running":
            job.stopped = True
            _end(job.process)

    def close(self) -> None:
        """End them all."""
        for job in self._jobs:
            if job.state == "running":
                job.stopped = True
                _end(job.process)

    def forms(self) -> list[Json]:
        """All, the latest first."""
        return [job.form() for job in reversed(self._jobs)]


def _stand_back(process: int) -> None:
    if hasattr(os, "setpriority"):
        with contextlib.suppress(OSError):  # it is over already
            os.setpriority(os.PRIO_PROCESS, process, max(NICE, os.getpriority(os.PRIO_PROCESS, 0)))


def _weigh_session(process: int, nice: int) -> bool:
    """Linux may weigh sessions against each other, whatever their processes' niceness; whether it took the word."""
    try:
        Path(f"/proc/{process}/autogroup").write_text(str(nice))
    except FileNotFoundError:  # it does not, or the process is over
        return True
    except OSError:  # not twice within a tenth of a second
        return False
    return True


def _end(process: subprocess.Popen[str]) -> None:
    """The process and those it has started itself, which are of its session."""
    _signal(process, signal.SIGTERM)
    with contextlib.suppress(subprocess.TimeoutExpired):
        process.wait(PATIENCE_S)
        return
    _signal(process, signal.SIGKILL)


def _signal(process: subprocess.Popen[str], which: signal.Signals) -> None:
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, which)
