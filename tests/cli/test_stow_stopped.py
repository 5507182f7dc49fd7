"""Ctrl-C during a long search: what was found by then is kept, told with its gap, and drawn."""

import os
import signal
import subprocess
import sys

import pytest

from coachwork.cli import main
from coachwork.studies.stowage.solve import Undecided

LONG_S = 90  # the search would take longer by itself; a solver that hears no signal is what this bounds

DECK = """\
[decks.main]
height = 3
thickness = 2
outline.a = { x = 0, y = -60 }
outline.b = { x = 170, y = -60 }
outline.c = { x = 170, y = 60 }
outline.d = { x = 0, y = 60 }
[boxes.hub]
length = 30
width = 20
height = 10
mass = 20
exits.e = { face = "front", room = 0 }
"""


def one_of_many(k: int) -> str:
    return (
        f"[boxes.b{k}]\nlength = {20 + 7 * k % 23}\nwidth = {14 + 5 * k % 17}\nheight = 10\nmass = {5 + 11 * k % 60}\n"
        'exits.e = { face = "front", room = 0 }\nleads.l = { to = "hub", length = 300 }\n'
    )


@pytest.fixture
def hard(tmp_path):
    """Too many boxes that all want to be near one to be proven best."""
    (tmp_path / "build.toml").write_text(DECK + "".join(map(one_of_many, range(13))), encoding="utf-8")
    return tmp_path


def test_ctrl_c_keeps_the_best_so_far(hard):
    """Sent while the solver itself runs, which hears no signal: minutes before it would be done."""
    running = subprocess.Popen(
        [sys.executable, "-m", "coachwork", "stow", str(hard), "--effort", "2"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
        env={**os.environ, "COACHWORK_PROGRESS": "json"},
    )  # fmt: skip
    try:
        assert running.stderr is not None
        for line in running.stderr:
            if "how good it can be" in line:  # after that one strategy looks for long, and tells only what is better
                break
        running.send_signal(signal.SIGINT)
        told, _ = running.communicate(timeout=LONG_S)
    finally:
        running.kill()

    assert running.returncode == 0, "a place for every box was found"
    assert "Stopped; this is the best so far." in told
    assert "A place for each of 14 boxes: within" in told
    assert (hard / "stowage" / "main.svg").is_file()


def test_stopped_before_anything_was_found(hard, monkeypatch, capsys):
    def look(problem, limits, watch):
        signal.raise_signal(signal.SIGINT)
        assert watch.cancelled()
        return Undecided("stopped")

    monkeypatch.setattr("coachwork.cli.stow.look", look)

    assert main(["stow", str(hard)]) == 130
    assert "Stopped before anything was found." in capsys.readouterr().out
