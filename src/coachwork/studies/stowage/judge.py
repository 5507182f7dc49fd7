"""How the boxes are off where they are: air, plugs, leads, ways, distances, balance; arrays over samples."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import NotMeasured, Numbers
from coachwork.build.sections.boxes import Face, words_of
from coachwork.studies.parts import Blocked, CannotBe, Part, attempt, is_missing, need
from coachwork.studies.stowage.leads import ends_of, exit_of, length_of
from coachwork.studies.stowage.placed import Placed, Thing
from coachwork.studies.stowage.result import Air, Distance, InTheWay, Plugs, Run, Side
from coachwork.studies.stowage.surroundings import ceiling, keep_out, outline_of, plates
from coachwork.studies.stowage.tables import Tables, mass_entry
from coachwork.studies.stowage.turns import AXIS
from coachwork.studies.wording import first

Places = dict[str, Part[Placed]]


def apart_mm(one: Thing, two: Thing) -> Numbers:
    """The widest gap between two boxes along one axis; negative: how far they overlap at least. (samples,)."""
    return np.asarray(np.max(np.maximum(one.low - two.high, two.low - one.high), axis=-1))


def distance_mm(one: Thing, two: Thing) -> Numbers:
    """The straight distance between two boxes, 0 where they overlap. (samples,)."""
    gaps = np.maximum(0.0, np.maximum(one.low - two.high, two.low - one.high))
    return np.asarray(np.linalg.norm(gaps, axis=-1))


def around(name: str, places: Places, tables: Tables) -> Iterator[Thing]:
    """All that is known to lie round a box: the other boxes, keep-outs, ceilings, other decks."""
    own = need(places[name])
    for other, place in places.items():
        if other != name and not is_missing(place):
            yield place
    yield from _fixtures(tables)
    for plate in _known(plates, tables):
        if plate.name != own.on:
            yield plate


def _fixtures(tables: Tables) -> Iterator[Thing]:
    for name, held in tables.keep_outs.each.items():
        yield from _known(lambda name=name, held=held: [keep_out(name, held)])
    for name in tables.ceilings.each:
        yield from _known(lambda name=name: [ceiling(name, tables)])
    yield from tables.around.things


def _known(make, *args) -> list[Thing]:  # type: ignore[no-untyped-def]
    try:
        return list(make(*args))
    except NotMeasured:  # it has a line of its own
        return []


def air(name: str, places: Places, tables: Tables) -> Air:
    """Round one box: to the deck's rim, and to all else."""
    own = need(places[name])
    found: list[tuple[Numbers, str]] = []
    if own.on in tables.decks.each:
        outline = outline_of(own.on, tables.decks, tables.rims)
        found.append((outline.room_to(own.low[..., :2], own.high[..., :2]), f"the rim of {own.on}"))
    for thing in around(name, places, tables):
        if own.on == thing.name and isinstance(thing, Placed):  # stands on it: is it wholly supported?
            over = np.minimum(own.low - thing.low, thing.high - own.high)[..., :2].min(axis=-1)
            found.append((over, f"the edge of {thing.name}"))
        elif not (isinstance(thing, Placed) and thing.on == name):
            found.append((apart_mm(own, thing), thing.name))
    if not found:
        raise CannotBe("there is nothing near it to keep clear of")
    nearest = min(found, key=lambda pair: first(pair[0]))
    least = np.min(np.broadcast_arrays(*(gap for gap, _ in found)), axis=0)
    return Air(least_mm=least, to=nearest[1], at=own)


def plugs(name: str, places: Places, tables: Tables) -> Plugs:
    """Straight out of each exit's face, as far as the plug asks."""
    own, box = need(places[name]), tables.boxes.each[name]
    found: list[tuple[Numbers, str, Face, str]] = []
    for exit, held in box.exits.items():
        side = own.turn.side_of(held.face)
        to, free = _free(own, side, [t for t in around(name, places, tables) if t.kind != "plate"], tables)
        found.append((free - held.room.mm, exit, side, to))
    if not found:
        raise CannotBe("nothing is plugged into it")
    worst = min(found, key=lambda one: first(one[0]))
    spare = np.min(np.broadcast_arrays(*(one[0] for one in found)), axis=0)
    return Plugs(spare_mm=spare, exit=worst[1], looks_to=worst[2], to=worst[3], at=own)


def _free(own: Placed, side: Face, things: list[Thing], tables: Tables) -> tuple[str, Numbers]:
    """Free depth straight out of a side of a box, and what ends it."""
    axis, sense = AXIS[side]
    found: list[tuple[Numbers, str]] = [(np.full(1, 999.0), "nothing")]
    if own.on in tables.decks.each and axis < 2:
        x0, x1, y0, y1 = outline_of(own.on, tables.decks, tables.rims).bounds
        wall = (x1, y1)[axis] if sense > 0 else (x0, y0)[axis]
        rim = wall - own.high[..., axis] if sense > 0 else own.low[..., axis] - wall
        found.append((rim, f"the rim of {own.on}"))
    for thing in things:
        ahead = thing.low[..., axis] - own.high[..., axis] if sense > 0 else own.low[..., axis] - thing.high[..., axis]
        overlap = np.minimum(own.high, thing.high) - np.maximum(own.low, thing.low)
        beside = np.min(np.delete(overlap, axis, axis=-1), axis=-1) <= 0
        behind = ahead < -np.minimum(own.high - own.low, thing.high - thing.low)[..., axis] / 2
        found.append((np.where(beside | behind, 999.0, ahead), thing.name))
    nearest = min(found, key=lambda pair: first(pair[0]))
    return nearest[1], np.asarray(np.min(np.broadcast_arrays(*(depth for depth, _ in found)), axis=0))


def run(name: str, lead: str, places: Places, tables: Tables) -> Run:
    """One lead, along and across and up, as leads are laid; with the slack asked for."""
    boxes = tables.boxes.each
    held = boxes[name].leads[lead]
    length = length_of(lead, held, tables.wiring)
    ends = ends_of(name, held, boxes)
    points = []
    for box, exit in ends:
        own = need(places[box])
        points.append(own.middle + own.turn.offset(exit_of(boxes[box], exit, own.own)))
    start, end = np.broadcast_arrays(*points)
    slack = 1 + tables.stowing.slack.ratio
    decks = {need(places[box]).on for box, _ in ends}
    rim = None
    if len(decks) == 1 and (deck := decks.pop()) in tables.decks.each:
        outline = attempt(outline_of, deck, tables.decks, tables.rims)
        if not isinstance(outline, Blocked):  # a lead is judged without a rim, too
            along = need(outline).along_rim(start[0, :2], end[0, :2])
            level = first(tables.decks.each[deck].height.mm)
            rim = (along + sum(abs(float(point[0, 2]) - level) for point in (start, end))) * first(slack)
    return Run(
        box=name,
        to=ends[1][0],
        needs_mm=np.abs(start - end).sum(axis=-1) * slack,
        length_mm=length,
        along_rim_mm=rim,
        points_mm=np.stack([start, end], axis=-2),
    )


def in_reach(name: str, face: Face, places: Places, tables: Tables) -> InTheWay:
    """What stands between a face and the open side of the deck it looks to; the wall, where that side is not open."""
    own = need(places[name])
    side = own.turn.side_of(face)
    deck = tables.decks.each.get(own.on)
    walls = () if deck is None or side in words_of(deck.open_to) else (f"the wall to the {side}",)
    return _way(own, side, [t for t in around(name, places, tables) if t.kind != "ceiling"], walls)


def way_out(name: str, places: Places, tables: Tables) -> InTheWay:
    """What stands below a box that is taken out downwards; the deck, where it has doors but none for it."""
    own = need(places[name])
    deck = tables.decks.each.get(own.on)
    walls: tuple[str, ...] = ()
    if deck is not None and deck.doors:
        through = [
            first(d.x_from.mm) <= own.low[0, 0] + 1e-6 and own.high[0, 0] <= first(d.x_to.mm) + 1e-6
            and first(d.y_from.mm) <= own.low[0, 1] + 1e-6 and own.high[0, 1] <= first(d.y_to.mm) + 1e-6
            for d in deck.doors.values()
        ]  # fmt: skip
        walls = () if any(through) else (f"the deck beside its door ({', '.join(deck.doors)})",)
    return _way(own, "bottom", [t for t in around(name, places, tables) if t.kind != "ceiling"], walls)


def _way(own: Placed, side: Face, things: list[Thing], walls: tuple[str, ...]) -> InTheWay:
    axis, sense = AXIS[side]
    number, names = np.full(1, float(len(walls))), list(walls)
    for thing in things:
        overlap = np.minimum(own.high, thing.high) - np.maximum(own.low, thing.low)
        beside = np.min(np.delete(overlap, axis, axis=-1), axis=-1) <= 1e-9
        past = thing.high[..., axis] <= own.high[..., axis] if sense > 0 else thing.low[..., axis] >= own.low[..., axis]
        stands = ~(beside | past)
        number = number + stands
        if stands.flat[0]:
            names.append(thing.name)
    return InTheWay(things=tuple(names), number=number, looks_to=side, at=own)


def distance(one: str, two: str, asked: Numbers, places: Places, tables: Tables) -> Distance:
    """Between two that keep apart."""
    other = need(places[two]) if two in places else keep_out(two, tables.keep_outs.each[two])
    return Distance(
        one=one, two=two, apart_mm=distance_mm(need(places[one]), other), asked_mm=asked,
        hot=any(tables.boxes.each[n].heat == "spoilt by heat" for n in (one, two) if n in tables.boxes.each),
    )  # fmt: skip


def side(places: Places, tables: Tables) -> Side:
    """By how much the boxes alone pull the vehicle to one side; the rest is taken to be in balance."""
    boxes = tables.boxes.each
    if not boxes:
        raise CannotBe("no boxes are listed under [boxes]")
    masses = {name: mass_entry(name, tables) for name in boxes}
    blank = [mass for mass in masses.values() if not mass.known]
    if blank:
        raise NotMeasured(blank)
    moments = {name: mass.g * need(places[name]).middle[..., 1] for name, mass in masses.items()}
    whole = np.sum(np.broadcast_arrays(*(mass.g for mass in masses.values())), axis=0)
    moment = np.sum(np.broadcast_arrays(*moments.values()), axis=0)
    vehicle = np.maximum(tables.loads.mass.g, whole)
    sign = np.sign(first(moment)) or 1.0
    heaviest = max(moments, key=lambda name: sign * first(moments[name]))
    return Side(
        off_mm=moment / vehicle, limit_mm=tables.stowing.side_limit.mm, boxes_g=np.asarray(whole), heaviest=heaviest
    )
