"""Plan and elevation of each deck at 1:1 as SVG, with dimensions from its rear and right edges.

SVG: W3C SVG 1.1, lengths in mm. Plan: x to the right, y up the page, so that the vehicle looks to the right and its
left side is above. Elevation below it, seen from the right side. Dimensions are ordinates: every edge of a box is given
from the datum edges, so that no error adds up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.decks import Deck
from coachwork.papers.strokes import LETTER, SMALL, TEXT, Sheet, stroke
from coachwork.studies.parts import is_missing
from coachwork.studies.stowage.leads import exit_of
from coachwork.studies.stowage.outline import Outline, Rectangle
from coachwork.studies.stowage.placed import Placed, Thing
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.stowage.surroundings import ceiling, keep_out, outline_of
from coachwork.studies.stowage.tables import Tables
from coachwork.studies.wording import called

FREE = 16.0  # mm between views
TRAY_RIM, TRAY_LUG, HOLE = 1.6, 5.0, 3.2  # mm: wall, lug's middle from the box, and hole for an M3 screw (ISO 273)
CUT_OFF = 25.0  # how much of what has no end is drawn beyond the tallest box
_COLOURS = {"box": "#dbe9f6", "fixed": "#e4e4e4", "keep-out": "url(#hatch)", "ceiling": "none"}


def drawings(result: StowageResult, *, title: str) -> Iterator[tuple[str, str]]:
    """(name, SVG) of each deck that boxes stand on, directly or on one another. Boxes without a place are left out."""
    placed = {name: part.at for name, part in result.air.items() if not is_missing(part)}
    for name, deck in result.tables.decks.each.items():
        on_it = [box for box in placed.values() if _deck_of(box, placed) in (name, "")]
        if any(_deck_of(box, placed) == name for box in on_it):
            yield name, _drawing(name, deck, on_it, result, title)


def _deck_of(box: Placed, placed: dict[str, Placed]) -> str:
    seen = set()
    while box.on in placed and box.on not in seen:
        seen.add(box.on)
        box = placed[box.on]
    return box.on


def _drawing(name: str, deck: Deck, boxes: list[Placed], result: StowageResult, title: str) -> str:
    tables, sheet = result.tables, Sheet()
    outline = outline_of(name, tables.decks, tables.rims)
    level = float(deck.height.mm[0])
    tallest = max(float(box.high[0, 2]) for box in boxes)
    around = [*_things(tables)]
    x0, x1, y0, y1 = outline.bounds
    top = tallest + CUT_OFF
    ends = np.array([[x0 - FREE, y0 - FREE, level - CUT_OFF], [x1 + FREE, y1 + FREE, top]])
    around = [_beside(thing, outline.bounds) for thing in around]
    near = [t for t in around if (t.low[0, :2] < ends[1, :2]).all() and (t.high[0, :2] > ends[0, :2]).all()]
    _plan(sheet, deck, outline, boxes, near, result, ends)
    _ordinates(sheet, outline.bounds, boxes)
    drop = y0 - 3.2 * FREE - (top - level)  # the level of the deck in the elevation, on the sheet
    _elevation(sheet, deck, outline.bounds, boxes, near, drop - level, ends)
    _table(sheet, boxes, result, outline.bounds, drop - CUT_OFF - FREE)
    head = y1 + 3.2 * FREE
    sheet.words(x0, head, title, 1.4 * TEXT)
    sheet.words(x0, head - 2.2 * TEXT,
                f"Deck {called(name)}, 1:1. Above: from above, front to the right. Below: from the right side. "
                "Dimensions in mm from its rear and right edges.")  # fmt: skip
    _rule(sheet, x0, head - 4.6 * TEXT)
    return sheet.svg(title)


def _beside(thing: Thing, bounds: tuple[float, float, float, float]) -> Thing:
    """A thing is drawn as far as it comes over the deck or next to it: the dimensions stand beyond."""
    x0, x1, y0, y1 = bounds
    low, high = np.array([x0 - 2, y0 - 2, -np.inf]), np.array([x1 + 2, y1 + 2, np.inf])
    return replace(thing, low=np.clip(thing.low, low, high), high=np.clip(thing.high, low, high))


def _things(tables: Tables) -> Iterator[Thing]:
    for name, held in tables.keep_outs.each.items():
        yield keep_out(name, held)
    for name in tables.ceilings.each:
        yield ceiling(name, tables)
    yield from tables.around.things


def _plan(sheet: Sheet, deck: Deck, outline: Outline, boxes: list[Placed], near: list[Thing], result: StowageResult,
          ends: Numbers) -> None:  # fmt: skip
    tables = result.tables
    said: list[tuple[str, Rectangle]] = []  # what is written into a rectangle, where boxes leave room for it
    sheet.path(outline.corners, stroke(width=0.5, fill="#fcfcf8"), closed=True)
    for hole in outline.holes:
        sheet.path(hole, stroke(width=0.35, fill="#e9e9e4"), closed=True)
    for door, patch in deck.doors.items():
        x0, x1, y0, y1 = (float(e.mm[0]) for e in (patch.x_from, patch.x_to, patch.y_from, patch.y_to))
        sheet.rectangle(x0, y0, x1, y1, stroke("#7a5a00", 0.3, dashes="3 1.2"))
        said.append((f"door {called(door)}", (x0 + 1, x1 - 1, y0 + 1, y1 - 1)))
    for thing in near:
        low, high = np.clip(thing.low[0], *ends), np.clip(thing.high[0], *ends)
        if thing.kind == "ceiling":
            sheet.rectangle(low[0], low[1], high[0], high[1], stroke("#8aa", 0.2, dashes="1 1.5"))
            height = f"{round(float(thing.low[0, 2]), 1):zg} high"
            said.append((f"{called(thing.name)}: {height}", (low[0] + 4, high[0] - 4, low[1] + 4, high[1] - 4)))
        else:
            sheet.rectangle(low[0], low[1], high[0], high[1], _taken(thing))
    for box in sorted(boxes, key=lambda b: float(b.low[0, 2])):
        _box(sheet, box, tables)
    for box in boxes:
        _fastening(sheet, box, tables)
    for run in result.leads.values():
        if not is_missing(run):
            (a, b), short = run.points_mm[0][:, :2], float(run.needs_mm[0]) > float(run.length_mm[0])
            sheet.path(
                [a, (b[0], a[1]), b], stroke("#c02020" if short else "#2060a0", 0.35, dashes="" if short else "2 0.8")
            )
    for box in boxes:
        for exit in tables.boxes.each[box.name].exits:
            at = (box.middle + box.turn.offset(exit_of(tables.boxes.each[box.name], exit, box.own)))[0]
            sheet.circle(at[0], at[1], 0.9, stroke("#2060a0", 0.3, "#ffffff"))
    for box in boxes:
        _label(sheet, called(box.name), box.low[0, :2], box.high[0, :2])
    taken = [_flat(thing) for thing in (*boxes, *near) if thing.kind != "ceiling"]
    for text, inside in said:
        _squeeze_in(sheet, text, inside, taken)
    for name in dict.fromkeys(thing.name for thing in near if thing.kind != "ceiling"):
        of_it = [thing for thing in near if thing.name == name and thing.kind != "ceiling"]
        low = np.clip(np.min([thing.low[0] for thing in of_it], axis=0), *ends)
        high = np.clip(np.max([thing.high[0] for thing in of_it], axis=0), *ends)
        _label(sheet, called(name), low[:2], high[:2], SMALL)


def _flat(thing: Thing) -> Rectangle:
    (x0, y0), (x1, y1) = thing.low[0, :2], thing.high[0, :2]
    return float(x0), float(x1), float(y0), float(y1)


def _squeeze_in(sheet: Sheet, text: str, inside: Rectangle, taken: list[Rectangle]) -> None:
    """Into the first place along a rectangle's edges where nothing stands; into none where all is full."""
    wide = LETTER * SMALL * len(text)
    x0, x1, y0, y1 = inside
    for y in (y0, y1 - SMALL, *np.arange(y0, y1 - SMALL, SMALL)):
        for x in (x0, x1 - wide, *np.arange(x0, x1 - wide, 2 * SMALL)):
            here = (x, x + wide, y, y + SMALL)
            if x >= x0 and not any(_meet(here, other) for other in taken):
                sheet.words(float(x), float(y) + 0.2, text, SMALL, halo=True)
                taken.append(here)
                return


def _meet(one: Rectangle, two: Rectangle) -> bool:
    return one[0] < two[1] and two[0] < one[1] and one[2] < two[3] and two[2] < one[3]


def _taken(thing: Thing) -> str:
    """Hatched; what moves past is many slabs, which have no edges of their own."""
    return stroke("none" if thing.kind == "sweep" else "#a08c6e", 0.2, _COLOURS["keep-out"])


def _box(sheet: Sheet, box: Placed, tables: Tables) -> None:
    (x0, y0), (x1, y1) = box.low[0, :2], box.high[0, :2]
    place = tables.places.each.get(box.name)
    fill = _COLOURS["fixed" if place is not None and place.keep else "box"]
    sheet.rectangle(x0, y0, x1, y1, stroke(width=0.35, fill=fill))


def _label(sheet: Sheet, text: str, low: Numbers, high: Numbers, size: float = TEXT) -> None:
    """In the middle, along the longer way, as large as it fits."""
    wide, tall = float(high[0] - low[0]), float(high[1] - low[1])
    upright = tall > wide and LETTER * size * len(text) > wide
    room, across = (tall, wide) if upright else (wide, tall)
    size = max(1.5, min(size, 0.94 * room / (LETTER * len(text)), 0.8 * across))
    x, y = float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2
    if upright:
        sheet.words(x + 0.35 * size, y, text, size, "middle", turn=True, halo=True)
    else:
        sheet.words(x, y - 0.35 * size, text, size, "middle", halo=True)


def lugs(box: Placed) -> list[tuple[float, float]]:
    """Where a tray's two screws go, in the chassis frame: beyond its shorter sides."""
    (x0, y0), (x1, y1) = box.low[0, :2], box.high[0, :2]
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    if x1 - x0 >= y1 - y0:
        return [(float(x0 - TRAY_LUG), float(y)), (float(x1 + TRAY_LUG), float(y))]
    return [(float(x), float(y0 - TRAY_LUG)), (float(x), float(y1 + TRAY_LUG))]


def _fastening(sheet: Sheet, box: Placed, tables: Tables) -> None:
    """Two strips of tape across it, or the tray's rim with its holes."""
    (x0, y0), (x1, y1) = box.low[0, :2], box.high[0, :2]
    place = tables.places.each.get(box.name)
    if (place is not None and place.keep) or tables.boxes.each[box.name].comes_out:
        return
    if tables.boxes.each[box.name].held_by == "tape":
        for share in (0.25, 0.75):
            x = x0 + share * (x1 - x0)
            half = min(4.0, (x1 - x0) / 5)
            sheet.rectangle(x - half, y0 + 0.8, x + half, y1 - 0.8, stroke("#909090", 0.18, dashes="0.8 0.8"))
        return
    sheet.rectangle(x0 - TRAY_RIM, y0 - TRAY_RIM, x1 + TRAY_RIM, y1 + TRAY_RIM, stroke("#606060", 0.2))
    for x, y in lugs(box):
        sheet.circle(x, y, HOLE / 2, stroke(width=0.25, fill="#ffffff"))
        sheet.path([(x - 2.4, y), (x + 2.4, y)], stroke(width=0.13))
        sheet.path([(x, y - 2.4), (x, y + 2.4)], stroke(width=0.13))


def _ordinates(sheet: Sheet, bounds: tuple[float, float, float, float], boxes: list[Placed]) -> None:
    """Every edge of every box from the datum edges, spread so that no two numbers overlap."""
    x0, x1, y0, y1 = bounds
    free = [box for box in boxes if box.on != ""]
    for axis, base in ((0, y1 + 4.0), (1, x0 - 4.0)):
        start, stop = (x0, x1) if axis == 0 else (y0, y1)
        marks = sorted(
            {round(float(v), 1) for box in free for v in (box.low[0, axis], box.high[0, axis])} | {start, stop}
        )
        spots = _spread(marks, 1.25 * SMALL)
        for mark, spot in zip(marks, spots, strict=True):
            line = [(mark, base - 3.0), (mark, base), (spot, base + 4.0), (spot, base + 5.0)]
            if axis == 0:
                sheet.path(line, stroke("#505050", 0.13))
                sheet.words(
                    spot + 0.35 * SMALL, base + 5.6, f"{mark - start:g}" if mark > start else "0", SMALL, turn=True
                )
            else:
                sheet.path([(base + 3.0, mark), (base, mark), (base - 4.0, spot), (base - 5.0, spot)],
                           stroke("#505050", 0.13))  # fmt: skip
                sheet.words(base - 5.6, spot - 0.35 * SMALL, f"{round(mark - start, 1):g}", SMALL, "end")


def _spread(marks: list[float], apart: float) -> list[float]:
    """The marks, moved as little as it takes to have them apart."""
    groups = [[mark] for mark in marks]

    def span(group: list[float]) -> tuple[float, float]:
        middle, half = sum(group) / len(group), apart * (len(group) - 1) / 2
        return middle - half, middle + half

    done: list[list[float]] = []
    for group in groups:
        done.append(group)
        while len(done) > 1 and span(done[-2])[1] + apart > span(done[-1])[0]:
            last = done.pop()
            done[-1] = [*done[-1], *last]
    return [span(group)[0] + k * apart for group in done for k in range(len(group))]


def _elevation(sheet: Sheet, deck: Deck, bounds: tuple[float, float, float, float], boxes: list[Placed],
               near: list[Thing], lift: float, ends: Numbers) -> None:  # fmt: skip
    x0, x1, _, _ = bounds
    level = float(deck.height.mm[0])
    thick = float(deck.thickness.mm[0]) if deck.thickness.known else 2.0
    for thing in near:
        low, high = np.clip(thing.low[0], *ends), np.clip(thing.high[0], *ends)
        if thing.kind == "ceiling":
            if thing.low[0, 2] < ends[1, 2]:  # the plan tells how high a higher one is
                sheet.path([(low[0], low[2] + lift), (high[0], low[2] + lift)], stroke("#8aa", 0.5))
        else:
            sheet.rectangle(low[0], low[2] + lift, high[0], high[2] + lift, _taken(thing))
    sheet.rectangle(x0, level - thick + lift, x1, level + lift, stroke(width=0.35, fill="#d8d4c8"))
    seen: list[tuple[str, Rectangle]] = []
    for box in sorted(boxes, key=lambda b: -float(b.low[0, 1])):  # nearest to the eye, on the right side, last
        (a, b), (c, d) = box.low[0, [0, 2]], box.high[0, [0, 2]]
        b, d = b + lift, d + lift
        sheet.rectangle(a, b, c, d, stroke(width=0.3, fill="#dbe9f6") + ' fill-opacity="0.75"')
        seen.append((called(box.name), (float(a), float(c), float(b), float(d))))
    low_names = [(called(t.name), *np.clip([t.low[0, 0], t.high[0, 0]], x0 - 2, x1 + 2), float(t.low[0, 2]))
                 for t in near if t.kind == "ceiling" and t.low[0, 2] < ends[1, 2]]  # fmt: skip
    for name in dict.fromkeys(name for name, *_ in low_names):  # a scanned shell is many patches of one name
        _, a, b, height = max((one for one in low_names if one[0] == name), key=lambda one: one[2] - one[1])
        text = f"{name}, {round(height, 1):zg} high"
        sheet.words(float(a + b) / 2, height + lift + 1, text, SMALL, "middle", halo=True)
    _name_in_view(sheet, seen, top=float(ends[1, 2]) + lift + 2 * SMALL)
    tops = sorted({round(float(box.high[0, 2]), 1) for box in boxes} | {level})
    for mark, spot in zip(tops, _spread(tops, 1.25 * SMALL), strict=True):
        sheet.path([(x0 - 2, mark + lift), (x0 - 4, mark + lift), (x0 - 8, spot + lift)], stroke("#505050", 0.13))
        sheet.words(x0 - 9, spot + lift - 0.35 * SMALL, f"{mark:g}", SMALL, "end")
    sheet.words(x0, level - thick + lift - 2.4 * SMALL, "heights over the flat underside", SMALL)


def _name_in_view(sheet: Sheet, seen: list[tuple[str, Rectangle]], *, top: float) -> None:
    """Names of boxes that stand one before the other, the nearest last: in the box where none stands before the
    words, else above the view with a line down to the box's upper edge.
    """
    above = []
    for k, (text, (x0, x1, z0, z1)) in enumerate(seen):
        half = LETTER * SMALL * len(text) / 2
        x, z = (x0 + x1) / 2, (z0 + z1) / 2
        here = (x - half, x + half, z - SMALL / 2, z + SMALL / 2)
        fits = 2 * half < 0.94 * (x1 - x0) and z1 - z0 > SMALL
        if fits and not any(_meet(here, other) for _, other in seen[k + 1 :]):
            sheet.words(x, z - 0.35 * SMALL, text, SMALL, "middle", halo=True)
        else:
            above.append((x, z1, text))
    above.sort()
    for (x, z1, text), spot in zip(above, _spread([x for x, *_ in above], 1.4 * SMALL), strict=True):
        sheet.path([(spot, top), (spot, top - 2), (x, top - 6), (x, z1)], stroke("#505050", 0.13))
        sheet.circle(x, z1, 0.5, stroke("#505050", 0.13, "#505050"))
        sheet.words(spot + 0.35 * SMALL, top + 1, text, SMALL, turn=True)


def _table(sheet: Sheet, boxes: list[Placed], result: StowageResult, bounds: tuple[float, float, float, float],
           y: float) -> None:  # fmt: skip
    x0, _, y0, _ = bounds
    columns = (0.0, 42.0, 78.0, 114.0, 176.0)
    rows = [("box", "from rear edge", "from right edge", "stands", "held by")]
    for box in boxes:
        place = result.tables.places.each.get(box.name)
        stays = place is not None and place.keep
        held = result.tables.boxes.each[box.name].held_by
        if stays:
            how = "stays where it is"
        elif result.tables.boxes.each[box.name].comes_out:
            how = "its door below"
        elif held == "tape":
            how = "tape, two strips (dotted)"
        else:
            how = "tray, holes 3.2 at " + " and ".join(f"{x - x0:z.1f}/{v - y0:z.1f}" for x, v in lugs(box))
        rows.append((
            called(box.name), f"{box.low[0, 0] - x0:z.1f} to {box.high[0, 0] - x0:z.1f}",
            f"{box.low[0, 1] - y0:z.1f} to {box.high[0, 1] - y0:z.1f}", box.turn.words, how,
        ))  # fmt: skip
    for k, row in enumerate(rows):
        for column, text in zip(columns, row, strict=True):
            sheet.words(x0 + column, y - 1.7 * TEXT * k, text, TEXT if k else SMALL)
    down = y - 1.7 * TEXT * (len(rows) + 0.7)
    for name, run in result.leads.items():
        if is_missing(run):
            continue
        needs, length = float(run.needs_mm[0]), float(run.length_mm[0])
        lead = called(name.partition(".")[2])
        words = f"{called(run.box)}, {lead} to the {called(run.to)}: takes {needs:.0f} mm, is {length:.0f} mm"
        if run.along_rim_mm is not None:
            words += f"; along the rim {run.along_rim_mm:.0f} mm"
        sheet.words(x0, down, words, SMALL)
        down -= 1.7 * SMALL


def _rule(sheet: Sheet, x: float, y: float) -> None:
    sheet.path([(x, y), (x + 100, y)], stroke(width=0.25))
    for tick in range(11):
        sheet.path([(x + 10 * tick, y), (x + 10 * tick, y + (2.4 if tick % 5 == 0 else 1.4))], stroke(width=0.2))
    sheet.words(x + 102, y, "check rule: 100 mm; print at 100 %, not fitted to the page", SMALL)
