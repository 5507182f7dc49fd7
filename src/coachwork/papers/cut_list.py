"""The cut list: rod, shaft, tube, wire by gauge and length, resistors of the light strings."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.build.sections.wiring import Wiring
from coachwork.catalogue.preferred import preferred_at_least
from coachwork.papers import cautions
from coachwork.papers.rods import Rod, rods_of
from coachwork.papers.sheet import Block, Caution, Cell, Gap, Heading, Sheet, Table, Tick, WriteIn
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.papers.wire_facts import WireFacts, gauge_words, wires_of
from coachwork.studies.parts import Blocked, is_missing
from coachwork.studies.wiring.result import WiringResult

STRIP_MM = 10.0  # more at either end of a wire, for stripping and a second try; common practice, no source
SPARE = 1.1  # of each gauge, for mistakes; common practice, no source


def cut_list(of: Subject) -> Sheet:
    """One table a material."""
    rods = rods_of(of)
    blocks: list[Block] = [Caution(f"{cautions.BLADES} {cautions.SOLDER}")]
    blocks += _links(of, [rod for rod in rods if rod.what == "link"])
    blocks += _others(
        of,
        "Shafts",
        [rod for rod in rods if rod.what == "shaft"],
        "No new drive shafts.",
        "Their lengths stand under [changes]; nothing asks for others.",
    )
    blocks += _others(
        of,
        "Tube, spacers and posts",
        [rod for rod in rods if rod.what == "tube"],
        "No tube.",
        "Hub spacers stand under [changes], posts under [keep-outs] or [envelopes].",
    )
    blocks += _wires(of)
    blocks += _resistors(of)
    return Sheet(
        name="cut-list",
        title=f"Cut list: {of.name}",
        about="What to cut, from what, how long, how often.",
        blocks=tuple(blocks),
    )


def _links(of: Subject, rods: list[Rod]) -> Iterator[Block]:
    yield Heading("Threaded rod for links")
    if not rods:
        yield Gap("No new links.", "Camber links and tie-rods stay as bought; new lengths stand under [changes].")
        return
    rows: list[tuple[Cell, ...]] = []
    for rod in rods:
        rows.append(
            (
                rod.name,
                str(rod.number),
                _across(of, rod),
                _length(of, rod),
                _other(of, rod),
                WriteIn(unit=of.units.unit),
                Tick(),
            )
        )
    yield Table(
        heads=("link", "pieces", "across", "ball to ball", "the study would have", "rod to cut", "done"),
        rows=tuple(rows),
        widths=(2.2, 0, 1.2, 1.7, 1.8, 1.8, 0),
        note="Rod to cut = ball to ball - 2 a + 2 e: a from the ball's centre to the mouth of the rod end, by "
        "callipers; e how deep the rod sits in it, at least one and a half times its thread's diameter (common "
        "practice, no source). Cut both of a pair in one go, then set them with the callipers over the balls.",
    )


def _others(of: Subject, title: str, rods: list[Rod], what: str, why: str) -> Iterator[Block]:
    yield Heading(title)
    if not rods:
        yield Gap(what, why)
        return
    rows = tuple(
        (rod.name, str(rod.number), _across(of, rod), _length(of, rod), rod.measured, _other(of, rod), Tick())
        for rod in rods
    )
    yield Table(
        heads=("part", "pieces", "across", "length", "measured", "the study would have", "done"),
        rows=rows,
        widths=(2.2, 0, 1.2, 1.6, 2.4, 1.8, 0),
    )


def _across(of: Subject, rod: Rod) -> str:
    return "not told" if rod.across_mm is None else of.units.length(rod.across_mm)


def _length(of: Subject, rod: Rod) -> str:
    return "not planned" if rod.length_mm is None else of.units.length(rod.length_mm, decimals=2)


def _other(of: Subject, rod: Rod) -> str:
    return "" if rod.proposed_mm is None else of.units.length(rod.proposed_mm, decimals=2)


def wire_totals(of: Subject) -> dict[tuple[str, str], float]:
    """{(gauge, colour): mm in all}, plus and minus of each lead, strippings and spare included; unknown gauges last."""
    totals: dict[tuple[str, str], float] = {}
    for one in wires_of(of):
        if one.length_mm is None:
            continue
        area = one.area_mm2 if one.area_mm2 is not None else one.wanted_mm2
        gauge = "gauge not known" if area is None else gauge_words(area)
        for colour in _colours(one):
            key = (gauge, colour)
            totals[key] = totals.get(key, 0.0) + SPARE * (one.length_mm + 2 * STRIP_MM)
    return dict(sorted(totals.items(), key=lambda item: (item[0][0].startswith("gauge"), item[0])))


def _colours(one: WireFacts) -> tuple[str, str]:
    """Of plus and minus."""
    named = [part.strip() for part in one.colour.replace("/", ",").split(",") if part.strip()]
    return (named[0], named[1]) if len(named) == 2 else ("plus", "minus")


def _wires(of: Subject) -> Iterator[Block]:
    yield Heading("Wire")
    wires = wires_of(of)
    if not wires:
        yield Gap("No wire yet.", "Each lead wants a line under [wiring.leads]; see docs/wiring.md.")
        return
    rows: list[tuple[Cell, ...]] = []
    for number, one in enumerate(wires, start=1):
        long = (
            "not measured"
            if one.length_mm is None
            else of.units.length(one.length_mm + 2 * STRIP_MM, decimals=0, both=True)
            + (", from a guess" if one.guessed else "")
        )
        gauge = one.gauge
        if one.wanted_mm2 is not None:
            gauge += f"; usual for what it carries: {gauge_words(one.wanted_mm2)}"
        plus, minus = _colours(one)
        rows.append((f"W{number} {called(one.name)}", gauge, f"{plus} and {minus}", long, Tick()))
    yield Table(
        heads=("lead", "conductor", "one of each", "cut each", "done"),
        rows=tuple(rows),
        widths=(2, 3, 2, 2, 0),
        note=f"{STRIP_MM:g} mm more at either end than the lead is long, for stripping; common practice, no source.",
    )
    totals = wire_totals(of)
    if totals:
        yield Table(
            title="Wire in all",
            heads=("conductor", "colour", "length"),
            widths=(3, 2, 2),
            rows=tuple(
                (gauge, colour, of.units.length(mm, decimals=0, both=True)) for (gauge, colour), mm in totals.items()
            ),
            note="A tenth more than the pieces together. Where no gauge is known, the usual one for what it carries.",
        )


def _resistors(of: Subject) -> Iterator[Block]:
    yield Heading("Resistors of the light strings")
    strings = of.build[Wiring].light_strings
    if not strings:
        yield Gap("No light strings.", "They stand under [wiring.light-strings], with their LEDs and what lights them.")
        return
    result: WiringResult = of.result("wiring")
    rows: list[tuple[Cell, ...]] = []
    for name, string in strings.items():
        plan = result.plans[name]
        fitted = f"{float(string.resistor.ohm[0]):g} ohm" if string.resistor.given else "none yet"
        sides = round(float(string.strings.count[0])) if string.strings.given else 1
        number = 1 if string.one_resistor else sides
        if is_missing(plan):
            why = plan.why if isinstance(plan, Blocked) else f"not computed yet: {', '.join(plan.keys)} not measured"
            rows.append((called(name), str(number), why, "", fitted, Tick()))
        elif plan.preferred_ohm is None:
            rows.append(
                (called(name), str(number), "none fits: too many LEDs in a row for these volts", "", fitted, Tick())
            )
        else:
            current = float(plan.wanted_a[0]) * (sides if string.one_resistor else 1)
            power = current**2 * plan.preferred_ohm
            own = ""
            if string.one_resistor and sides > 1:
                each = preferred_at_least(float(plan.spare_v[0]) / float(plan.wanted_a[0]))
                own = f"; better one for each of the {sides}: {each:g} ohm"
            rows.append(
                (
                    called(name),
                    str(number),
                    f"{plan.preferred_ohm:g} ohm (E12){own}",
                    f"{1000 * power:.0f} mW",
                    fitted,
                    Tick(),
                )
            )
    yield Table(
        heads=("string", "pieces", "resistor", "turns into heat", "fitted now", "done"),
        rows=tuple(rows),
        widths=(2, 0, 3, 1.8, 1.6, 0),
        note="For the wanted current at the highest volts that reach the string (IEC 60063, E12). Take one rated for "
        "twice the heat; common practice, no source.",
    )
