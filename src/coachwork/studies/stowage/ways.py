"""Faces that stay in reach and packs that come out: clauses over which side of a box everything else lies on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from coachwork.build.sections.boxes import Face

if TYPE_CHECKING:
    from coachwork.studies.stowage.model import Boxed, Literal, Model


def in_reach(model: Model, box: Boxed) -> None:
    for face in box.item.poses[0].sides:
        demand = f"reach {box.name} {face}"
        for surface in model.problem.surfaces:  # it looks to a side from which a hand gets in
            if (on := box.on.get(surface.name)) is not None:
                good = [
                    lit
                    for pose, lit in zip(box.item.poses, box.poses, strict=True)
                    if face in pose.sides and pose.sides[face] in surface.open_to
                ]
                negated = [d.negated() for d in model.given(demand, f"carry {box.name}")]
                model.cp.add_bool_or([*good, on.negated(), *negated])
    for other, beside in box.beside.items():
        ways(model, box, beside, (f"carry {other}",))


def ways(
    model: Model, box: Boxed, beside: Mapping[Face, Literal], demands: tuple[str, ...], *, plate: str | None = None
) -> None:
    """What lies elsewhere than on the side that a face looks to, or than below, is not in the way."""
    carry = f"carry {box.name}"
    for face in box.item.poses[0].sides:
        for pose, lit in zip(box.item.poses, box.poses, strict=True):
            if face in pose.sides:
                elsewhere = [held for side, held in beside.items() if side != pose.sides[face]]
                model.clause([*elsewhere, lit.negated()], f"reach {box.name} {face}", carry, *demands)
    if box.item.out:
        elsewhere = [held for side, held in beside.items() if side != "bottom"]
        if plate in box.on:  # its own deck: there it has a door
            elsewhere.append(box.on[plate])
        model.clause(elsewhere, f"out {box.name}", carry, *demands)
