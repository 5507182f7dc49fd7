"""The finished van's parts: time of each, drawn, written and measured; and of a run in which nothing changed.

The baseline of the second run is the first. The CAD's own start, some seconds of loading, is in the first run's sum and
not in the parts' times.
"""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from coachwork.build import read
from coachwork.parts.making import make_all
from coachwork.studies.makeability.specs.every import every_part
from coachwork.studies.makeability.specs.tables import PartTables

VAN = Path(__file__).parents[1] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"


def rows() -> Iterator[str]:
    """One line a part, then both runs and their ratio."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(VAN, folder)
        build = read(Path(folder))
        wanted = every_part(PartTables.of(build))
        start = time.perf_counter()
        first = make_all(build, wanted, tell=lambda *_: None)
        took = time.perf_counter() - start
        for name, seconds in first.seconds.items():
            yield f"{name:24} {seconds:6.1f} s"
        again = []
        for _ in range(3):
            start = time.perf_counter()
            make_all(build, wanted, tell=lambda *_: None)
            again.append(time.perf_counter() - start)
        best = min(again)
        yield f"all parts {took:.1f} s, again with nothing changed {1000 * best:.0f} ms: {took / best:.0f} x"
