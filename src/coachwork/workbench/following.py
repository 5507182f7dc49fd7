"""Answers that follow a build: on a thread of its own, each time the build is another."""

from __future__ import annotations

import threading
from collections.abc import Callable

from coachwork.build import Build
from coachwork.workbench.answering import Answers, News


class Following:
    """The build that is answered, and how far the answers have come.

    build    : the latest; None until there is one
    version  : of the build
    answered : the version that the answers are of
    """

    def __init__(self, answers: Answers, tell: Callable[[News], None], *, quiet_s: float) -> None:
        self._answers, self._tell = answers, tell
        self._quiet_s = quiet_s  # without an edit, before what can be turned is looked for
        self._turn = threading.Condition()  # of the version; free while an edit is put on record, so that answers begin
        self.closed = threading.Event()
        self.build: Build | None = None
        self.version = 0
        self.answered = 0
        self._thread = threading.Thread(target=self._keep_answering, name="coachwork answers", daemon=True)

    def start(self) -> None:
        """Begin to answer."""
        self._thread.start()

    def close(self) -> None:
        """Stop, in the middle of an answer if need be."""
        self.closed.set()
        with self._turn:
            self._turn.notify_all()
        self._thread.join(timeout=5)

    def to(self, build: Build | None) -> None:
        """Answer another build from now on."""
        with self._turn:
            self.build = build
            self.version += 1
            self._turn.notify_all()

    def again(self) -> None:
        """Answer the same build once more."""
        with self._turn:
            self.version += 1
            self._turn.notify_all()

    def _keep_answering(self) -> None:
        while not self.closed.is_set():
            with self._turn:
                self._turn.wait_for(
                    lambda: self.closed.is_set() or (self.build is not None and self.answered != self.version)
                )
                if self.closed.is_set():
                    return
                build, version = self.build, self.version
            assert build is not None

            def unwanted(version: int = version) -> bool:
                return self.closed.is_set() or self.version != version

            if self._answers.work(build, unwanted):
                self.answered = version
                self._tell("answers")
                # Only once no edit has come for a while: the next one must not wait for it.
                with self._turn:
                    edited = self._turn.wait_for(unwanted, self._quiet_s)
                if not edited:
                    self._answers.find_levers(unwanted)
