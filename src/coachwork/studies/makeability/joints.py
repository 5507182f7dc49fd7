"""Which screws there are when all parts are in their places, and what each holds together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.solids import Hole, PartSolid

PLACED = ("chassis", "battery-door", "post-", "bracket-", "front-arm-", "rear-arm-", "rear-carrier-")
"""How the names of parts begin that have a place on the chassis."""
OFF_MM = 0.3  # between the axes of two holes that one screw goes through
STACK_MM = 40.0  # and along them


def placed_parts(parts: Iterable[PartSolid]) -> list[PartSolid]:
    """Those that have a place on the chassis."""
    return [part for part in parts if part.name.startswith(PLACED)]


def screws(placed: Sequence[PartSolid]) -> Iterator[tuple[PartSolid, Hole]]:
    """Each screw by the hole that it goes in by: a thread that another part's clearance hole leads to is that one's."""
    clear = [(part.name, *on_chassis(part, hole)) for part in placed for hole in part.holes
             if hole.screw and hole.purpose == "clearance"]  # fmt: skip
    for part in placed:
        for hole in part.holes:
            if not hole.screw or hole.purpose not in ("clearance", "thread-forming"):
                continue
            at, axis = on_chassis(part, hole)
            led = hole.purpose == "thread-forming" and any(
                name != part.name and _in_line(start, way, at, axis) for name, start, way in clear
            )
            if not led:
                yield part, hole


def mates(part: PartSolid, hole: Hole, placed: Iterable[PartSolid]) -> frozenset[str]:
    """The other parts whose holes of the same thread the screw goes on into."""
    at, axis = on_chassis(part, hole)
    return frozenset(
        other.name for other in placed if other.name != part.name
        and any(end.screw == hole.screw and _in_line(at, axis, *on_chassis(other, end)) for end in other.holes)
    )  # fmt: skip


def on_chassis(part: PartSolid, hole: Hole) -> tuple[Numbers, Numbers]:
    """Entry and direction in the chassis frame, (3,) each."""
    pose = np.array(part.chassis_from_part[0])
    return pose[:3, :3] @ np.array(hole.centre_mm) + pose[:3, 3], pose[:3, :3] @ np.array(hole.axis)


def _in_line(at: Numbers, axis: Numbers, other: Numbers, way: Numbers) -> bool:
    rel = other - at
    along = float(rel @ axis)
    off = float(np.linalg.norm(rel - along * axis))
    return float(axis @ way) > 0.99 and off < OFF_MM and -1.0 < along < STACK_MM
