"""Where work can hurt somebody the sheet says so, and defers to local rules; the run log asks what `log` takes."""

from __future__ import annotations

import pytest

from coachwork.build.run_log import run_keys
from coachwork.papers.binder import PAPERS
from coachwork.papers.run_log_sheet import run_log_sheet
from coachwork.papers.sheet import Caution, Table, WriteIn
from coachwork.papers.subject import Subject

DANGERS = {
    "measuring-sheet": ("Lithium",),
    "report": ("Lithium", "dust", "running speed", "Wheels off the ground", "local rules"),
    "templates": ("Knives", "dust"),
    "cut-list": ("Knives", "Soldering"),
    "shopping-list": ("Lithium", "local rules"),
    "wiring-sheet": ("Lithium", "Soldering", "local rules"),
    "channel-card": ("failsafe", "local rules"),
    "set-up-sheet": ("Wheels off the ground", "Springs"),
    "build-order": ("Lithium", "dust", "Solvents", "Thread-lock"),
    "run-log": ("running speed", "Local rules", "swollen"),
}


@pytest.mark.parametrize(("name", "words"), DANGERS.items())
def test_a_paper_names_what_may_hurt(name: str, words: tuple[str, ...], as_found: Subject) -> None:
    told = " ".join(block.text for block in PAPERS[name](as_found).blocks if isinstance(block, Caution))

    for word in words:
        assert word in told


def test_only_the_index_of_assumptions_hurts_nobody() -> None:
    assert PAPERS.keys() - DANGERS.keys() == {"assumptions"}


def test_the_run_log_asks_for_every_key_that_the_command_takes(five: Subject) -> None:
    (table,) = [block for block in run_log_sheet(five).blocks if isinstance(block, Table)]

    assert tuple(row[0] for row in table.rows) == run_keys()
    assert all(isinstance(cell, WriteIn) for row in table.rows for cell in row[2:])
