"""The shopping list: what has to be bought, by general description, how many, and what each must stand."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

import numpy as np

from coachwork.build import Entry
from coachwork.build.sections.changes import ChangedEnd, Changes
from coachwork.build.sections.gearing import Gearing
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.wheels import Wheel, Wheels
from coachwork.build.sections.wiring import Wiring
from coachwork.catalogue.preferred import RESISTOR_POWER_W, next_of
from coachwork.papers import cautions
from coachwork.papers.cut_list import wire_totals
from coachwork.papers.item import Item
from coachwork.papers.made_fixings import made_fixings
from coachwork.papers.made_steps import made
from coachwork.papers.rods import ENDS, rods_of
from coachwork.papers.sheet import Block, Caution, Gap, Heading, Sheet, Table, Tick, Words
from coachwork.papers.stowage_drawing import HOLE, lugs
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.papers.wire_facts import wires_of
from coachwork.studies.linkage.result import EndResult
from coachwork.studies.parts import is_missing
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.wiring.result import WiringResult

KGF_CM = 98.0665  # N mm
SERVO_SPARE = 1.5  # a servo's stall torque over what it has to give; common practice, no source


def shopping_list(of: Subject) -> Sheet:
    """By counter: running gear, electrics, fixings."""
    counters = (
        ("Running gear", [*_wheels(of), *_springs(of), *_gears(of), *_rods(of)],
         "Nothing new on the running gear is planned; new wheels stand under [wheels], the rest under [changes]."),
        ("Pack, wire and electrics", [*_power(of), *_wire(of), *_lights(of), *_servo(of)],
         "Nothing electric is described yet: see [pack] and [wiring]."),
        ("Fixings", [*made_fixings(of), *_fixings(of)],
         "No part is to be made, no box has a place yet and no post is described, so no screws are counted."),
    )  # fmt: skip
    blocks: list[Block] = [
        Words("General descriptions only. Tick what the drawer holds already. “Not told”: the build file does not say.")
    ]
    for title, items, lacking in counters:
        blocks.append(Heading(title))
        if items:
            blocks.append(_table(items))
        else:
            blocks.append(Gap("Nothing to buy here yet.", lacking))
    blocks.append(Caution(cautions.PACK))
    return Sheet(
        name="shopping-list", title=f"Shopping list: {of.name}", about="What to buy, how many, and what it must stand.",
        blocks=tuple(blocks),
    )  # fmt: skip


def _table(items: list[Item]) -> Table:
    rows = tuple((Tick(), item.what, item.number, item.rated or "not told", item.what_for) for item in items)
    return Table(heads=("", "what", "how many", "rated, set or sized", "for"), rows=rows, widths=(0, 3, 1.2, 3.2, 2.4))


def _told(of: Subject, *pairs: tuple[str, Entry]) -> str:
    """The known ones of some entries, each behind its word."""
    return ", ".join(
        f"{word} {of.units.rating(entry.measured)}".strip() for word, entry in pairs if entry.measured is not None
    )


def _wheels(of: Subject) -> Iterator[Item]:
    for end in ENDS:
        wheel: Wheel = getattr(of.build[Wheels], end)
        if not wheel.given:
            continue
        rim = _told(of, ("width", wheel.rim_width), ("inset", wheel.inset), ("backspace", wheel.backspace),
                    ("seat", wheel.seat_diameter))  # fmt: skip
        tyre = _told(of, ("diameter", wheel.tyre_diameter), ("width", wheel.tyre_width), ("bead", wheel.bead_diameter))
        yield Item(what="rim", number="2", rated=rim, what_for=f"{end} wheels")
        yield Item(what="tyre", number="2", rated=tyre, what_for=f"{end} wheels")


def _springs(of: Subject) -> Iterator[Item]:
    for end in ENDS:
        change: ChangedEnd = getattr(of.build[Changes], end)
        if change.spring.rate.given or change.spring.free_length.given:
            rated = _told(of, ("", change.spring.rate), ("free length", change.spring.free_length))
            yield Item(what="compression spring", number="2", rated=rated, what_for=f"{end} dampers")
        if change.damper.oil.given:
            yield Item(what="damper oil", number="1 bottle", rated=_told(of, ("", change.damper.oil)),
                       what_for=f"{end} dampers")  # fmt: skip


def _gears(of: Subject) -> Iterator[Item]:
    changes, gearing = of.build[Changes], of.build[Gearing]
    pitch = _told(of, ("module", gearing.module), ("teeth an inch", gearing.diametral_pitch))
    for what, teeth in (("pinion", changes.pinion_teeth), ("spur gear", changes.spur_teeth)):
        if teeth.given:
            sized = f"{float(teeth.count[0]):.0f} teeth" + (f", {pitch}, as the gear it meets" if pitch else "")
            yield Item(what=what, number="1", rated=sized, what_for="gearing")
    if changes.belt_teeth.given:
        yield Item(what="toothed belt", number="1", rated=f"{float(changes.belt_teeth.count[0]):.0f} teeth, pitch as "
                   "the donor's", what_for="centre drive")  # fmt: skip


def _rods(of: Subject) -> Iterator[Item]:
    rods = rods_of(of)
    links = [rod for rod in rods if rod.what == "link"]
    if links:
        total = sum(rod.number * (rod.told_mm or 0.0) for rod in links)
        across = sorted({round(rod.across_mm, 1) for rod in links if rod.across_mm is not None})
        size = " and ".join(of.units.length(one) for one in across)
        yield Item(what="threaded rod or turnbuckle stock", number=of.units.length(total, decimals=0, both=True),
                   rated=f"across {size}" if size else "", what_for=", ".join(rod.name for rod in links))  # fmt: skip
        yield Item(what="rod end with its ball and stud", number=str(2 * sum(rod.number for rod in links)),
                   rated=_tips(of), what_for="these links")  # fmt: skip
    for rod in rods:
        if rod.what == "shaft" and rod.told_mm is not None:
            yield Item(what="drive shaft", number=str(rod.number), what_for=rod.name,
                       rated=of.units.length(rod.told_mm) + (f", across {of.units.length(rod.across_mm)}"
                                                             if rod.across_mm is not None else ""))  # fmt: skip
    for rod in rods:
        if rod.what == "tube" and rod.told_mm is not None:
            wide = f", across {of.units.length(rod.across_mm)}" if rod.across_mm is not None else ""
            yield Item(what="tube, spacer or post", number=str(rod.number), what_for=rod.name,
                       rated=f"{of.units.length(rod.told_mm)} long{wide}")  # fmt: skip


def _tips(of: Subject) -> str:
    """How far the rod ends have to tip, where the linkage tells."""
    most = 0.0
    for end in ENDS:
        found = getattr(of.result("linkage"), end)
        if isinstance(found, EndResult) and not is_missing(found.changed) and not is_missing(found.changed.joints):
            for angles in found.changed.joints.angle_rad.values():
                most = max(most, float(np.nanmax(np.abs(angles[0]))))
    return f"tips {math.ceil(math.degrees(most))} deg or more each way" if most else ""


def _power(of: Subject) -> Iterator[Item]:
    pack = of.build[Pack]
    if pack.cells.known:
        rated = _told(of, ("", pack.capacity), ("discharge rating", pack.discharge_rating))
        cells = f"{float(pack.cells.count[0]):.0f} cells in series"
        yield Item(what=f"{pack.chemistry} pack", number="1", rated=f"{cells}, {rated}" if rated else cells,
                   what_for="drive")  # fmt: skip
    for name, one in of.build[Regulators].each.items():
        if one.used and one.fed_by.strip() != "controller":
            rated = _told(of, ("", one.voltage), ("", one.current_limit), ("peak", one.peak_limit))
            yield Item(what=f"{one.kind} regulator", number="1", rated=rated, what_for=called(name))


def _wire(of: Subject) -> Iterator[Item]:
    for (gauge, colour), mm in wire_totals(of).items():
        yield Item(what=f"flexible wire, {colour}", number=of.units.length(mm, decimals=0, both=True), rated=gauge,
                   what_for="wiring")  # fmt: skip
    wires = wires_of(of)
    plugs = Counter[str]()
    for one in wires:
        if one.plug:
            plugs[one.plug] += one.plugs
    for plug, number in sorted(plugs.items()):
        most = max((one.most_a for one in wires if one.plug == plug and one.most_a is not None), default=None)
        carries = f"carries {most:.1f} A" if most is not None else ""
        yield Item(what=f"{plug}, plug and socket", number=f"{number} pair{'s' if number > 1 else ''}", rated=carries,
                   what_for="wiring")  # fmt: skip
    for one in wires:
        if one.fuse_a is not None:
            yield Item(what="fuse with holder", number="1", rated=f"{one.fuse_a:g} A", what_for=called(one.name))
    table = of.build[Wiring]
    for name, switch in table.switches.items():
        yield Item(what="switch", number="1", rated=_told(of, ("", switch.rating)), what_for=called(name))
    if wires:
        yield Item(what="shrink sleeve", number="an assortment", rated="twice the wire's width",
                   what_for="every joint")  # fmt: skip


def _lights(of: Subject) -> Iterator[Item]:
    result: WiringResult = of.result("wiring")
    for name, string in of.build[Wiring].light_strings.items():
        sides = round(float(string.strings.count[0])) if string.strings.given else 1
        if string.leds.known:
            number = sides * round(float(string.leds.count[0]))
            rated = _told(of, ("", string.forward_voltage), ("at", string.rated_current))
            yield Item(what="LED", number=str(number), rated=rated, what_for=called(name))
        plan = result.plans[name]
        if not is_missing(plan) and plan.preferred_ohm is not None and not string.resistor.given:
            amperes = float(plan.wanted_a[0]) * (sides if string.one_resistor else 1)
            watts = next_of(RESISTOR_POWER_W, 2 * amperes**2 * plan.preferred_ohm)
            yield Item(what="resistor", number=str(1 if string.one_resistor else sides),
                       rated=f"{plan.preferred_ohm:g} ohm (E12), {watts:g} W", what_for=called(name))  # fmt: skip


def _servo(of: Subject) -> Iterator[Item]:
    """A stronger one where the linkage study says that this one is too weak."""
    for verdict in of.report.of("linkage"):
        if verdict.id.endswith(".servo-torque") and verdict.state == "fails" and verdict.limit is not None:
            end = verdict.id.split(".")[1]
            found = getattr(of.result("linkage"), end)
            if not isinstance(found, EndResult) or is_missing(found.changed) or is_missing(found.changed.servo):
                continue
            needs = float(np.nanmax(np.abs(found.changed.servo.torque_nmm[0]))) / KGF_CM
            yield Item(what="steering servo", number="1", what_for=f"{end} steering, in place of one too weak",
                       rated=f"{SERVO_SPARE * needs:.1f} kgf cm or more at your receiver's volts; turning the tyres on "
                       f"the spot takes {needs:.1f}")  # fmt: skip


def _fixings(of: Subject) -> Iterator[Item]:
    result: StowageResult = of.result("stowage")
    placed = {name: part.at for name, part in result.air.items() if not is_missing(part)}
    trays = taped = 0
    for name, box in of.build_boxes().items():
        if name not in placed or of.box_is_fixed(name) or box.comes_out:
            continue
        if box.held_by == "tray":
            trays += len(lugs(placed[name]))
        else:
            taped += 2
    if trays:
        yield Item(what="screw M3 with washer", number=str(trays), rated=f"for holes of {HOLE:g} mm",
                   what_for="trays on the decks")  # fmt: skip
    if taped:
        yield Item(what="double-sided foam tape", number=f"{taped} strips", rated="1 mm thick, for cars or mirrors",
                   what_for="boxes on the decks")  # fmt: skip
    posts = sum(rod.number for rod in rods_of(of) if rod.key.startswith(("keep-outs", "envelopes")))
    if posts:
        ends, told = (1, "posts, at their upper ends") if made(of, "chassis") else (2, "posts, one at either end")
        yield Item(what="screw M3 with washer, and a nut or insert", number=str(ends * posts),
                   rated="length by the parts", what_for=told)  # fmt: skip
        yield Item(what="thread-lock, medium", number="1 bottle", rated="metal into metal only",
                   what_for="motor, gears, drive")  # fmt: skip
