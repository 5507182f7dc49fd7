"""Walls, gaps and edges: the least of each on the solid, and where."""

from __future__ import annotations

from coachwork.studies.finding import Place, Told
from coachwork.studies.makeability.cures import edge_cure, screw_wall_cure, wall_cure
from coachwork.studies.makeability.result import Checked, Spot
from coachwork.studies.solids import Vector
from coachwork.studies.wording import COMMON_PRACTICE


def wall(spot: Spot, checked: Checked, it: str) -> Told:
    """The thinnest wall."""
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"{it} is {spot.value:.2f} mm thick {at_words(spot)}; {checked.process.name} needs {spot.limit:.1f} mm",
        "do": wall_cure(spot, checked) if spot.value < spot.limit else None,
        "where": where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def screw_wall(spot: Spot, checked: Checked, it: str) -> Told:
    """Material round a screw that cuts its thread."""
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"a screw that cuts its thread at {spot.name} has {spot.value:.2f} mm round it; it splits {it} there "
               f"under some {spot.limit:.1f} mm",
        "do": screw_wall_cure(spot, checked) if spot.value < spot.limit else None,
        "where": where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def edge(spot: Spot, checked: Checked, it: str) -> Told:
    """From a screw's axis to the part's edge."""
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.02,
        "unit": "hole diameters",
        "why": f"the hole {spot.name} lies {spot.value:.2f} of its diameters from {it}'s edge, axis to edge; under "
               f"{spot.limit:.1f} the edge tears out",
        "do": edge_cure(spot, checked) if spot.value < spot.limit else None,
        "where": where(checked, spot), "source": COMMON_PRACTICE,
    }  # fmt: skip


def gap(spot: Spot, checked: Checked, it: str) -> Told:
    """The narrowest slot."""
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"{it} has a gap of {spot.value:.2f} mm {at_words(spot)}; under {spot.limit:.1f} mm it grows shut in "
               f"{checked.process.name}",
        "do": f"widen it by {spot.limit - spot.value:.2f} mm, or close it" if spot.value < spot.limit else None,
        "where": where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def where(checked: Checked, spot: Spot) -> Place:
    """On the part."""
    return Place(part=checked.wanted.name, point_mm=spot.point_mm)


def at_words(spot: Spot) -> str:
    """Beside which hole, or where."""
    if spot.name:
        return f"beside the hole {spot.name}"
    if spot.point_mm is None:
        return "everywhere"
    return f"at {point_words(spot.point_mm)} mm"


def point_words(at: Vector) -> str:
    """As it is told."""
    return "x {:z.1f}, y {:z.1f}, z {:z.1f}".format(*at)
