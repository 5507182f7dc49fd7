"""What a placement costs: its leads, and the weight where it is not wanted."""

from __future__ import annotations

from math import ceil, floor, isfinite
from typing import TYPE_CHECKING, Any

from coachwork.studies.stowage.problem import FINE, SCALE, Problem, Tie

if TYPE_CHECKING:
    from coachwork.studies.stowage.bound import Bound
    from coachwork.studies.stowage.model import Model


WIDE = 4_000  # steps between any two exits


def lead(model: Model, tie: Tie) -> Any:
    """How far the lead goes, along and across and up, in parts of a step."""
    ends = [_exit(model, *end) for end in (tie.begins, tie.ends)]
    parts = []
    for a in range(3):
        part = model.cp.new_int_var(0, FINE * WIDE, f"{tie.name} along {a}")
        model.cp.add(part >= ends[0][a] - ends[1][a])
        model.cp.add(part >= ends[1][a] - ends[0][a])
        parts.append(part)
    length = sum(parts)
    if tie.most is not None:
        demand = f"lead {tie.name}"
        owners = (f"carry {tie.begins[0]}", f"carry {tie.ends[0]}")
        model.say(length - FINE * model.more(demand) <= tie.most, demand, *owners)
    return length


def _exit(model: Model, name: str, exit: str) -> tuple[Any, Any, Any]:
    box = model.boxes[name]
    offsets = [sum(p.exits[exit][a] * lit for p, lit in zip(box.item.poses, box.poses, strict=True)) for a in range(3)]
    return FINE * box.low[0] + offsets[0], FINE * box.low[1] + offsets[1], FINE * box.low[2] + offsets[2]


def want_good(model: Model, known: Bound) -> None:
    """Short leads, the weight where it is wanted; `known` is what no placement costs less than."""
    whole = _cost(model)
    _no_less(model, whole, known)
    model.cp.minimize(whole)


def _cost(model: Model) -> Any:
    """In 1 / SCALE of a step of lead."""
    whole = sum(SCALE // FINE * tie.weight * model.lengths[tie.name] for tie in model.problem.ties)
    for k, pull in enumerate(model.problem.pulls):
        a = pull.axis
        moment = pull.rest + sum(box.item.mass_g * (box.low[a] + box.high[a]) for box in model.boxes.values())
        size = model.cp.new_int_var(0, 2**40, f"moment {k}")
        model.cp.add(size >= moment)
        model.cp.add(size >= -moment)
        whole = whole + pull.worth * size
    return whole


def _no_less(model: Model, whole: Any, known: Bound) -> None:
    """Tell the solver what is known of the cost; it would not find that out by itself."""
    if known.cost is not None and known.cost > 0:
        model.cp.add(whole >= ceil(known.cost - 1e-3))
    for name, least in known.leads.items():
        box = model.boxes[name]
        for lit, own in zip(box.poses, least, strict=True):
            if not isfinite(own):
                model.cp.add(lit == 0)
        ties = [tie for tie in model.problem.ties if _to_what_stays(model.problem, name, tie)]
        if ties:
            leads = sum(SCALE // FINE * tie.weight * model.lengths[tie.name] for tie in ties)
            sure = [(floor(own), lit) for lit, own in zip(box.poses, least, strict=True) if isfinite(own)]
            model.cp.add(leads >= sum(own * lit for own, lit in sure))


def _to_what_stays(problem: Problem, name: str, tie: Tie) -> bool:
    others = [end[0] for end in (tie.begins, tie.ends) if end[0] != name]
    return len(others) == 1 and problem.item(others[0]).fixed is not None
