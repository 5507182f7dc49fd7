"""Draws the README's wiring from the demonstration build: `python docs/tour/draw_wiring.py [FOLDER]`."""

from __future__ import annotations

import sys
from pathlib import Path

from coachwork.build import read
from coachwork.confidence import examine
from coachwork.papers.sheet import Figure
from coachwork.papers.subject import Subject
from coachwork.papers.wiring_sheet import wiring_sheet

HERE = Path(__file__).parent
BUILD = HERE.parents[1] / "examples" / "harbour-mail-van" / "as-finished"


def main() -> None:
    """The first page of the finished van's wiring sheet."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    sheet = wiring_sheet(Subject(report=examine(read(BUILD), only=["wiring"])))
    first = next(block for block in sheet.blocks if isinstance(block, Figure))
    (folder / "wiring.svg").write_text(first.svg, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
