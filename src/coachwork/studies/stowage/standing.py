"""What a box stands on: a deck inside its outline and over its door, or a box that carries it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coachwork.studies.stowage.problem import Item, Problem, Surface

if TYPE_CHECKING:
    from coachwork.studies.stowage.model import Boxed, Literal, Model

_BESIDE = ("ahead", "behind", "left", "right")


def stands(model: Model, box: Boxed) -> None:
    """On a deck, inside its outline; or on a box that carries, wholly supported."""
    item, carry = box.item, f"carry {box.name}"
    if item.fixed is None or not _fixed_off_decks(item, model.problem):
        model.cp.add_exactly_one(box.on.values())
    else:
        return
    for surface in model.problem.surfaces:
        literal = box.on.get(surface.name)
        if literal is None:
            continue
        outline = f"outline {surface.name}"
        model.when(box.low[2] == surface.level, [literal, *model.given(carry)])
        for a, b, c in surface.edges if not model.stays(box) else ():
            x = box.high[0] if a > 0 else box.low[0]
            y = box.high[1] if b > 0 else box.low[1]
            size = round((a * a + b * b) ** 0.5)
            more = size * model.more(outline)
            model.when(a * x + b * y - more <= c, [literal, *model.given(carry, outline)])
            room = f"room {box.name}"
            x_room = box.room.get("front" if a > 0 else "rear", 0)
            y_room = box.room.get("left" if b > 0 else "right", 0)
            if not (isinstance(x_room, int) and isinstance(y_room, int)):
                asked = abs(a) * (x_room - model.more(room)) if not isinstance(x_room, int) and a else 0
                asked = asked + (abs(b) * (y_room - model.more(room)) if not isinstance(y_room, int) and b else 0)
                model.when(a * x + b * y + asked - more <= c, [literal, *model.given(carry, outline, room)])
        if not model.stays(box):
            _off_the_bays(model, box, surface, literal)
        _through_a_door(model, box, surface.doors, literal)
    for name, literal in box.on.items():
        below = model.boxes.get(name)
        if below is None:
            continue
        both = [literal, *model.given(carry, f"carry {name}")]
        model.when(box.low[2] == below.high[2], both)
        for a in range(2):
            model.when(box.low[a] >= below.low[a], both)
            model.when(box.high[a] <= below.high[a], both)


def _off_the_bays(model: Model, box: Boxed, surface: Surface, on: Literal) -> None:
    """Beside each rectangle that is no deck."""
    outline = f"outline {surface.name}"
    more = model.more(outline)
    for k, (x0, x1, y0, y1) in enumerate(surface.bays):
        beside = [model.cp.new_bool_var(f"{box.name} {side} of bay {k} of {surface.name}") for side in _BESIDE]
        model.when(box.low[0] + more >= x1, [beside[0]])
        model.when(box.high[0] - more <= x0, [beside[1]])
        model.when(box.low[1] + more >= y1, [beside[2]])
        model.when(box.high[1] - more <= y0, [beside[3]])
        held = [on, *model.given(f"carry {box.name}", outline)]
        model.cp.add_bool_or([*beside, *(literal.negated() for literal in held)])


def _through_a_door(model: Model, box: Boxed, doors: tuple[tuple[int, int, int, int], ...], on: Literal) -> None:
    if not (box.item.out and doors):
        return
    out = f"out {box.name}"
    choices = []
    for k, (x0, x1, y0, y1) in enumerate(doors):
        door = model.cp.new_bool_var(f"{box.name} by door {k}")
        more = model.more(out)
        model.when(box.low[0] + more >= x0, [door])
        model.when(box.high[0] - more <= x1, [door])
        model.when(box.low[1] + more >= y0, [door])
        model.when(box.high[1] - more <= y1, [door])
        choices.append(door)
    model.cp.add_bool_or([*choices, on.negated(), *(d.negated() for d in model.given(out, f"carry {box.name}"))])


def areas(model: Model) -> None:
    """Where all stand side by side on one deck: what lies across any line of it adds up to no more than its width.

    It follows from the rest, but lets the solver prove sooner that there is no room.
    """
    if model.demands or model.eased or len(model.problem.surfaces) != 1:
        return
    deck, boxes = model.problem.surfaces[0], list(model.boxes.values())
    if not deck.edges or any(box.item.surfaces != (deck.name,) for box in boxes):
        return
    gap = model.problem.gap
    for a in range(2):
        spans, sizes = [], []
        for box in boxes:
            for k, (pose, lit) in enumerate(zip(box.item.poses, box.poses, strict=True)):
                name = f"{box.name} pose {k} along {a}"
                spans.append(model.cp.new_optional_fixed_size_interval_var(
                    box.low[a], pose.size[a] + gap, lit, name
                ))  # fmt: skip
                sizes.append(pose.size[1 - a] + gap)
        across = deck.bounds[3 - 2 * a] - deck.bounds[2 - 2 * a] + gap
        model.cp.add_cumulative(spans, sizes, across)


def _fixed_off_decks(item: Item, problem: Problem) -> bool:
    """Whether it stays where no deck carries it, such as a motor on its mount."""
    return item.fixed is not None and not item.surfaces
