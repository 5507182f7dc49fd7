"""What the pages quote from the commands is what the commands print, on the demonstration builds, 80 columns wide."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from coachwork.cli.demo import make_scans

ROOT = Path(__file__).parents[2]
QUOTED = re.compile(
    r"<!-- run: coachwork (?P<command>[^>]*) -->\n```text\n(?P<text>.*?)^```$", re.DOTALL | re.MULTILINE
)
SCANNED = ROOT / "docs" / "scans.md"
WRITTEN = [ROOT / "docs" / f"{name}.md" for name in ("verdicts", "radio", "wiring", "power")]
PAGES = [ROOT / "README.md", SCANNED, *WRITTEN]


def coachwork(command, folder):
    """What a command prints, as a builder would see it in an 80 column terminal."""
    environment = {**os.environ, "COLUMNS": "80", "LC_ALL": "C.UTF-8", "PYTHONUTF8": "1"}
    done = subprocess.run(
        [sys.executable, "-m", "coachwork", *shlex.split(command)],
        cwd=folder,
        env=environment,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr
    return done.stdout


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_quoted_lines_are_printed_in_that_order(page, tmp_path):
    """A line of dots stands for lines left out; the commands run one after the other, as a reader would run them."""
    quotes = list(QUOTED.finditer(page.read_text(encoding="utf-8")))
    assert quotes
    shutil.copytree(ROOT / "examples" / "harbour-mail-van", tmp_path / "demo")  # what `make demo` copies out
    if page == SCANNED:
        make_scans(tmp_path / "demo")  # and what it makes besides
    for quote in quotes:
        printed = coachwork(quote["command"], tmp_path)
        at = 0
        for piece in re.split(r"^\.\.\.\n", quote["text"], flags=re.MULTILINE):
            found = printed.find(piece, at)
            assert found >= 0, f"coachwork {quote['command']} no longer prints:\n{piece}"
            at = found + len(piece)
