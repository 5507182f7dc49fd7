"""The worker that makes parts, forked from a process that has the CAD kernel loaded already.

It is as much a process of its own, and there at once: loading the kernel takes seconds, each time. The tests of
starting, stopping and crashing do without this.
"""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
from multiprocessing.reduction import DupFd
from typing import IO, Any

FORKS = multiprocessing.get_context("forkserver")
FORKS.set_forkserver_preload(["build123d", "coachwork.parts.worker"])


class Popen:
    """As much of subprocess's own as `making` uses."""

    def __init__(self, command: list[Any], *, stdout: int, stderr: IO[bytes], env: dict[str, str]) -> None:
        assert command[:3] == [sys.executable, "-m", "coachwork.parts.worker"]
        assert stdout == subprocess.PIPE
        assert env["PYTHONUTF8"] == "1"
        reads, writes = os.pipe()
        self.stdout = os.fdopen(reads, "rb", buffering=0)
        self._process = FORKS.Process(target=_work, args=(_Sent(writes), _Sent(stderr.fileno()), command[3]))
        self._process.start()
        os.close(writes)

    def poll(self) -> int | None:
        """Its status, once it has ended."""
        return self._process.exitcode

    def wait(self, timeout: float | None = None) -> int:
        """Its status."""
        self._process.join(timeout)
        if self._process.exitcode is None:
            raise subprocess.TimeoutExpired("coachwork.parts.worker", timeout or 0.0)
        return self._process.exitcode

    def terminate(self) -> None:
        """Ask it to end."""
        self._process.terminate()

    def kill(self) -> None:
        """End it."""
        self._process.kill()


class _Sent:
    """A file's number that is handed over when the process starts."""

    def __init__(self, number: int) -> None:
        self.number = number

    def __reduce__(self) -> tuple[Any, ...]:
        return _received, (DupFd(self.number),)


def _received(sent: Any) -> int:
    return sent.detach()


def _work(out: int, errors: int, job: str) -> None:
    from coachwork.parts.worker import main

    os.dup2(out, 1)
    os.dup2(errors, 2)
    sys.exit(main(job))


class AtHand:
    """In the place of `subprocess`."""

    Popen = Popen
    PIPE = subprocess.PIPE
    TimeoutExpired = subprocess.TimeoutExpired
