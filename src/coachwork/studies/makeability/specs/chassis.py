r"""The chassis: what it is drawn from.

            rear tub      neck          deck, its walls, the bay      neck     front tub
             ______     ________________________________________     ______     ___
      |tower|      \___/        _________________________        \___/      |tower|
      |     |       ___        |      battery bay        |        ___       |     |
      |_____|______/   \_______|_________________________|_______/   \______|_____|

All in the chassis frame, mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from coachwork.build import require
from coachwork.build.sections.boxes import words_of
from coachwork.build.sections.corner import End
from coachwork.build.sections.decks import Deck
from coachwork.build.sections.parts.chassis import Bolt
from coachwork.studies.makeability.specs.holes import HoleSpec, drilled, screw_of, size_for
from coachwork.studies.makeability.specs.plain import number, round_all
from coachwork.studies.makeability.specs.stiffening import Box, Coaming, Floor, Neck, Rect, boxed_sides, ribs
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe, Missing, attempt, is_missing
from coachwork.studies.stowage.placed import placed
from coachwork.studies.stowage.surroundings import keep_out, outline_of
from coachwork.studies.stowage.turns import exit_point
from coachwork.studies.wording import first

CLEAR_MM = 1.0  # round what moves, where the floor is cut out for it; common practice, no source
LEAST_FLOOR_MM = 1.2  # left under a box that is let into the floor; below it the floor is cut through
WAY_MM = 7.0  # half the width left free where a lead crosses the coaming
POST_FOOT_MM = 6.0  # half the width that the lip leaves free round a post's screw
ROOT_MM = 2.0  # from the door's middle to the latches' roots
PIN_PLAY_MM = 0.2  # of the door's pins in their holes, on the diameter; common practice, no source
UNDER_CRANK_MM = 0.5  # between a bell-crank's lower face and its boss


@dataclass(frozen=True, kw_only=True)
class Bay:
    """The opening below the pack, for a door that goes in rear end first.

    lip_mm    : of the sides: the floor's upper half, over the door
    tongue_mm : of the ends: the floor's lower half, under the door's tongue and noses
    notches   : stretches of the sides where a post's screw takes the lip's place
    pins      : of the door, in the lips    pry : y of the slots in front of the latches' noses
    """

    opening: Rect
    lip_mm: float
    tongue_mm: float
    pin_mm: float
    pins: tuple[tuple[float, float], ...]
    pry: tuple[float, ...]
    rim_mm: float
    rim_height_mm: float
    notches: tuple[Rect, ...]


@dataclass(frozen=True, kw_only=True)
class Tub:
    """One end: from the deck's edge over a neck, past the arms, to its end; the tower stands at `tower_x`.

    half_mm : half the floor's width between the arms    neck_half_mm : before them, from `neck_to`
    """

    end: Literal["front", "rear"]
    begins: float
    neck_to: float
    ends: float
    half_mm: float
    neck_half_mm: float
    tower_x: tuple[float, float]
    damper_y: float
    damper_z: float

    @property
    def shoulder_mm(self) -> float:
        """Length over which the neck narrows to the floor between the arms."""
        return min(abs(self.neck_half_mm - self.half_mm), 0.6 * abs(self.neck_to - self.begins), 7.0)


@dataclass(frozen=True, kw_only=True)
class Boss:
    """A round boss on the floor that a screw cuts its thread in."""

    name: str
    x: float
    y: float
    top: float
    diameter_mm: float
    depth_mm: float


@dataclass(frozen=True, kw_only=True)
class ChassisSpec:
    """All that the solid follows from.

    neck_mm    : thickness of the floor from the deck to where an end is bolted on
    stiffeners : ribs, inner walls and lids of boxed sides
    on_floor   : what stands on the floor, and would not fit on a thicker one
    posts      : x, y, and the radius kept free for each
    """

    name: str
    outline: tuple[tuple[float, ...], ...]
    open_sides: tuple[str, ...]
    floor_mm: float
    top_mm: float
    wall_mm: float
    wall_height_mm: float
    corner_mm: float
    tower_mm: float
    bay: Bay | None
    front: Tub | None
    rear: Tub | None
    bosses: tuple[Boss, ...]
    seats: tuple[Box, ...]
    wells: tuple[Box, ...]
    cut_outs: tuple[Rect, ...]
    lands: tuple[Rect, ...]
    land_mm: float
    passages: tuple[tuple[float, float], ...]
    holes: tuple[HoleSpec, ...]
    boss_screw_mm: float
    neck_mm: float
    stiffeners: tuple[Box, ...]
    on_floor: tuple[Rect, ...]
    posts: tuple[tuple[float, float, float], ...]


def chassis_spec(tables: PartTables) -> ChassisSpec:
    """From the deck, the stretch, the hardpoints and the boxes' places. Raises NotMeasured and CannotBe."""
    own = tables.parts.chassis
    deck = tables.decks.each.get(own.deck)
    if deck is None:
        raise CannotBe(f'parts.chassis.deck = "{own.deck}": there is no such deck; give [decks.{own.deck}] an outline')
    require(deck.height, deck.thickness)
    outline = outline_of(own.deck, tables.decks, {})  # one that stands in a chassis file is made already
    top, floor = first(deck.height.mm), first(deck.thickness.mm)
    posts = _post_screws(tables, top, floor)
    front, rear = _tub(tables, "front", outline.bounds), _tub(tables, "rear", outline.bounds)
    cut_outs = tuple(_cut_outs(tables, top))
    bay = _bay(tables, deck, posts)
    wells, lands = _boxes(tables, deck, outline.bounds, top, floor)
    seats, seat_holes = _servo(tables)
    boss_screw = screw_of(own.bolt_screw, "parts.chassis.bolt-screw")
    cranks = tuple(_cranks(tables, top))
    passages = tuple(_passages(tables))
    rooms = tuple(_post_rooms(tables))
    on_floor = (*_standing(tables, top), *((x - r, x + r, y - r, y + r) for x, y, r in rooms))
    in_way = (*on_floor, *(well[:4] for well in wells), *(seat[:4] for seat in seats), *_ways(tables),
              *((x - WAY_MM, x + WAY_MM, y - WAY_MM, y + WAY_MM) for x, y in passages))  # fmt: skip
    stiffeners = tuple(_stiffeners(tables, Floor(
        outline=outline, top_mm=top, wall_mm=number(own.wall), wall_height_mm=number(own.wall_height), in_way=in_way,
    ), floor, bay, (front, rear), cut_outs))  # fmt: skip
    holes = [
        *posts,
        *_bolts(tables, "front", own.front_bolts, top - floor, floor),
        *_bolts(tables, "rear", own.rear_bolts, top - floor, floor),
        *_dampers(tables, (front, rear), number(own.tower)),
        *seat_holes,
        *(
            HoleSpec(name=f"bell-cranks.{boss.name}", at_mm=(boss.x, boss.y, boss.top), axis=(0.0, 0.0, -1.0),
                     diameter_mm=boss_screw.pilot_mm, purpose="thread-forming", screw=boss_screw.name,
                     depth_mm=boss.depth_mm)
            for boss in cranks
        ),
        *_pin_holes(bay, top, floor),
        *(
            drilled(name, hole, f"parts.chassis.holes.{name}", reamed=tables.making.seats == "reamed")
            for name, hole in own.holes.items()
        ),
    ]  # fmt: skip
    return ChassisSpec(
        name="chassis",
        outline=round_all(_counterclockwise(outline.corners)),
        open_sides=tuple(side for side in words_of(deck.open_to) if side in ("front", "rear", "left", "right")),
        floor_mm=floor, top_mm=top, wall_mm=number(own.wall), wall_height_mm=number(own.wall_height),
        corner_mm=number(own.corner), tower_mm=number(own.tower),
        bay=bay, front=front, rear=rear, bosses=cranks, seats=seats, wells=wells,
        cut_outs=cut_outs, lands=lands, land_mm=number(own.land_depth),
        passages=passages, holes=tuple(holes), boss_screw_mm=boss_screw.diameter_mm,
        neck_mm=max(number(own.neck_floor), floor) if own.neck_floor.given else floor,
        stiffeners=tuple(tuple(round(edge, 4) for edge in box) for box in stiffeners),  # type: ignore[misc]
        on_floor=on_floor,
        posts=rooms,
    )  # fmt: skip


def _stiffeners(
    tables: PartTables,
    floor: Floor,
    floor_mm: float,
    bay: Bay | None,
    tubs: tuple[Tub, Tub],
    cut_outs: tuple[Rect, ...],
) -> Iterator[Box]:
    """As far as the build asks for any, lower where a bell-crank turns over them. Raises CannotBe."""
    own = tables.parts.chassis
    coaming = None if bay is None else Coaming(
        opening=bay.opening, ends_off_mm=bay.tongue_mm, thick_mm=bay.rim_mm, height_mm=bay.rim_height_mm
    )  # fmt: skip
    under = {tub.end: min((boss.top - floor.top_mm for boss in _cranks(tables, floor.top_mm)
                           if boss.name.startswith(tub.end)), default=np.inf) for tub in tubs}  # fmt: skip
    if own.neck_floor.given and number(own.neck_floor) - floor_mm > min(under.values()):
        raise CannotBe(
            f"a bell-crank turns {min(under.values()):.1f} mm over the floor; parts.chassis.neck-floor at most "
            f"{min(under.values()) + floor_mm:.1f} mm"
        )
    if own.box_width.given:
        yield from boxed_sides(replace(floor, in_way=(*floor.in_way, *cut_outs)), coaming, number(own.box_width))
    if own.rib_height.given:
        necks = [
            Neck(way=way, begins=tub.begins, shoulder=tub.neck_to - way * tub.shoulder_mm, ends=tub.neck_to,
                 half_mm=tub.neck_half_mm, narrow_mm=tub.half_mm, most_mm=float(under[tub.end]))
            for tub, way in zip(tubs, (1.0, -1.0), strict=True)
        ]  # fmt: skip
        yield from ribs(floor, coaming, necks, cut_outs, number(own.rib_height))


def rear_axle_x(tables: PartTables) -> float:
    """Of the chassis frame: one wheelbase as changed behind the front axle line. Raises NotMeasured."""
    stretch = number(tables.changes.stretch) if tables.changes.stretch.given else 0.0
    return -(number(tables.gear.wheelbase) + stretch)


def _counterclockwise(corners: np.ndarray) -> np.ndarray:
    x, y = corners.T
    turned = np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) < 0
    return corners[::-1] if turned else corners


def _end(tables: PartTables, end: str) -> tuple[End, float]:
    return (tables.gear.front, 0.0) if end == "front" else (tables.gear.rear, rear_axle_x(tables))


def _tub(tables: PartTables, end: Literal["front", "rear"], deck: Rect) -> Tub:
    own = tables.parts.chassis
    held, axle = _end(tables, end)
    require(held.arm_pin_front, held.arm_pin_rear, held.damper_inner, held.damper_diameter)
    forward = 1 if end == "front" else -1
    pins = np.array([held.arm_pin_front.mm[0], held.arm_pin_rear.mm[0]])
    arms = tables.parts.front_arms if end == "front" else tables.parts.rear_arms
    room = number(arms.barrel) / 2 + CLEAR_MM
    half = float(np.abs(pins[:, 1]).min()) - room
    near = axle + (pins[:, 0].min() - room if end == "front" else pins[:, 0].max() + room)
    inner, radius = held.damper_inner.mm[0], number(held.damper_diameter) / 2
    face = axle + inner[0] + forward * (radius + CLEAR_MM)
    tower = sorted((face, face + forward * number(own.tower)))
    ends = axle + forward * number(own.ahead if end == "front" else own.behind)
    if half < number(own.wall) + CLEAR_MM:
        raise CannotBe(
            f"between the {end} arms' pins, {2 * np.abs(pins[:, 1]).min():.1f} mm apart, no floor is left; "
            f"give parts.{end}-arms.barrel if it is less than {2 * (room - CLEAR_MM):.1f} mm"
        )
    if forward * (ends - tower[1 if forward > 0 else 0]) < 0:
        what = "ahead" if end == "front" else "behind"
        raise CannotBe(
            f"the {end} floor ends before its damper tower; make parts.chassis.{what} at least "
            f"{forward * (tower[1 if forward > 0 else 0] - axle):.1f} mm"
        )
    return Tub(
        end=end, begins=deck[1] if end == "front" else deck[0], neck_to=round(near, 4), ends=round(ends, 4),
        half_mm=round(half, 4), neck_half_mm=round(max(_neck_half(tables, end), half), 4),
        tower_x=(round(tower[0], 4), round(tower[1], 4)), damper_y=round(abs(float(inner[1])), 4),
        damper_z=round(float(inner[2]), 4),
    )  # fmt: skip


def _neck_half(tables: PartTables, end: str) -> float:
    """Wide enough for bell-cranks and servo, and as a third of the deck is, else."""
    own = tables.parts.chassis
    held, _ = _end(tables, end)
    wanted = [30.0]
    if held.steering.kind == "bell-crank":
        wanted.append(abs(float(held.steering.pivot.mm[0][1])) + number(own.boss) / 2)
        servo = attempt(placed, SERVO, tables.placing)
        if SERVO in tables.boxes.each and not is_missing(servo):
            wanted += [abs(float(servo.low[0, 1])), abs(float(servo.high[0, 1]))]
    return max(wanted) + number(own.wall) + CLEAR_MM


NONE = np.zeros(1)
SERVO = "steering-servo"
PACK = "pack"


def _post_screws(tables: PartTables, top: float, floor: float) -> list[HoleSpec]:
    holes = []
    for name, (x, y) in post_places(tables).items():
        post = tables.parts.posts.get(name)
        screw = screw_of(post.screw if post is not None else "M3", f"parts.posts.{name}.screw")
        length = number(post.screw_length) if post is not None else None
        holes.append(
            HoleSpec(name=f"posts.{name}", at_mm=(x, y, round(top - floor, 4)), axis=(0.0, 0.0, 1.0),
                     diameter_mm=size_for("clearance", screw), purpose="clearance", screw=screw.name, sunk=True,
                     most_mm=floor, screw_mm=length)
        )  # fmt: skip
    return holes


def post_places(tables: PartTables) -> dict[str, tuple[float, float]]:
    """Middles of all posts: the keep-outs that are posts, and those of [parts.posts]. Raises NotMeasured."""
    places: dict[str, tuple[float, float]] = {}
    for name, held in tables.keep_outs.each.items():
        if held.what == "post":
            middle = (keep_out(name, held).low[0] + keep_out(name, held).high[0]) / 2
            places[name] = (round(float(middle[0]), 4), round(float(middle[1]), 4))
    for name, post in tables.parts.posts.items():
        if post.x.given or post.y.given or name not in places:
            require(post.x, post.y)
            places[name] = (number(post.x), number(post.y))
    return places


def _bay(tables: PartTables, deck: Deck, posts: list[HoleSpec]) -> Bay | None:
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
            f"parts.chassis.lip at least {rim + pin + 0.6:.1f} mm"
        )
    notches: list[Rect] = []
    for post in posts:
        x, y = post.at_mm[:2]
        reach = lip + POST_FOOT_MM
        if x0 < x < x1 and (y0 - reach < y <= y0 or y1 <= y < y1 + reach):
            low, high = (y0 - lip, y0) if y <= y0 else (y1, y1 + lip)
            notches.append((round(x - POST_FOOT_MM, 4), round(x + POST_FOOT_MM, 4), round(low, 4), round(high, 4)))
    return Bay(
        opening=(round(x0, 4), round(x1, 4), round(y0, 4), round(y1, 4)), lip_mm=lip, tongue_mm=round(0.7 * lip, 4),
        pin_mm=pin, pins=tuple(_pins((x0, x1, y0, y1), notches, rim + pin / 2 + 0.3, pin)),
        pry=tuple(round((y0 + y1) / 2 + hand * (ROOT_MM + latch - 2.5), 4) for hand in (-1, 1)),
        rim_mm=rim, rim_height_mm=number(own.rim_height), notches=tuple(notches),
    )  # fmt: skip


def _pins(opening: Rect, notches: list[Rect], out: float, pin: float) -> list[tuple[float, float]]:
    """Three a side in the lips, but not where a post's screw takes the lip's place."""
    x0, x1, y0, y1 = opening
    found = []
    for y in (y0 - out, y1 + out):
        for share in (0.12, 0.5, 0.88):
            x, clear = x0 + share * (x1 - x0), pin / 2 + 1.5
            if not any(n[0] - clear < x < n[1] + clear and n[2] <= y <= n[3] for n in notches):
                found.append((round(x, 4), round(y, 4)))
    return found


def _pin_holes(bay: Bay | None, top: float, floor: float) -> list[HoleSpec]:
    if bay is None:
        return []
    return [
        HoleSpec(name=f"door-pins.{i}", at_mm=(x, y, round(top - floor / 2, 4)), axis=(0.0, 0.0, 1.0),
                 diameter_mm=bay.pin_mm + PIN_PLAY_MM, purpose="pin", most_mm=floor / 2)
        for i, (x, y) in enumerate(bay.pins, start=1)
    ]  # fmt: skip


def _standing(tables: PartTables, top: float) -> Iterator[Rect]:
    """Footprints of the boxes that stand on the floor or in it, with the fit's gap."""
    gap = number(tables.making.fit_gap)
    for name in tables.boxes.each:
        here = attempt(placed, name, tables.placing)
        if is_missing(here) or here.low[0, 2] > top + 0.5:
            continue
        (x0, y0, _), (x1, y1, _) = here.low[0], here.high[0]
        yield (round(float(x0) - gap, 4), round(float(x1) + gap, 4), round(float(y0) - gap, 4),
               round(float(y1) + gap, 4))  # fmt: skip


def _post_rooms(tables: PartTables) -> Iterator[tuple[float, float, float]]:
    """Middle and radius of each post with the fit's gap."""
    gap = number(tables.making.fit_gap)
    for name, (x, y) in post_places(tables).items():
        if name in tables.parts.posts:
            radius = number(tables.parts.posts[name].diameter) / 2
        else:
            thing = keep_out(name, tables.keep_outs.each[name])
            radius = float((thing.high - thing.low)[0, :2].max()) / 2
        yield x, y, round(radius + gap, 4)


def _ways(tables: PartTables) -> Iterator[Rect]:
    """Screwdrivers' ways and what else is kept free and is neither post nor moving part."""
    for name, held in tables.keep_outs.each.items():
        if held.what not in ("post", "moving part"):
            thing = keep_out(name, held)
            (x0, y0, _), (x1, y1, _) = thing.low[0], thing.high[0]
            yield float(x0), float(x1), float(y0), float(y1)


def _passages(tables: PartTables) -> list[tuple[float, float]]:
    """Where the pack's leads cross the rim: straight out from its exits."""
    here = attempt(placed, PACK, tables.placing) if PACK in tables.boxes.each else Missing(())
    if is_missing(here):
        return []
    found = []
    for exit in tables.boxes.each[PACK].exits.values():
        way = here.turn.offset(exit_point(exit.face, here.own, across_mm=NONE, up_mm=NONE)[0] * 1.1)
        x, y, _ = here.middle[0] + way
        found.append((round(float(x), 4), round(float(y), 4)))
    return found


def _cut_outs(tables: PartTables, top: float) -> list[Rect]:
    """Through the floor, round what moves and reaches below its top."""
    found = []
    for name, held in tables.keep_outs.each.items():
        if held.what == "moving part":
            thing = keep_out(name, held)
            if thing.low[0, 2] < top:
                (x0, y0, _), (x1, y1, _) = thing.low[0], thing.high[0]
                grown = (x0 - CLEAR_MM, x1 + CLEAR_MM, y0 - CLEAR_MM, y1 + CLEAR_MM)
                found.append((round(grown[0], 4), round(grown[1], 4), round(grown[2], 4), round(grown[3], 4)))
    return found


def _boxes(
    tables: PartTables, deck: Deck, bounds: Rect, top: float, floor: float
) -> tuple[tuple[Box, ...], tuple[Rect, ...]]:
    """Wells for boxes that stand lower than the floor, and lands for those taped to it."""
    wells, lands = [], []
    gap = number(tables.making.fit_gap)
    for name, box in tables.boxes.each.items():
        here = attempt(placed, name, tables.placing)
        if isinstance(here, Missing):
            continue  # stowage says so, and the floor can be drawn without its place
        if is_missing(here):
            continue
        (x0, y0, z0), (x1, y1, _) = here.low[0], here.high[0]
        rect = (round(x0 - gap, 4), round(x1 + gap, 4), round(y0 - gap, 4), round(y1 + gap, 4))
        if z0 < top - 0.05 and here.on == "":
            left = z0 - gap - (top - floor)
            low = top - floor - 1.0 if left < LEAST_FLOOR_MM else z0 - gap
            wells.append((*_to_edges(rect, bounds), round(low, 4), top))
        elif here.on == tables.parts.chassis.deck and box.held_by == "tape":
            lands.append(rect)
    return tuple(wells), tuple(lands)


def _to_edges(rect: Rect, bounds: Rect, least: float = 3.0) -> Rect:
    """A well that would leave a sliver at the floor's edge goes on to the edge; it never cuts a side wall."""
    x0, x1, y0, y1 = rect
    if abs(x0 - bounds[0]) < least:
        x0 = bounds[0] - least
    y0, y1 = max(y0, bounds[2]), min(y1, bounds[3])
    return (round(x0, 4), round(x1, 4), round(y0, 4), round(y1, 4))


def _servo(tables: PartTables) -> tuple[tuple[Box, ...], list[HoleSpec]]:
    """Two pillars under the servo's lugs; none where no servo is placed or its lugs are not measured."""
    own = tables.parts.chassis
    if SERVO not in tables.boxes.each:
        return (), []
    here = attempt(placed, SERVO, tables.placing)
    if is_missing(here):
        return (), []
    require(own.servo_body, own.servo_lugs)
    screw = screw_of(own.bolt_screw, "parts.chassis.bolt-screw")
    (x0, y0, z0), (x1, y1, _) = here.low[0], here.high[0]
    middle, gap = (x0 + x1) / 2, number(tables.making.fit_gap)
    inner, top = number(own.servo_body) / 2 + gap, float(z0) + number(own.servo_lugs)
    hole = ((x1 - x0) / 2 + inner) / 2  # middle of the lug
    outer = 2 * hole - inner + 1.0
    outer = max(outer, hole + screw.pilot_mm / 2 + screw.diameter_mm)
    across = (y1 - y0) / 2 - number(own.boss) / 2
    seats, holes = [], []
    for side, forward in (("rear", -1), ("front", 1)):
        xs = sorted((middle + forward * inner, middle + forward * outer))
        seats.append(
            (round(xs[0], 4), round(xs[1], 4), round(y0 - gap - 1, 4), round(y1 + gap + 1, 4), 0.0, round(top, 4))
        )
        for hand, left in (("right", -1), ("left", 1)):
            at = (round(middle + forward * hole, 4), round((y0 + y1) / 2 + left * across, 4), round(top, 4))
            holes.append(
                HoleSpec(name=f"servo.{side}-{hand}", at_mm=at, axis=(0.0, 0.0, -1.0), diameter_mm=screw.pilot_mm,
                         purpose="thread-forming", screw=screw.name, depth_mm=10.0)
            )  # fmt: skip
    return tuple(seats), holes


def _cranks(tables: PartTables, top: float) -> list[Boss]:
    own = tables.parts.chassis
    bosses = []
    for end in ("front", "rear"):
        held, axle = _end(tables, end)
        if held.steering.kind != "bell-crank":
            continue
        require(held.steering.pivot, held.steering.crank_width)
        x, y, z = held.steering.pivot.mm[0]
        high = float(z) - number(held.steering.crank_width) / 2 - UNDER_CRANK_MM
        if high <= top + 0.5:
            continue  # the crank lies on the floor; its screw is the builder's own hole
        for hand, left in (("left", 1), ("right", -1)):
            if own.crank_bosses not in ("both", hand):
                continue
            bosses.append(
                Boss(name=f"{end}-{hand}", x=round(axle + float(x), 4), y=round(left * float(y), 4), top=round(high, 4),
                     diameter_mm=number(own.boss), depth_mm=round(min(high - 1.2, 12.0), 4))
            )  # fmt: skip
    return bosses


def _bolts(tables: PartTables, end: str, bolts: dict[str, Bolt], low: float, thick: float) -> list[HoleSpec]:
    screw = screw_of(tables.parts.chassis.bolt_screw, "parts.chassis.bolt-screw")
    axle = 0.0 if end == "front" else rear_axle_x(tables)
    holes = []
    for name, bolt in bolts.items():
        require(bolt.x, bolt.y)
        holes.append(
            HoleSpec(name=f"{end}-bolts.{name}", at_mm=(round(axle + number(bolt.x), 4), number(bolt.y), round(low, 4)),
                     axis=(0.0, 0.0, 1.0), diameter_mm=screw.medium_mm, purpose="clearance", screw=screw.name,
                     sunk=True, most_mm=thick)
        )  # fmt: skip
    return holes


def _dampers(tables: PartTables, tubs: tuple[Tub, Tub], tower: float) -> list[HoleSpec]:
    screw = screw_of(tables.parts.chassis.bolt_screw, "parts.chassis.bolt-screw")
    holes = []
    for tub in tubs:
        face, way = (tub.tower_x[0], 1.0) if tub.end == "front" else (tub.tower_x[1], -1.0)
        for hand, left in (("left", 1), ("right", -1)):
            holes.append(
                HoleSpec(name=f"{tub.end}-dampers.{hand}", at_mm=(face, left * tub.damper_y, tub.damper_z),
                         axis=(way, 0.0, 0.0), diameter_mm=screw.medium_mm, purpose="clearance", screw=screw.name,
                         most_mm=tower)
            )  # fmt: skip
    return holes
