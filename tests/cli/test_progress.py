"""A word on a slow run goes to a terminal only, and is gone again when the run is over."""

from __future__ import annotations

import io
import threading

import pytest

from coachwork.cli.progress import Progress


class Stream(io.StringIO):
    """Notes when something is written; a terminal or not."""

    def __init__(self, *, terminal: bool) -> None:
        super().__init__()
        self.terminal = terminal
        self.written = threading.Event()

    def isatty(self) -> bool:
        return self.terminal

    def write(self, text: str) -> int:
        self.written.set()
        return super().write(text)


def test_a_slow_run_names_the_study_and_takes_the_word_back():
    stream = Stream(terminal=True)
    with Progress(stream, patience_s=0.0) as progress:
        progress("likeness", 0, 3)
        assert stream.written.wait(30)
        progress("linkage", 2, 3)

    shown = stream.getvalue()
    assert "computing linkage (3 of 3)" in shown
    assert shown.endswith("\r\x1b[K")


def test_a_study_that_tells_how_far_it_is_is_heard_until_the_next_begins():
    stream = Stream(terminal=True)
    with Progress(stream, patience_s=0.0) as progress:
        progress("radio", 0, 2)
        assert stream.written.wait(30)
        progress.tell("20,000 states")
        progress("stance", 1, 2)

    shown = stream.getvalue().split("\r\x1b[K")
    assert "computing radio (1 of 2): 20,000 states" in shown
    assert "computing stance (2 of 2)" in shown


@pytest.mark.parametrize(("terminal", "patience_s"), [(True, 3600.0), (False, 0.0)])
def test_a_quick_run_or_a_pipe_gets_no_word(terminal, patience_s):
    stream = Stream(terminal=terminal)
    with Progress(stream, patience_s=patience_s) as progress:
        progress("likeness", 0, 3)
        stream.written.wait(0.05)
    assert stream.getvalue() == ""


def test_a_run_that_is_stopped_leaves_no_word_behind():
    stream = Stream(terminal=True)

    def stopped() -> None:
        with Progress(stream, patience_s=0.0) as progress:
            progress("likeness", 0, 3)
            assert stream.written.wait(30)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert stream.getvalue().endswith("\r\x1b[K")
