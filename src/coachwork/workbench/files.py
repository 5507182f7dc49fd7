"""Files of a build's folder that the page may hand out or take in, and none beside it."""

from __future__ import annotations

import re
from pathlib import Path

from coachwork.build import FILE_NAME
from coachwork.confidence.json_form import Json
from coachwork.errors import CoachworkError
from coachwork.papers.filing import LIST
from coachwork.studies.solids import MADE_FILE

MOST = 500  # listed
SCANS = (".stl", ".obj", ".ply", ".glb", ".3mf", ".step", ".stp")
OWN = (FILE_NAME, LIST, MADE_FILE)  # the page shows the one, and the others are of no use to the builder
_NAME = re.compile(r"[\w][\w .()+-]{0,120}", re.ASCII)


def listed(folder: Path) -> list[Json]:
    """What there is to download: all but the build file, our own lists, hidden files and what is being written."""
    found: list[Json] = []
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        if any(part.startswith(".") for part in inside.parts) or path.suffix == ".part" or path.name in OWN:
            continue
        if path.is_file() and inside_of(folder, inside.as_posix()) is not None:
            found.append({"path": inside.as_posix(), "bytes": path.stat().st_size})
            if len(found) == MOST:
                break
    return found


def inside_of(folder: Path, named: str) -> Path | None:
    """A file of the folder by its name in it; None for one that is outside, hidden, or not there.

    Links are followed first: one that leads out of the folder leads to nothing.
    """
    if "\0" in named or "\\" in named or any(part.startswith(".") for part in named.split("/")):
        return None
    home = folder.resolve()
    path = (home / named).resolve()
    return path if path.is_relative_to(home) and path.is_file() else None


def place_for(folder: Path, name: str) -> Path:
    """Where a scan of this name goes. Raises CoachworkError for a name that is no plain file name of a scan."""
    if not _NAME.fullmatch(name) or Path(name).name != name:
        raise CoachworkError("a scan's file name is letters, digits, spaces, dots and dashes")
    if Path(name).suffix.lower() not in SCANS:
        raise CoachworkError(f"{name}: a scan is one of {', '.join(SCANS)}")
    path = folder / name
    if path.exists():
        raise CoachworkError(f"{name} is in the folder already; give the scan another name")
    return path
