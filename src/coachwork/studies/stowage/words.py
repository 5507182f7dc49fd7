"""Demands and ways out of a clash, in the builder's words."""

from __future__ import annotations

import math

from coachwork.studies.stowage.solve import Clash, Way
from coachwork.studies.wording import called

EXTENSIONS_MM = (50, 100, 150, 200, 300, 500, 1000)  # as servo extension leads are sold; common practice, no source
MOST_CURES = 4  # told in one sentence; the rest would not be read


def demand_words(demand: str) -> str:
    """What a demand demands.

    >>> demand_words("reach switch top")
    'the top of the switch stays in reach'
    """
    kind, _, rest = demand.partition(" ")
    parts = [called(part) for part in rest.split(" ")]
    return {
        "carry": f"the {parts[0]} is aboard",
        "stand": f"the {parts[0]} stands on the faces it is meant to",
        "keep": f"the {parts[0]} stays where it is",
        "keep-out": f"the space of {parts[0]} stays free",
        "ceiling": f"nothing reaches the ceiling {parts[0]}",
        "plate": f"the deck {parts[0]} is there",
        "part": f"the {parts[0]} stays where it is",
        "sweep": f"the {parts[0]} has the room that it sweeps",
        "outline": f"nothing sticks out over the rim of {parts[0]}",
        "lead": f"the lead {parts[0]} reaches",
        "room": f"the plugs of the {parts[0]} have room",
        "reach": f"the {parts[-1]} of the {parts[0]} stays in reach",
        "out": f"the {parts[0]} comes out downwards",
        "apart": f"the {parts[0]} and {parts[-1]} keep apart",
    }[kind]


def way_words(way: Way, step_mm: float) -> str | None:
    """What would have to change, and by how much; None where that is no cure.

    >>> way_words(Way(demand="ceiling roof", extra=2), 0.5)
    'raise the ceiling roof by 1 mm'
    >>> way_words(Way(demand="keep-out mid-post", extra=11, towards=("right",)), 1.0)
    'move mid post 11 mm to the right'
    """
    kind, _, rest = way.demand.partition(" ")
    parts = [called(part) for part in rest.split(" ")]
    if way.extra is None:
        return {
            "carry": f"leave the {parts[0]} out",
            "stand": f"stand the {parts[0]} on another face",
            "out": f"take the {parts[0]} out another way",
            "reach": f"do without reaching the {parts[-1]} of the {parts[0]}",
        }.get(kind)
    by = f"{way.extra * step_mm:g} mm"
    moved = f"{by} {_TOWARDS[way.towards]}" if way.towards in _TOWARDS else f"by {by}"
    return {
        "keep": f"move the {parts[0]} {moved}",
        "keep-out": f"move {parts[0]} {moved}",
        "part": f"move the {parts[0]} {moved}",
        "ceiling": f"raise the ceiling {parts[0]} by {by}",
        "outline": f"make the deck {parts[0]} {by} larger all round",
        "lead": f"make the lead {parts[0]} {by} longer",
        "room": f"use plugs on the {parts[0]} that need {by} less",
        "out": f"make the door for the {parts[0]} {by} larger all round",
        "apart": f"let the {parts[0]} come {by} nearer to {parts[-1]}",
    }.get(kind)


_TOWARDS = {
    ("forward",): "forward", ("back",): "back", ("left",): "to the left", ("right",): "to the right",
    ("forward", "left"): "forward and left", ("forward", "right"): "forward and right",
    ("back", "left"): "back and left", ("back", "right"): "back and right",
}  # fmt: skip

# Which cures cost least, as a builder sees it: our order.
_CHEAP = ("lead", "stand", "apart", "keep-out", "part", "keep", "out", "room", "ceiling", "outline", "reach", "carry")


def cheapest_first(clash: Clash) -> list[Way]:
    """The ways out of a clash, those that cost a builder least first."""
    kinds = {kind: k for k, kind in enumerate(_CHEAP)}
    return sorted(clash.ways, key=lambda way: kinds.get(way.demand.partition(" ")[0], len(kinds)))


def cure(clash: Clash, step_mm: float) -> str | None:
    """The changes of which any one alone is enough."""
    told = [words for way in cheapest_first(clash) if (words := way_words(way, step_mm))]
    if not told:
        return None
    few = told[:MOST_CURES]
    return few[0] if len(few) == 1 else f"any one of these alone: {'; '.join(few)}"


def clash_words(clash: Clash) -> str:
    """The demands of a clash in one sentence."""
    words = [demand_words(demand) for demand in clash.demands]
    end = "" if clash.proven else " (there may be fewer: time ran out)"
    if len(words) == 1:
        return f"this cannot be: {words[0]}{end}"
    return f"these cannot hold together: {', '.join(words[:-1])} and {words[-1]}{end}"


def extension_mm(short_mm: float) -> int:
    """The shortest extension lead sold that makes up for it.

    >>> extension_mm(62.0)
    100
    """
    return next((each for each in EXTENSIONS_MM if each >= short_mm), math.ceil(short_mm / 100) * 100)
