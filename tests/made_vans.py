"""The demonstration vans with their parts made, once for all workers of a test run: the CAD takes a minute for them."""

from __future__ import annotations

import shutil
import time
from pathlib import Path

from coachwork.build import read
from coachwork.parts.making import Outcome, make_all
from coachwork.studies.makeability.specs.every import every_part
from coachwork.studies.makeability.specs.tables import PartTables

VANS = Path(__file__).parents[1] / "examples" / "harbour-mail-van"


def made(folder: Path, names: tuple[str, ...] = ()) -> Outcome:
    """The parts of a build, or those named."""
    build = read(folder)
    wanted = [each for each in every_part(PartTables.of(build)) if not names or each.name in names]
    return make_all(build, wanted, tell=lambda _, __: None)


def made_once(shared: Path, state: str) -> Path:
    """The folder of a van, its parts made: whichever worker asks first makes them, the others wait."""
    folder, lock = shared / f"van-{state}", shared / f"van-{state}.lock"
    try:
        lock.mkdir()
    except FileExistsError:
        for _ in range(3000):
            if (lock / "done").exists():
                return folder
            time.sleep(0.2)
        raise TimeoutError(f"{folder} is not made by now") from None
    shutil.copytree(VANS / state, folder, ignore=shutil.ignore_patterns(".coachwork", "parts", "shell.stl"))
    outcome = made(folder, () if state == "as-finished" else ("chassis", "battery-door"))
    assert outcome.refused == {}
    (lock / "done").touch()
    return folder
