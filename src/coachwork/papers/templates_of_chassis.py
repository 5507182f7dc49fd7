"""Templates seen from above, nose up the page: each deck to cut and drill, and the chassis with its posts and axles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from coachwork.build import Length
from coachwork.build.sections.decks import Deck, Decks, Patch
from coachwork.build.sections.envelopes import FIXED, Envelopes
from coachwork.build.sections.keep_outs import KeepOuts
from coachwork.geometry.vectors import Array
from coachwork.papers.pen import fitted, width_of
from coachwork.papers.stowage_drawing import HOLE, lugs
from coachwork.papers.subject import Subject
from coachwork.papers.template import TEXT_MM, Hole, Line, Mark, Part, Template
from coachwork.papers.told import called
from coachwork.studies.parts import attempt, is_missing
from coachwork.studies.stance.result import StanceResult
from coachwork.studies.stowage.outline import Outline
from coachwork.studies.stowage.placed import Placed
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.stowage.surroundings import outline_of

FROM_ABOVE = "Seen from above, nose up the page."
LEAST_MM = 1.9  # a name set smaller is not read at arm's length
UPRIGHT_MM = 0.5  # an axis that leans by less, end to end, is a post's


def deck_templates(of: Subject) -> Iterator[Template]:
    """One for each deck that has an outline."""
    result: StowageResult = of.result("stowage")
    placed = {name: part.at for name, part in result.air.items() if not is_missing(part)}
    for name, deck in of.build[Decks].each.items():
        outline = attempt(outline_of, name, of.build[Decks], result.tables.rims)
        if is_missing(outline):
            continue
        yield _deck(of, name, deck, outline, placed)


def _deck(of: Subject, name: str, deck: Deck, outline: Outline, placed: dict[str, Placed]) -> Template:
    low, high = outline.corners.min(axis=0), outline.corners.max(axis=0)
    rings = (outline.corners, *outline.holes)
    parts: list[Part] = [*(Line("CUT", _turned(ring), closed=True) for ring in rings), *_datum(low, high)]
    notes: list[str] = []
    for door, patch in deck.doors.items():
        if (corners := _rectangle(patch)) is not None:
            parts += [Line("CUT", _turned(corners), closed=True), _named(f"door {called(door)}", corners)]
            if any(a * x + b * y > c + 0.05 for a, b, c in outline.edges() for x, y in corners):
                notes.append(f"The door {called(door)} reaches beyond the deck's outline: look at its corners again.")
    numbers = iter(range(1, 1000))
    parts += [hole for hole in _posts(of, numbers) if low[0] <= hole.y <= high[0] and low[1] <= -hole.x <= high[1]]
    left_out: list[str] = []
    things: list[tuple[str, str, str, str]] = []
    for box_name, box in of.build_boxes().items():
        at = placed.get(box_name)
        if at is None:
            left_out.append(called(box_name))
        elif _stands_on(at, placed)[0] in (name, ""):
            fixed = of.box_is_fixed(box_name)
            held = "stays where it is" if fixed else "its door below" if box.comes_out else box.held_by
            label, mark = _label(at, f"b{len(things) + 1}", level=_stands_on(at, placed)[1])
            parts += [Line("PLACE", _turned(_corners(at)), closed=True), mark]
            if held == "tray":
                parts += [Hole(x=-y, y=x, diameter=HOLE, number=next(numbers),
                               what=f"{called(box_name)}: tray, screw M3") for x, y in lugs(at)]  # fmt: skip
            things.append((label, *_spans(of, at), held))
    if left_out:
        notes.append(f"No place yet, so not drawn: {', '.join(left_out)}.")
    return Template(name=f"deck-{name}", title=f"Deck {called(name)}", how=FROM_ABOVE, parts=tuple(parts),
                    notes=tuple(notes), things=tuple(things))  # fmt: skip


def _label(box: Placed, code: str, *, level: int) -> tuple[str, Mark]:
    """What a box is called in the list, and on the paper: its name where that has room, else its code.

    level : how many boxes it stands on, whose names are to stay free
    """
    name = called(box.name)
    (left, bottom), (right, top) = ((-box.high[0, 1], box.low[0, 0]), (-box.low[0, 1], box.high[0, 0]))
    wide, tall = float(right - left), float(top - bottom)
    turned = tall > wide and width_of(name, TEXT_MM) > wide - 2
    told, size = fitted(name, TEXT_MM, (tall if turned else wide) - 2, least=LEAST_MM)
    if told != name:
        told, size, turned = code, LEAST_MM, False
    down = 1.4 * TEXT_MM * level
    x, y = float(left + right) / 2, float(bottom + top) / 2
    at = (x + 0.35 * size + down, y) if turned else (x, y - 0.35 * size - down)
    label = name if told == name else f"{code}: {name}"
    return label, Mark(x=at[0], y=at[1], text=told, size=size, anchor="middle", turned=turned)


def _spans(of: Subject, box: Placed) -> tuple[str, str]:
    (x0, y0), (x1, y1) = box.low[0, :2], box.high[0, :2]
    along, across = (f"{of.units.length(float(a))} to {of.units.length(float(b))}" for a, b in ((x0, x1), (y0, y1)))
    return along, across


def chassis_template(of: Subject) -> Template | None:
    """Axles, centreline, decks and posts of the whole chassis; None where none of the last two is known."""
    stance: StanceResult = of.result("stance")
    stowage: StowageResult = of.result("stowage")
    rims = stowage.tables.rims
    outlines = {name: attempt(outline_of, name, of.build[Decks], rims) for name in of.build[Decks].each}
    known = {name: one.corners for name, one in outlines.items() if not is_missing(one)}
    numbers = iter(range(1, 1000))
    posts = list(_posts(of, numbers))
    if not known and not posts:
        return None
    parts: list[Part] = [*posts]
    for name, corners in known.items():
        parts.append(Line("PLACE", _turned(corners), closed=True))
        parts.append(_named(f"deck {called(name)}", corners))
    ends = [0.0]
    notes = []
    if is_missing(stance.wheelbase):
        notes.append("The rear axle line is missing: the wheelbase as changed is not known yet.")
    else:
        ends.append(-float(stance.wheelbase.axles_mm[0]))
    strokes = [(y, x) for part in parts if isinstance(part, Line) for x, y in part.points]
    points = np.array([*strokes, *((hole.y, hole.x) for hole in posts)])
    half = float(np.abs(points[:, 1]).max()) + 6
    for x, end in zip(ends, ("front", "rear"), strict=False):
        parts.append(Line("DATUM", ((-half, x), (half, x))))
        parts.append(Mark(x=-half + 1, y=x + 1.2, text=f"{end} axle line"))
    low, high = min([*ends, float(points[:, 0].min())]) - 6, max([*ends, float(points[:, 0].max())]) + 6
    parts.append(Line("DATUM", ((0.0, low), (0.0, high))))
    parts.append(Mark(x=-1.0, y=high - 22, text="centreline", turned=True))
    return Template(
        name="chassis", title="Chassis: axles and posts", how=FROM_ABOVE, parts=tuple(parts), notes=tuple(notes)
    )


def _turned(corners: Sequence[Sequence[float]] | Array) -> tuple[tuple[float, float], ...]:
    """(x forward, y left) as (right on the page, up the page)."""
    return tuple((-float(y), float(x)) for x, y in corners)


def _datum(low: Array, high: Array) -> Iterator[Part]:
    if low[1] < 0 < high[1]:
        yield Line("DATUM", ((0.0, float(low[0]) - 4), (0.0, float(high[0]) + 4)))
        yield Mark(x=0.8, y=float(low[0]) - 3.6, text="centreline")


def _rectangle(patch: Patch) -> list[tuple[float, float]] | None:
    edges: list[Length] = [patch.x_from, patch.x_to, patch.y_from, patch.y_to]
    if not all(edge.known for edge in edges):
        return None
    x0, x1, y0, y1 = (float(edge.mm[0]) for edge in edges)
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _named(text: str, corners: Sequence[Sequence[float]] | Array) -> Mark:
    """A name near a shape's rear edge, out of the way of what stands in the middle."""
    points = np.array(_turned(corners))
    (left, bottom), (right, _) = points.min(axis=0), points.max(axis=0)
    return Mark(x=float(left + right) / 2, y=float(bottom) + 1.4, text=text, anchor="middle")


def _posts(of: Subject, numbers: Iterator[int]) -> Iterator[Hole]:
    """Body posts and upright cylinders on the chassis: where each stands, and the hole for its screw."""
    for name, held in of.build[KeepOuts].each.items():
        corners = _rectangle(held)
        if held.what == "post" and corners is not None:
            (x0, y0), _, (x1, y1), _ = corners
            yield from _post(called(name), (x0 + x1) / 2, (y0 + y1) / 2, min(x1 - x0, y1 - y0), numbers)
    stance: StanceResult = of.result("stance")
    for name, part in of.build[Envelopes].each.items():
        if part.kind != "cylinder" or part.on not in FIXED or not (part.axis_from.known and part.axis_to.known):
            continue
        start, stop = part.axis_from.mm[0], part.axis_to.mm[0]
        if np.hypot(*(stop - start)[:2]) > UPRIGHT_MM or not part.diameter.known:
            continue
        x = float(start[0])
        if part.end == "rear":
            if is_missing(stance.wheelbase):
                continue
            x -= float(stance.wheelbase.axles_mm[0])
        for side in (1, -1) if part.mirrored else (1,):
            told = called(name) + (", other side" if side < 0 else "")
            yield from _post(told, x, side * float(start[1]), float(part.diameter.mm[0]), numbers)


def _post(what: str, x: float, y: float, across: float, numbers: Iterator[int]) -> Iterator[Hole]:
    yield Hole(x=-y, y=x, diameter=across, kind="PLACE", what=what)
    yield Hole(x=-y, y=x, diameter=HOLE, number=next(numbers),
               what=f"{what}: its screw, M3 (close fit of ISO 273)")  # fmt: skip


def _stands_on(box: Placed, placed: dict[str, Placed]) -> tuple[str, int]:
    """The deck it stands on, and how many boxes are in between."""
    seen: set[str] = set()
    while box.on in placed and box.on not in seen:
        seen.add(box.on)
        box = placed[box.on]
    return box.on, len(seen)


def _corners(box: Placed) -> list[tuple[float, float]]:
    (x0, y0), (x1, y1) = box.low[0, :2], box.high[0, :2]
    return [(float(x0), float(y0)), (float(x1), float(y0)), (float(x1), float(y1)), (float(x0), float(y1))]
