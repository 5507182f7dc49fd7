"""What a process of ours says while it works, line by line, with looks in between whether it is still wanted."""

from __future__ import annotations

import os
import selectors
import subprocess
from collections.abc import Callable, Iterator

LOOKS_S = 0.1  # between two looks


def lines_of(process: subprocess.Popen[bytes], wanted: Callable[[], bool]) -> Iterator[bytes]:
    """The lines of its standard output as they come, until it ends or is not wanted any more.

    wanted : asked every tenth of a second; may raise to stop
    """
    assert process.stdout is not None
    rest = b""
    with selectors.DefaultSelector() as ready:
        ready.register(process.stdout, selectors.EVENT_READ)
        while wanted():
            if not ready.select(LOOKS_S):
                continue
            read = os.read(process.stdout.fileno(), 65536)
            if not read:
                return
            *lines, rest = (rest + read).split(b"\n")
            yield from lines
