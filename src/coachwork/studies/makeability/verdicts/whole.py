"""The part as a whole, and all parts together: room, hollows, overhangs, screws against boxes, order, price."""

from __future__ import annotations

from coachwork.studies.finding import Place, Told
from coachwork.studies.makeability.cures import down, up
from coachwork.studies.makeability.order import Order
from coachwork.studies.makeability.result import Checked, Roomed, ScrewTip
from coachwork.studies.makeability.verdicts.holes import GEOMETRY
from coachwork.studies.makeability.verdicts.spots import point_words
from coachwork.studies.parts import Blocked
from coachwork.studies.wording import COMMON_PRACTICE, called

LITHIUM = "safety rule for lithium packs: nothing sharp near them; common practice, no source"


def room(roomed: Roomed, checked: Checked, it: str) -> Told:
    """In the printer."""
    a, b, c = roomed.size_mm
    x, y, z = roomed.room_mm
    left = roomed.left_mm
    one, other = (checked.solid.on_chassis(end) for end in roomed.ends_mm)
    far = "" if left >= 0 else f"; what sticks out lies at {point_words(one)} or at {point_words(other)}"
    return {
        "value": left, "limit": 0.0, "sense": "at least", "tight_within": 2.0, "unit": "mm",
        "why": f"turned as it fits best, {it} measures {a:.0f} x {b:.0f} x {c:.0f} mm in a room of "
               f"{x:.0f} x {y:.0f} x {z:.0f} mm{far}",
        "do": (f"have it made where there are {up(-left):.1f} mm more room, or print it in two halves bolted together "
               "over the deck") if left < 0 else None,
        "where": Place(part=checked.wanted.name, point_mm=one), "source": GEOMETRY,
    }  # fmt: skip


def closed(watertight: bool, checked: Checked, it: str) -> Told:
    """The triangles that go to the printer."""
    why = f"the triangles of {it} enclose it on all sides" if watertight else (
        f"the triangles of {it} leave a hole or a slit; a printer cannot tell its inside from its outside"
    )  # fmt: skip
    return {
        "value": 0.0 if watertight else 1.0, "limit": 0.0, "tight_within": 0.0, "unit": "open meshes", "why": why,
        "do": None if watertight else "send its STEP file, and have it meshed by who makes it", "source": GEOMETRY,
        "where": Place(part=checked.wanted.name),
    }  # fmt: skip


def trapped(trapped: float, checked: Checked, it: str) -> Told:
    """Closed hollows."""
    return {
        "value": trapped, "limit": 0.0, "tight_within": 0.0, "unit": "cm3",
        "why": f"{it} has closed hollows of {trapped:.2f} cm3" if trapped > 0 else f"{it} has no closed hollow",
        "do": "open each hollow with two holes of 4 mm" if trapped > 0 else None,
        "where": Place(part=checked.wanted.name), "source": checked.process.source,
    }  # fmt: skip


def overhang(area: float, checked: Checked, it: str) -> Told:
    """What hangs over nothing."""
    limit = checked.process.overhang_mm2 or 0.0
    return {
        "value": area, "limit": limit, "tight_within": 0.05 * limit, "unit": "mm2",
        "why": f"lying on its {checked.overhang_on} side, {it} has {area:.0f} mm2 that hang over nothing",
        "do": "give slopes of 45 degrees to what hangs, or have it made in a powder bed" if area > limit else None,
        "where": Place(part=checked.wanted.name), "source": COMMON_PRACTICE,
    }  # fmt: skip


def tip(tip: ScrewTip) -> Told:
    """A screw against the boxes."""
    short = tip.limit_mm - tip.room_mm
    pack = tip.limit_mm > 0
    into = f"goes {-tip.room_mm:z.1f} mm into" if tip.room_mm < 0 else f"stays {tip.room_mm:z.1f} mm clear of"
    return {
        "value": tip.room_mm, "limit": tip.limit_mm, "sense": "at least", "tight_within": 0.2, "unit": "mm",
        "why": f"a screw {tip.screw_mm:.0f} mm long {into} the {called(tip.box)}"
               + ("; a lithium pack that is pierced burns" if pack and short > 0 else ""),
        "do": _shorter(tip) if short > 0 else None,
        "where": Place(part=tip.box, point_mm=tip.tip_mm), "source": LITHIUM if pack else GEOMETRY,
    }  # fmt: skip


def _shorter(tip: ScrewTip) -> str:
    fits = down(tip.fits_mm)
    apart = f"move the hole and the {called(tip.box)} {up(tip.limit_mm - tip.room_mm):.1f} mm further apart"
    return f"take a screw of at most {fits:.1f} mm" if fits > 0 else f"{apart}: no screw in it is short enough"


def order(order: Order) -> Told:
    """Of assembly."""
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


def out_of_reach(no: Blocked) -> Told:
    """No order of assembly does."""
    return {
        "value": no.short or 0.0, "limit": 0.0, "tight_within": 0.0, "unit": "screws out of reach", "why": no.why,
        "do": "turn that screw in from its other side, or move what is in its driver's way", "source": GEOMETRY,
    }  # fmt: skip


def told_screw(step: str) -> str:
    """A screw's step in words.

    >>> told_screw("bracket-front-left/shell.right")
    "the bracket front left's screw shell right"
    """
    part, _, hole = step.partition("/")
    return f"the {called(part)}'s screw {called(hole).replace('.', ' ')}"


def price(price: tuple[float, float]) -> Told:
    """Of all parts."""
    value, limit = price
    return {
        "value": value, "limit": limit, "tight_within": 0.02 * limit, "unit": "of your money",
        "why": f"at your rates all parts together cost {value:.0f}",
        "do": f"save {value - limit:.0f}: thinner floors, or fewer parts in this order" if value > limit else None,
        "source": "your own rates, [making]",
    }  # fmt: skip
