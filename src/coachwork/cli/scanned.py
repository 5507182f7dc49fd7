"""A scan that was looked at: what was asked of it and what was found, for the page and for the build file."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from coachwork.build import Build
from coachwork.scans.hints import Hints

if TYPE_CHECKING:
    from coachwork.scans.ceiling import Ceiling
    from coachwork.scans.found import FoundShell
    from coachwork.scans.units import Unit
    from coachwork.scans.walls import Wall


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What is to be measured, and what is known before.

    marks : landmarks typed with the command, (3,) each, beside those of the build
    """

    path: Path
    build: Build | None
    hints: Hints
    unit: str | None
    marks: dict[str, np.ndarray]


@dataclass(frozen=True, kw_only=True, eq=False)
class Scan:
    """All that was found."""

    unit: Unit
    triangles: int
    found: FoundShell
    wall: Wall | None
    ceiling: Ceiling
    scanner_mm: float
