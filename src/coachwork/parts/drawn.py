"""What a drawing function gives: the solid, and its features that have names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from coachwork.errors import CoachworkError
from coachwork.studies.solids import IN_PLACE, Hole, Latch, Pad


class PartRefused(CoachworkError):
    """A spec that makes no sound solid; says which measure is to blame as far as can be told."""


@dataclass(frozen=True, eq=False, kw_only=True)
class DrawnPart:
    """A solid of the CAD kernel in the part's own frame, mm."""

    shape: Any
    holes: tuple[Hole, ...] = ()
    pads: tuple[Pad, ...] = ()
    latches: tuple[Latch, ...] = ()
    chassis_from_part: tuple[tuple[tuple[float, ...], ...], ...] = (IN_PLACE,)


def sound(part: DrawnPart, name: str) -> DrawnPart:
    """The part, if it is one valid solid. Raises PartRefused."""
    solids = part.shape.solids()
    if not solids:
        raise PartRefused(f"{name}: nothing is left of it; its cut-outs take all of it away")
    if len(solids) > 1:
        sizes = sorted((solid.volume for solid in solids), reverse=True)
        lost = [solid for solid in solids if solid.volume < sizes[0]]
        at = ", ".join(f"({c.X:.0f}, {c.Y:.0f}, {c.Z:.0f})" for c in (s.center() for s in lost[:3]))
        raise PartRefused(
            f"{name}: it falls into {len(solids)} pieces; what hangs on nothing lies round {at}. Move what cuts it off "
            "(a cut-out, the bay, a well), or make the floor wider there"
        )
    if not part.shape.is_valid:
        raise PartRefused(f"{name}: the CAD kernel makes no valid solid of these measures; change the one made last")
    if solids[0].volume <= 0:
        raise PartRefused(f"{name}: it has no volume")
    return part
