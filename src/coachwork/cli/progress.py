"""A word on a slow run: nothing for the first second, then one line on the terminal that goes away again.

With COACHWORK_PROGRESS=json in the environment every word is a line of JSON on stderr instead, at once, for a program
that runs the command: {"doing": "linkage: 3 poses", "done": 7, "of": 10}.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from types import TracebackType
from typing import TextIO

PATIENCE_S = 1.0  # a run shorter than this needs no word; about where people begin to wonder


class Progress:
    """To be called by the plan as it goes, and used as a context.

    with Progress() as progress:
        examine(build, progress=progress, tell=progress.tell)
    """

    def __init__(
        self, stream: TextIO | None = None, patience_s: float = PATIENCE_S, *, doing: str = "computing"
    ) -> None:
        self._stream = stream if stream is not None else sys.stderr
        self._doing = doing
        self._timer = threading.Timer(patience_s, self._begin)
        self._timer.daemon = True
        self._lock = threading.Lock()
        self._told = self._how_far = ""
        self._what, self._done, self._of = "", 0, 0
        self._for_programs = os.environ.get("COACHWORK_PROGRESS") == "json"
        self._shown = self._over = False

    def __call__(self, what: str, done: int, of: int) -> None:
        """A study, or whatever is done one after the other, is about to run."""
        with self._lock:
            self._told, self._how_far = f"{what} ({done + 1} of {of})", ""
            self._what, self._done, self._of = what, done, of
            if self._shown or self._for_programs:
                self._show()

    def tell(self, how_far: str) -> None:
        """How far the study is that runs."""
        with self._lock:
            self._how_far = f": {how_far}"
            if self._shown or self._for_programs:
                self._show()

    def __enter__(self) -> Progress:
        if self._stream.isatty() and not self._for_programs:
            self._timer.start()
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self._timer.cancel()
        with self._lock:
            self._over = True
            if self._shown:
                self._stream.write("\r\x1b[K")
                self._stream.flush()

    def _begin(self) -> None:
        with self._lock:
            if not self._over:
                self._shown = True
                self._show()

    def _show(self) -> None:
        if self._for_programs:
            told = {"doing": f"{self._what}{self._how_far}", "done": self._done, "of": self._of}
            self._stream.write(json.dumps(told) + "\n")
            self._stream.flush()
            return
        self._stream.write(f"\r\x1b[K{self._doing} {self._told}{self._how_far}")
        self._stream.flush()
