"""Findings on makeability: numbers in, words out."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.makeability.cures import edge_cure, screw_wall_cure, wall_cure
from coachwork.studies.makeability.order import Order
from coachwork.studies.makeability.result import Checked, MakeabilityResult, Roomed, ScrewTip, Spot
from coachwork.studies.makeability.seats import LEFT_TO_REAM_MM, Seat
from coachwork.studies.parts import Blocked, Part, is_missing
from coachwork.studies.solids import Vector
from coachwork.studies.wording import COMMON_PRACTICE, called

ISO_273 = "ISO 273:1979, fine series (from memory)"
ISO_286 = "ISO 286-1:2010, H7; ISO 492:2014, class Normal; the process's spread is common practice"
LITHIUM = "safety rule for lithium packs: nothing sharp near them; common practice, no source"
GEOMETRY = "geometry: two bodies cannot be in one place"


def findings(result: MakeabilityResult) -> Iterator[Finding]:
    """Of parts that are made; those that are not are one finding together."""
    if not result.wanted:
        return
    yield judge(_made(result), _all_made, id="makeability.made", question="Are the parts made as the build asks now?")
    for name, wanted in result.wanted.items():
        for part in (wanted.spec, wanted.settings):
            if is_missing(part):
                yield judge(part, _never, id=f"makeability.{name}.drawn", question=f"Can the {called(name)} be drawn?")
                break
    for name, checked in result.checked.items():
        yield from _of_part(name, checked)
    for key, tip in result.screws.items():
        part, _, hole = key.partition(".")
        question = f"Does the {called(part)}'s screw {called(hole).replace('.', ' ')} stay out of the boxes?"
        yield judge(tip, _tip, id=f"makeability.{part}.screw.{hole}", question=question)
    if result.order is not None:
        yield judge(result.order, _order, id="makeability.order",
                    question="Can every screw be reached when its turn comes?")  # fmt: skip
    if not result.unmade and result.checked:
        yield judge(result.price, _price, id="makeability.price", question="Do the parts cost what they may?")


def _made(result: MakeabilityResult) -> Part[int]:
    if not result.unmade:
        return 0
    names = ", ".join(called(name) for name in result.unmade[:3]) + (" and others" if len(result.unmade) > 3 else "")
    return Blocked(f"not made yet, or changed since: {names}; run coachwork make, which draws and measures them")


def _all_made(_: int) -> Told:
    return {"value": 0.0, "limit": 0.0, "unit": "parts", "why": "every part stands made as the build asks now",
            "do": None, "source": "what is measured is only the part that was measured"}  # fmt: skip


def _never(_: object) -> Told:
    raise AssertionError("only asked of a part that is missing")


def _of_part(name: str, checked: Checked) -> Iterator[Finding]:
    it, rules = f"the {called(name)}", checked.process
    ask = f"makeability.{name}"
    yield judge(checked.wall, lambda s: _wall(s, checked, it), id=f"{ask}.wall",
                question=f"Is {it} thick enough everywhere?")  # fmt: skip
    if checked.screw_wall is not None:
        yield judge(checked.screw_wall, lambda s: _screw_wall(s, checked, it), id=f"{ask}.screw-wall",
                    question=f"Do screws find enough round them in {it}?")  # fmt: skip
    if checked.edge is not None:
        yield judge(checked.edge, lambda s: _edge(s, checked, it), id=f"{ask}.edge",
                    question=f"Are {it}'s screw holes far enough from the edge?")  # fmt: skip
    if checked.places is not None:
        yield judge(checked.places, lambda s: _places(s, checked, it), id=f"{ask}.holes",
                    question=f"Are {it}'s holes where they should be?")  # fmt: skip
    if checked.smallest_hole is not None:
        yield judge(checked.smallest_hole, lambda s: _small(s, checked, it), id=f"{ask}.hole-size",
                    question=f"Do {it}'s holes come out open?")  # fmt: skip
    if checked.passes is not None:
        yield judge(checked.passes, lambda s: _passes(s, checked, it), id=f"{ask}.screws-pass",
                    question=f"Do screws pass through {it}'s holes?")  # fmt: skip
    if checked.gap is not None:
        yield judge(checked.gap, lambda s: _gap(s, checked, it), id=f"{ask}.gap",
                    question=f"Do {it}'s slots and gaps stay open?")  # fmt: skip
    if checked.driver is not None:
        yield judge(checked.driver, lambda s: _driver(s, checked, it), id=f"{ask}.driver",
                    question=f"Does a driver reach {it}'s screws?")  # fmt: skip
    if checked.seat is not None:
        yield judge(checked.seat, lambda s: _seat(s, checked, it), id=f"{ask}.seats",
                    question=f"Do bearings sit firmly in {it}?")  # fmt: skip
    yield judge(checked.room, lambda r: _room(r, checked, it), id=f"{ask}.room",
                question=f"Does {it} fit into the printer?")  # fmt: skip
    if rules.drains:
        yield judge(checked.trapped_cm3, lambda v: _trapped(v, checked, it), id=f"{ask}.trapped",
                    question=f"Can powder or resin get out of {it}?")  # fmt: skip
    if rules.overhang_mm2 is not None:
        yield judge(checked.overhang_mm2, lambda v: _overhang(v, checked, it), id=f"{ask}.overhang",
                    question=f"Can {it} be printed with little support?")  # fmt: skip


def _where(checked: Checked, spot: Spot) -> Place:
    return Place(part=checked.wanted.name, point_mm=spot.point_mm)


def _at(spot: Spot) -> str:
    if spot.name:
        return f"beside the hole {spot.name}"
    if spot.point_mm is None:
        return "everywhere"
    return f"at {_point(spot.point_mm)} mm"


def _point(at: Vector) -> str:
    return "x {:.1f}, y {:.1f}, z {:.1f}".format(*at)


def _wall(spot: Spot, checked: Checked, it: str) -> Told:
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"{it} is {spot.value:.2f} mm thick {_at(spot)}; {checked.process.name} needs {spot.limit:.1f} mm",
        "do": wall_cure(spot, checked) if spot.value < spot.limit else None,
        "where": _where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def _screw_wall(spot: Spot, checked: Checked, it: str) -> Told:
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"a screw that cuts its thread at {spot.name} has {spot.value:.2f} mm round it; it splits {it} there "
               f"under some {spot.limit:.1f} mm",
        "do": screw_wall_cure(spot, checked) if spot.value < spot.limit else None,
        "where": _where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def _edge(spot: Spot, checked: Checked, it: str) -> Told:
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.02,
        "unit": "hole diameters",
        "why": f"the hole {spot.name} lies {spot.value:.2f} of its diameters from {it}'s edge, axis to edge; under "
               f"{spot.limit:.1f} the edge tears out",
        "do": edge_cure(spot, checked) if spot.value < spot.limit else None,
        "where": _where(checked, spot), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _places(spot: Spot, checked: Checked, it: str) -> Told:
    lost = spot.value >= 2.0
    off = "no round hole is found within 2 mm of where" if lost else f"the hole is {spot.value:.2f} mm off where"
    return {
        "value": spot.value, "limit": spot.limit, "tight_within": 0.02, "unit": "mm",
        "why": f"{off} {spot.name} should be; its screw or pin has {spot.limit:.2f} mm to spare",
        "do": (f"move the hole in your drawing by {spot.value:.2f} mm, or the entry in the build file"
               if spot.value > spot.limit else None),
        "where": _where(checked, spot), "source": "ISO 273:1979, medium series (from memory): half of hole less screw",
    }  # fmt: skip


def _small(spot: Spot, checked: Checked, it: str) -> Told:
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"the smallest hole of {it}, {spot.name}, is drawn {spot.value:.2f} mm; {checked.process.name} keeps "
               f"{spot.limit:.1f} mm open",
        "do": f"draw it {spot.limit:.1f} mm, or drill it afterwards" if spot.value < spot.limit else None,
        "where": _where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def _passes(spot: Spot, checked: Checked, it: str) -> Told:
    short = spot.limit - spot.value
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.02, "unit": "mm",
        "why": f"the hole {spot.name} comes out {spot.value:.2f} mm; its screw needs {spot.limit:.1f} mm",
        "do": f"draw it {short:.2f} mm larger, or drill it to {spot.limit:.1f} mm" if short > 0 else None,
        "where": _where(checked, spot), "source": ISO_273,
    }  # fmt: skip


def _gap(spot: Spot, checked: Checked, it: str) -> Told:
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"{it} has a gap of {spot.value:.2f} mm {_at(spot)}; under {spot.limit:.1f} mm it grows shut in "
               f"{checked.process.name}",
        "do": f"widen it by {spot.limit - spot.value:.2f} mm, or close it" if spot.value < spot.limit else None,
        "where": _where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def _driver(spot: Spot, checked: Checked, it: str) -> Told:
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "unit": "mm",
        "why": f"straight before {spot.name} a driver meets nothing of {it} for {spot.value:.0f} mm; its straight part "
               f"is {spot.limit:.0f} mm long",
        "do": f"turn the screw in from the other side, or move it, until {spot.limit:.0f} mm are free"
              if spot.value < spot.limit else None,
        "where": _where(checked, spot), "source": GEOMETRY,
    }  # fmt: skip


def _seat(seat: Seat, checked: Checked, it: str) -> Told:
    """Reamed: what is left to ream. As made: half the fit's zone against what the process scatters by."""
    low, high = seat.comes_mm - seat.spread_mm, seat.comes_mm + seat.spread_mm
    fit = (
        f"H7 goes from {seat.ring_mm:.3f} to {seat.ring_mm + seat.zone_mm:.3f} mm, in which the ring has at most "
        f"{1000 * seat.loosest_mm:.0f} thousandths of a mm of play"
    )
    told: Told = {
        "why": f"{it}'s seat {seat.name} comes out {low:.2f} to {high:.2f} mm wide in {checked.process.name}; {fit}",
        "where": Place(part=checked.wanted.name, point_mm=seat.point_mm), "source": ISO_286,
    }  # fmt: skip
    if seat.reamed:
        short = LEFT_TO_REAM_MM - seat.left_mm
        return told | {
            "value": seat.left_mm, "limit": LEFT_TO_REAM_MM, "sense": "at least", "tight_within": 0.02, "unit": "mm",
            "do": f"draw the seat {short:.2f} mm narrower, and ream it to {seat.ring_mm:g} H7" if short > 0 else None,
        }  # fmt: skip
    return told | {
        "value": seat.spread_mm, "limit": seat.zone_mm / 2, "sense": "at most", "tight_within": 0.0, "unit": "mm",
        "do": f'making.seats = "reamed": drawn too narrow, and reamed to {seat.ring_mm:g} H7 by hand'
              if seat.margin_mm < 0 else None,
    }  # fmt: skip


def _room(roomed: Roomed, checked: Checked, it: str) -> Told:
    a, b, c = roomed.size_mm
    x, y, z = roomed.room_mm
    left = roomed.left_mm
    one, other = (checked.solid.on_chassis(end) for end in roomed.ends_mm)
    far = "" if left >= 0 else f"; what sticks out lies at {_point(one)} or at {_point(other)}"
    return {
        "value": left, "limit": 0.0, "sense": "at least", "tight_within": 2.0, "unit": "mm",
        "why": f"turned as it fits best, {it} measures {a:.0f} x {b:.0f} x {c:.0f} mm in a room of "
               f"{x:.0f} x {y:.0f} x {z:.0f} mm{far}",
        "do": (f"have it made where there are {-left:.0f} mm more room, or print it in two halves bolted together over "
               "the deck") if left < 0 else None,
        "where": Place(part=checked.wanted.name, point_mm=one), "source": GEOMETRY,
    }  # fmt: skip


def _trapped(trapped: float, checked: Checked, it: str) -> Told:
    return {
        "value": trapped, "limit": 0.0, "tight_within": 0.0, "unit": "cm3",
        "why": f"{it} has closed hollows of {trapped:.2f} cm3" if trapped > 0 else f"{it} has no closed hollow",
        "do": "open each hollow with two holes of 4 mm" if trapped > 0 else None,
        "where": Place(part=checked.wanted.name), "source": checked.process.source,
    }  # fmt: skip


def _overhang(area: float, checked: Checked, it: str) -> Told:
    limit = checked.process.overhang_mm2 or 0.0
    return {
        "value": area, "limit": limit, "tight_within": 0.05 * limit, "unit": "mm2",
        "why": f"lying on its {checked.overhang_on} side, {it} has {area:.0f} mm2 that hang over nothing",
        "do": "give slopes of 45 degrees to what hangs, or have it made in a powder bed" if area > limit else None,
        "where": Place(part=checked.wanted.name), "source": COMMON_PRACTICE,
    }  # fmt: skip


def _tip(tip: ScrewTip) -> Told:
    short = tip.limit_mm - tip.room_mm
    pack = tip.limit_mm > 0
    into = f"goes {-tip.room_mm:.1f} mm into" if tip.room_mm < 0 else f"stays {tip.room_mm:.1f} mm clear of"
    return {
        "value": tip.room_mm, "limit": tip.limit_mm, "sense": "at least", "tight_within": 0.2, "unit": "mm",
        "why": f"a screw {tip.screw_mm:.0f} mm long {into} the {called(tip.box)}"
               + ("; a lithium pack that is pierced burns" if pack and short > 0 else ""),
        "do": f"take a screw {short:.1f} mm shorter: at most {tip.screw_mm - short:.0f} mm" if short > 0 else None,
        "where": Place(part=tip.box, point_mm=tip.tip_mm), "source": LITHIUM if pack else GEOMETRY,
    }  # fmt: skip


def _order(order: Order) -> Told:
    count = sum("/" in step for step in order.steps)
    in_hand = sum(screw.partition("/")[0] in before for screw, before in order.early.items())
    why = f"{count} screws go in one after another with a straight way for the driver"
    if in_hand:
        why += f"; {in_hand} of them before their own part is fitted, as into the shell"
    if others := [
        f"{told_screw(screw)} before the {called(name)}"
        for screw, before in order.early.items() for name in before if name != screw.partition("/")[0]
    ]:  # fmt: skip
        why += f"; {', '.join(others[:3])}" + (f" and {len(others) - 3} more such" if len(others) > 3 else "")
    return {
        "value": 0.0, "limit": 0.0, "tight_within": 0.0, "unit": "screws out of reach", "why": why, "do": None,
        "source": GEOMETRY,
    }  # fmt: skip


def told_screw(step: str) -> str:
    """A screw's step in words.

    >>> told_screw("bracket-front-left/shell.right")
    "the bracket front left's screw shell right"
    """
    part, _, hole = step.partition("/")
    return f"the {called(part)}'s screw {called(hole).replace('.', ' ')}"


def _price(price: tuple[float, float]) -> Told:
    value, limit = price
    return {
        "value": value, "limit": limit, "tight_within": 0.02 * limit, "unit": "of your money",
        "why": f"at your rates all parts together cost {value:.0f}",
        "do": f"save {value - limit:.0f}: thinner floors, or fewer parts in this order" if value > limit else None,
        "source": "your own rates, [making]",
    }  # fmt: skip
