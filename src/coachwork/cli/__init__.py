"""The command line: thin commands over the plan. `main` is what the `coachwork` script calls.

Exit status: 0 all holds or the command did its work, 1 something fails, 2 bad input, 130 stopped with Ctrl-C.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coachwork.plan import Plan

BAD_INPUT = 2
STOPPED = 130  # 128 + SIGINT, as shells have it
NOBODY_READS = 141  # 128 + SIGPIPE


def main(arguments: Sequence[str] | None = None, *, plan: Plan | None = None) -> int:
    """Run one command and return its exit status.

    arguments : without the program's name; None takes the process's own
    plan      : the studies to run; None means all that are installed
    """
    try:
        status = _run(list(sys.argv[1:] if arguments is None else arguments), plan)
        sys.stdout.flush()  # a pipe that broke says so here, not at the interpreter's exit
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # The reader has seen enough. Python would complain when it flushes stdout at exit; give it somewhere to.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOBODY_READS
    return status


def _run(arguments: list[str], plan: Plan | None) -> int:
    from coachwork.cli.arguments import read_arguments
    from coachwork.cli.screen import Screen
    from coachwork.errors import CoachworkError

    try:
        command, options = read_arguments(arguments)
        return command(options, Screen.for_people(sys.stdout), plan)
    except CoachworkError as fault:
        Screen.for_people(sys.stderr).raw(str(fault))
    except BrokenPipeError:
        raise
    except OSError as fault:
        place = f"{fault.filename}: " if fault.filename is not None else ""
        Screen.for_people(sys.stderr).raw(f"{place}{(fault.strerror or str(fault)).lower()}")
    return BAD_INPUT
