"""The triangles of the made parts that stand still on the chassis, for what moves past them. No CAD is loaded."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np

from coachwork.build import Build
from coachwork.geometry.vectors import Array
from coachwork.plan.asked import asked_parts
from coachwork.plan.made import made_parts
from coachwork.studies.solids import SHELL, PartSolid, StandingParts

STANDING = ("chassis", "battery-door", "post-", "bracket-")
"""How the names of parts begin that stand still; arms move, housings sit in the shell, jigs are tools."""
_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])  # binary STL


def standing_parts(build: Build) -> StandingParts:
    """Of those that stand made as the build asks now; one whose file is gone is left out."""
    found = {}
    for name, part in asked_parts(build).made.items():
        if name.startswith(STANDING) and (triangles := _triangles(part)) is not None:
            found[name] = triangles
    here = {part.placed for part in asked_parts(build).made.values()}
    near = tuple(each for each in made_parts(build).near if each.other == SHELL and each.one_is in here)
    return StandingParts(triangles=found, near=near)


def _triangles(part: PartSolid) -> Array | None:
    """(n, 3 corners, 3) in the chassis frame, mm."""
    try:
        return _placed(Path(part.mesh), part.content, part.chassis_from_part[0])
    except (OSError, ValueError):
        return None


@lru_cache(maxsize=32)
def _placed(mesh: Path, content: str, pose: tuple[tuple[float, ...], ...]) -> Array:
    """The file's triangles; `content` is that of the solid it was made from, so that another solid is read anew."""
    raw = mesh.read_bytes()
    count = int.from_bytes(raw[80:84], "little")
    corners = np.frombuffer(raw, dtype=_FACET, count=count, offset=84)["corners"].astype(float)
    rows = np.array(pose)
    placed = np.asarray(corners @ rows[:3, :3].T + rows[:3, 3])
    placed.setflags(write=False)
    return placed
