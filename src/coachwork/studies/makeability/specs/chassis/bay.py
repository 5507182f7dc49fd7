"""The battery bay: the deck's door, less the posts that stand in it."""

from __future__ import annotations

from math import ceil

from coachwork.build import require
from coachwork.build.sections.decks import Deck
from coachwork.studies.makeability.specs.chassis.posts import POST_FOOT_MM
from coachwork.studies.makeability.specs.chassis.spec import Bay, lips_end_mm
from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.stiffening import Rect
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe

ROOT_MM = 2.0  # from the door's middle to the latches' roots
ROUND, ROUND_TO_MM = 0.75, 2.0  # by half the floor's thickness, and up to which: stays within the half that it is in
PIN_PLAY_MM = 0.2  # of the door's pins in their holes, on the diameter; common practice, no source


def bay_of(tables: PartTables, deck: Deck, posts: list[HoleSpec], floor: float) -> Bay | None:
    """The deck's door, less the posts that stand in it. Raises NotMeasured and CannotBe."""
    own = tables.parts.chassis
    if not deck.doors:
        return None
    patch = next(iter(deck.doors.values()))
    require(patch.x_from, patch.x_to, patch.y_from, patch.y_to)
    x0, x1 = sorted((number(patch.x_from), number(patch.x_to)))
    y0, y1 = sorted((number(patch.y_from), number(patch.y_to)))
    lip = number(own.lip)
    for post in posts:
        x, y = post.at_mm[:2]
        clear = max(1.6 * (post.diameter_mm + number(tables.making.hole_shrinks)), post.diameter_mm / 2 + 3.0)
        if x0 - clear < x < x1 + clear and y0 - clear < y < y1 + clear:  # the smaller loss of the two sides
            if y - y0 < y1 - y:
                y0 = max(y0, y + clear)
            else:
                y1 = min(y1, y - clear)
    if x1 - x0 < 8 * lip or y1 - y0 < 3 * lip:
        raise CannotBe(
            f"the battery bay's opening is {x1 - x0:.1f} by {y1 - y0:.1f} mm beside its posts; a door with lips of "
            f"{lip:.1f} mm needs {8 * lip:.0f} by {3 * lip:.0f} mm"
        )
    rim, pin, latch = (
        number(own.rim),
        number(tables.parts.battery_door.pin),
        number(tables.parts.battery_door.latch_length),
    )
    if rim + pin + 0.6 > lip:
        raise CannotBe(
            f"a rim of {rim:.1f} mm and pins of {pin:.1f} mm do not fit beside each other on a lip of {lip:.1f} mm; "
            f"parts.chassis.lip at least {ceil(10 * (rim + pin + 0.6) - 1e-6) / 10:.1f} mm"
        )
    round_mm = ROUND * min(floor / 2, ROUND_TO_MM)
    notches: list[Rect] = []
    for post in posts:
        x, y = post.at_mm[:2]
        reach = lip + POST_FOOT_MM
        if x0 < x < x1 and (y0 - reach < y <= y0 or y1 <= y < y1 + reach):
            low, high = (y0 - lip, y0) if y <= y0 else (y1, y1 + lip)
            notches.append((round(x - POST_FOOT_MM, 4), round(x + POST_FOOT_MM, 4), round(low, 4), round(high, 4)))
    return Bay(
        opening=(round(x0, 4), round(x1, 4), round(y0, 4), round(y1, 4)), lip_mm=lip, tongue_mm=round(0.7 * lip, 4),
        pin_mm=pin, pins=tuple(_pins((x0, x1, y0, y1), notches, rim + pin / 2 + 0.3, pin, round_mm)),
        pry=tuple(round((y0 + y1) / 2 + hand * (ROOT_MM + latch - 2.5), 4) for hand in (-1, 1)),
        rim_mm=rim, rim_height_mm=number(own.rim_height), notches=tuple(notches), round_mm=round(round_mm, 4),
    )  # fmt: skip


def _pins(opening: Rect, notches: list[Rect], out: float, pin: float, round_mm: float) -> list[tuple[float, float]]:
    """Three a side in the lips, but not where a post's screw takes the lip's place, nor at a lip's rounded end.

    round_mm : there
    """
    x0, x1, y0, y1 = opening
    end = lips_end_mm(round_mm) + round_mm + pin / 2 + 1.0
    found = []
    for y in (y0 - out, y1 + out):
        for share in (0.12, 0.5, 0.88):
            x, clear = min(max(x0 + share * (x1 - x0), x0 + end), x1 - end), pin / 2 + 1.5
            if not any(n[0] - clear < x < n[1] + clear and n[2] <= y <= n[3] for n in notches):
                found.append((round(x, 4), round(y, 4)))
    return found


def pin_holes(bay: Bay | None, top: float, floor: float) -> list[HoleSpec]:
    """Of the door's pins, in the lips; none without a bay."""
    if bay is None:
        return []
    return [
        HoleSpec(name=f"door-pins.{i}", at_mm=(x, y, round(top - floor / 2, 4)), axis=(0.0, 0.0, 1.0),
                 diameter_mm=bay.pin_mm + PIN_PLAY_MM, purpose="pin", most_mm=floor / 2)
        for i, (x, y) in enumerate(bay.pins, start=1)
    ]  # fmt: skip
