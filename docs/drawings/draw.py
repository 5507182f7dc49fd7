"""Draws every drawing of the documentation: `python docs/drawings/draw.py` puts them beside this file.

With a folder as argument they go there; tests do that to see that the drawings kept are the ones drawn here.
"""

from __future__ import annotations

import sys
from pathlib import Path

import axle
import bench
import corner
import shell
import signs
import wheel
from pen import Draw

HERE = Path(__file__).parent
DRAWINGS: dict[str, Draw] = {
    "bench": bench.board,
    "shell-side": shell.side,
    "shell-end": shell.end,
    "wheel-section": wheel.section,
    "wheel-backspace": wheel.backspace,
    "corner-behind": corner.behind,
    "corner-above": corner.above,
    "two-arm-behind": corner.two_arm,
    "kingpin-line": bench.kingpin,
    "shaft-and-joint": bench.shaft_and_joint,
    "live-axle-above": axle.above,
    "live-axle-side": axle.side,
    "signs": signs.signs,
}


def main() -> None:
    """Write them all."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    folder.mkdir(parents=True, exist_ok=True)
    for name, draw in DRAWINGS.items():
        (folder / f"{name}.svg").write_text(draw().svg(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
