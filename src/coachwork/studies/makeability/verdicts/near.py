"""Made parts against each other and against the boxes: the nearest two, and where."""

from __future__ import annotations

from collections.abc import Sequence

from coachwork.studies.finding import Place, Told
from coachwork.studies.makeability.verdicts.spots import point_words
from coachwork.studies.solids import Nearby
from coachwork.studies.wording import called

GEOMETRY = "geometry: two bodies cannot be in one place"
MOST_NAMED = 3


def nearest(near: Sequence[Nearby]) -> Told:
    """The pair that comes nearest or overlaps most, and the others that overlap."""
    worst = near[0]
    return {
        "value": worst.apart_mm, "limit": 0.0, "sense": "at least", "tight_within": 0.0, "unit": "mm",
        "why": _why(worst) + _others(near[1:]),
        "do": (f"move one of the two {-worst.apart_mm:.1f} mm away from the other, or cut it back there"
               if worst.apart_mm < 0 else None),
        "where": Place(part=worst.one, point_mm=worst.at_mm), "source": GEOMETRY,
    }  # fmt: skip


def _why(near: Nearby) -> str:
    one, other = f"the {called(near.one)}", f"the {called(near.other.removeprefix('box '))}"
    if near.at_mm is None:
        return f"nothing comes nearer than {near.apart_mm:.0f} mm"
    at = point_words(near.at_mm)
    if near.apart_mm < 0:
        return f"{one} and {other} overlap at {at}: the deepest point lies {-near.apart_mm:.2f} mm inside"
    if near.apart_mm == 0:
        return f"{one} and {other} touch at {at}, and nothing overlaps"
    return f"{one} comes nearest to {other}, at {at}"


def _others(near: Sequence[Nearby]) -> str:
    also = [each for each in near if each.apart_mm < 0]
    if not also:
        return ""
    named = "; ".join(f"{called(each.one)} and {called(each.other.removeprefix('box '))}, by {-each.apart_mm:.2f} mm"
                      for each in also[:MOST_NAMED])  # fmt: skip
    return f". Overlapping too: {named}" + (f"; and {len(also) - MOST_NAMED} more" if len(also) > MOST_NAMED else "")
