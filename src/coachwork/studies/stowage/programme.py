"""The constraint programme: pairs of boxes are left of, right of, behind, ahead of, below or above one another.

One literal for each of the six, each of which implies its inequality, and a clause that one of them holds. What a plug
needs in front of it, a way out and a face in reach then are clauses over the same literals: the way to the rear is free
of a box that is beside, above, below or ahead. In our trial that proved what a no-overlap constraint alone took tens of
times longer for; `python -m benchmarks stowage` measures it.
"""

from __future__ import annotations

from coachwork.build.sections.boxes import Face
from coachwork.studies.stowage.costs import lead
from coachwork.studies.stowage.model import SIDES, Body, Boxed, Literal, Model
from coachwork.studies.stowage.problem import FAR, Problem
from coachwork.studies.stowage.standing import areas, stands
from coachwork.studies.stowage.ways import in_reach, ways


def programme(problem: Problem, *, assumed: bool = False, eased: str | None = None, most: int = 0) -> Model:
    """A problem with all its rules; what is wanted of a placement is still to be said."""
    model = Model(problem, assumed=assumed, eased=eased, most=most)
    boxes = list(model.boxes.values())
    for i, one in enumerate(boxes):
        for two in boxes[i + 1 :]:
            _pair(model, one, two, (), trusted=model.stays(one) and model.stays(two))
    for block, body in zip(problem.blocks, model.blocks, strict=True):
        for one in boxes:
            beside = _pair(model, one, body, (block.demand,), trusted=model.stays(one))
            if block.kind != "ceiling":  # what hangs over a box is the shell, not in the way of a hand or a pack
                ways(model, one, beside, (block.demand,), plate=block.name if block.kind == "plate" else None)
    for one in boxes:
        stands(model, one)
        in_reach(model, one)
    areas(model)
    model.lengths.update({tie.name: lead(model, tie) for tie in problem.ties})
    return model


def _pair(model: Model, one: Boxed, two: Body, demands: tuple[str, ...], *, trusted: bool) -> dict[Face, Literal]:
    """The second lies on one side of the first; with the gap, what plugs need, and least distances.

    trusted : both stay where they are, which is not questioned here (rounding alone might set them at odds)
    """
    owners = [f"carry {body.name}" for body in (one, two) if isinstance(body, Boxed)]
    aparts = [a for a in model.problem.aparts if {a.one, a.two} == {one.name, two.name}]
    beside: dict[Face, Literal] = {}
    for side, axis, sense in SIDES:
        near, far = (one.high[axis], two.low[axis]) if sense > 0 else (two.high[axis], one.low[axis])
        if (isinstance(near, int) and near >= FAR) or (isinstance(far, int) and far <= -FAR):
            continue  # it has no end there
        literal = model.cp.new_bool_var(f"{two.name} {side} of {one.name}")
        gap = -1 if trusted else 0 if axis == 2 or not isinstance(two, Boxed) else model.problem.gap
        model.when(near + gap <= far, [literal])
        for body, facing in ((one, side), (two, _OPPOSITE[side])):
            if facing in body.room:
                room = f"room {body.name}"
                model.when(near + body.room[facing] - model.more(room) <= far, [literal, *model.given(room, *demands)])
        for apart in aparts:
            demand = f"apart {apart.one} {apart.two}"
            model.when(near + apart.gap - model.more(demand) <= far, [literal, *model.given(demand, *demands)])
        beside[side] = literal
    for side in ("front", "left", "top"):
        if side in beside and _OPPOSITE[side] in beside:
            model.cp.add_at_most_one(beside[side], beside[_OPPOSITE[side]])
    if not trusted:
        model.clause(beside.values(), *owners, *demands)
    if isinstance(two, Boxed):
        one.beside[two.name] = beside
        two.beside[one.name] = {_OPPOSITE[side]: literal for side, literal in beside.items()}
    return beside


_OPPOSITE: dict[Face, Face] = {
    "front": "rear", "rear": "front", "left": "right", "right": "left", "top": "bottom", "bottom": "top",
}  # fmt: skip
