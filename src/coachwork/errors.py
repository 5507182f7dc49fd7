"""Everything that can go wrong outside the physics.

    CoachworkError
    ├── BuildRefused        the builder's file is wrong; holds every Fault found, not just the first
    ├── BuildMissing        there is no build file where one was expected
    ├── EditedElsewhere     the file changed between our reading and our writing; nothing was written
    ├── ScanRefused         a mesh file cannot be read, or holds nothing that could be a shell
    ├── Unsure              a mesh was read but not recognised; says what to give instead
    └── SolverGaveUp        a numerical method did not converge; says how far it got

Physics that says no is not an error: it is a verdict. A number that is not measured yet is not an error
either: see `coachwork.build.NotMeasured`, which a study's parts raise and the study turns into `unmeasured`.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path


class CoachworkError(Exception):
    """Anything the builder can be told in a sentence."""


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One thing wrong in a build file: where, what was read, what would be right."""

    key: str
    line: int | None
    read: str
    wanted: str

    def __str__(self) -> str:
        where = f"line {self.line}: " if self.line is not None else ""
        key = f"{self.key}: " if self.key else ""
        return f"{where}{key}{self.read}; {self.wanted}"


class BuildRefused(CoachworkError):
    """A build file with faults; all of them, in the order of the file."""

    def __init__(self, path: Path, faults: list[Fault]) -> None:
        self.path = path
        self.faults = sorted(faults, key=lambda fault: (fault.line or 0, fault.key))
        count = "1 thing" if len(faults) == 1 else f"{len(faults)} things"
        super().__init__("\n".join([f"{path}: {count} to put right", *(f"  {fault}" for fault in self.faults)]))


class BuildMissing(CoachworkError):
    """No build file at the place named."""


class EditedElsewhere(CoachworkError):
    """Somebody else wrote the file since we read it."""


class ScanRefused(CoachworkError):
    """A mesh file that cannot be read, or holds nothing that could be a shell."""


class Unsure(CoachworkError):
    """A mesh that was read, but not recognised; says what to give instead."""


class SolverGaveUp(CoachworkError):
    """A solver stopped short of its goal."""

    def __init__(self, what: str, *, residual: float, iterations: int, start: str) -> None:
        self.residual, self.iterations, self.start = residual, iterations, start
        super().__init__(f"{what}: residual {residual:.3g} after {iterations} iterations, started from {start}")
