"""Draws the scanned shell of the page on scans: `python docs/tour/draw_shell.py [FOLDER]`."""

from __future__ import annotations

import importlib.util
import sys
import tempfile
from pathlib import Path
from types import ModuleType

from coachwork.papers.shell_drawing import draw
from coachwork.scans.ceiling import ceiling_over
from coachwork.scans.hints import Hints
from coachwork.scans.loading import measured, opened

HERE = Path(__file__).parent
SCRIPT = HERE.parents[1] / "examples" / "harbour-mail-van" / "make_shell.py"


def main() -> None:
    """The van as found, found in its scan."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else HERE
    script = _script()
    made = script.make(script.AS_FOUND)
    hints = Hints(length_mm=448.0, front_overhang_mm=82.0, rear_overhang_mm=94.0)
    with tempfile.TemporaryDirectory() as elsewhere:
        file = Path(elsewhere) / "shell.stl"
        script.write_stl(file, made.vertices, made.faces)
        found = measured(opened(file, hints, unit=None), hints)
    draw(found, ceiling_over(found.mesh), folder / "shell.svg")


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_shell", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_shell"] = module  # dataclasses look their module up by name
    spec.loader.exec_module(module)
    return module


if __name__ == "__main__":
    main()
