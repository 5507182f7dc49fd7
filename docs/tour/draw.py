"""Draws the README's curve from the demonstration build: `python docs/tour/draw.py [FOLDER]`."""

from __future__ import annotations

import sys
from pathlib import Path

from coachwork.build import read
from coachwork.papers.charts import svg
from coachwork.plan import Plan

HERE = Path(__file__).parent
BUILD = HERE.parents[1] / "examples" / "harbour-mail-van" / "as-found"
CURVE = "linkage.front.toe"


def main() -> None:
    """Front toe over travel, as bought and as changed: the bump steer that a raised ball stud brings."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    answer = Plan().run(read(BUILD), only=["linkage"])["linkage"]
    (chart,) = (chart for chart in answer.study.charts(answer.result) if chart.id == CURVE)
    (folder / f"{CURVE}.svg").write_text(svg(chart), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
