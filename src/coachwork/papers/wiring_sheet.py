"""The wiring sheet: the network that the wiring study solves, drawn and listed."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.build import Numbers
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.wiring import LightString, Wiring
from coachwork.confidence.words import numbers_of, sentence
from coachwork.papers import cautions
from coachwork.papers.sheet import Block, Caution, Cell, Figure, Gap, Heading, NewPage, Sheet, Table, Tick, Words
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.papers.wire_facts import WireFacts, wires_of
from coachwork.papers.wiring_diagram import Labels, pages
from coachwork.papers.wiring_rows import rows_of
from coachwork.studies.parts import Blocked, Missing, Part, is_missing
from coachwork.studies.wiring.netlist import Netlist
from coachwork.studies.wiring.result import WiringResult

LOW, FULL = "all on, low pack", "all on, full pack"
_ROOM_MM = {"a4": (267.0, 142.0), "letter": (249.0, 147.0)}  # of a drawing on a landscape page with its heading


def wiring_sheet(of: Subject) -> Sheet:
    """Drawing, then every wire, regulator, load and light string in a row of its own."""
    result: WiringResult = of.result("wiring")
    blocks: list[Block] = []
    if is_missing(result.netlist):
        blocks.append(Gap("No drawing yet.", _why(result.netlist)))
    else:
        blocks += _drawn(of, result.netlist)
    blocks.append(Caution(f"{cautions.PACK} {cautions.SOLDER}"))
    blocks += _wires(of)
    blocks += _regulators(of, result)
    blocks += _loads(of, result)
    blocks += _strings(of, result)
    blocks += _wrong(of)
    return Sheet(
        name="wiring-sheet", title=f"Wiring sheet: {of.name}",
        about="Who feeds whom through which wire, as the wiring study computes it.", blocks=tuple(blocks),
        landscape=True,
    )  # fmt: skip


def _why(part: Missing | Blocked) -> str:
    return part.why if isinstance(part, Blocked) else f"Not measured yet: {', '.join(part.keys)}."


def _drawn(of: Subject, netlist: Netlist) -> Iterator[Block]:
    rows = rows_of(netlist)
    width, height = _ROOM_MM[of.paper]
    title = f"Wiring of {of.name}"
    drawn = list(pages(rows, labels_of(of), width_mm=width, height_mm=height, title=title))
    for number, page in enumerate(drawn, start=1):
        part = f" ({number} of {len(drawn)})" if len(drawn) > 1 else ""
        if number > 1:
            yield NewPage()
        yield Figure(
            svg=page.svg, width_mm=page.width_mm,
            alt=f"{title}{part}: the pack at the left, rails upright, loads at the right; the tables list all of it.",
            caption=f"W1, W2 ...: the wires of the table. Dashed: joined without a lead of its own{part}.",
        )  # fmt: skip
    if netlist.unfed:
        yield Words(f"Fed by nothing: {', '.join(map(called, netlist.unfed))}.", "strong")
    for who, name, nearest in netlist.unknown:
        near = f"; did you mean {nearest}?" if nearest else ""
        yield Words(f"{who} names {name}, which there is not{near}", "strong")


def labels_of(of: Subject) -> Labels:
    """The drawing's words."""
    wires = {
        one.name: (
            ", ".join([f"W{number} {called(one.name)}", *_inside(one)]),
            f"{one.gauge}, {_length(of, one)}",
            f"{one.colour or 'colours not told'}; {one.connector}",
        )
        for number, one in enumerate(wires_of(of), start=1)
    }
    result: WiringResult = of.result("wiring")
    regulators = {
        name: f"{one.kind}, {float(one.voltage.v[0]):.3g} V"
        for name, one in of.build[Regulators].each.items()
        if one.voltage.known
    }
    ends = {name: _stands(one.least_v, one.most_v) for name, one in result.loads.items()}
    ends |= {
        name: f"{_strings_of(string)}{f' x {float(string.leds.count[0]):.0f}' if string.leds.known else ''} LEDs"
        for name, string in of.build[Wiring].light_strings.items()
    }
    pack = of.build[Pack]
    cells = f"{float(pack.cells.count[0]):.0f} cells" if pack.cells.known else "cells not known"
    return Labels(wires=wires, regulators=regulators, ends=ends, pack="\n".join([cells, *pack.chemistry.split(" ", 1)]))


def _strings_of(string: LightString) -> str:
    return f"{float(string.strings.count[0]):.0f}" if string.strings.given else "1"


def _stands(least: Part[Numbers], most: Part[Numbers]) -> str:
    if is_missing(least) or is_missing(most):
        return ""
    return f"{float(least[0]):.3g} to {float(most[0]):.3g} V"


def _length(of: Subject, wire: WireFacts) -> str:
    if wire.length_mm is None:
        return "length not known"
    return ("~ " if wire.guessed else "") + of.units.short_length(wire.length_mm)


def _inside(wire: WireFacts) -> Iterator[str]:
    if wire.switch:
        yield f"switch {called(wire.switch)}"
    if wire.fuse_a is not None:
        yield f"fuse {wire.fuse_a:g} A"


def _wires(of: Subject) -> Iterator[Block]:
    yield Heading("Wires")
    wires = wires_of(of)
    if not wires:
        yield Gap("No wires yet.", "Each lead wants a line under [wiring.leads] in the build file; see docs/wiring.md.")
        return
    rows: list[tuple[Cell, ...]] = []
    for number, one in enumerate(wires, start=1):
        most = "" if one.most_a is None else f"{one.most_a:.2f} A"
        wanted = f"; usual for that: {one.wanted_mm2:g} mm²" if one.wanted_mm2 is not None else ""
        rows.append((
            f"W{number}", called(one.name), f"{called(one.begins) or '?'} to {called(one.ends) or '?'}", one.gauge,
            of.units.length(one.length_mm, decimals=0, both=True) + (", guessed" if one.guessed else "")
            if one.length_mm is not None else "not measured",
            one.colour or "not told", one.connector, ", ".join(_inside(one)) or "none", f"{most}{wanted}", Tick(),
        ))  # fmt: skip
    yield Table(
        heads=("", "lead", "from, to", "each conductor", "one way", "plus, minus", "connector", "in it", "carries",
               "done"),
        rows=tuple(rows), widths=(0, 2.0, 2.6, 1.8, 1.9, 1.6, 1.8, 2.1, 2.3, 0),
        note="Plus and minus run together; gauge and length are those of each. Carries: the most in any state solved.",
    )  # fmt: skip


def _regulators(of: Subject, result: WiringResult) -> Iterator[Block]:
    used = {name: one for name, one in of.build[Regulators].each.items() if one.used}
    if not used:
        return
    yield Heading("Regulators")
    rows = []
    for name, one in used.items():
        facts = result.regulators[name]
        limit = "not told" if is_missing(facts.continuous_a) else f"{float(facts.continuous_a[0]):.2g} A"
        gives = "not computed yet"
        if not is_missing(result.solved):
            flow = result.solved.cases[LOW].regulators[name]
            gives = f"{float(flow.output_a[0]):.2f} A, {float(flow.heat_w[0]):.2f} W of heat"
        rows.append((called(name), one.kind, f"{float(facts.set_v[0]):.3g} V", limit, gives, one.after_trip))
    yield Table(
        heads=("regulator", "kind", "gives", "all the time", f"in state {LOW}", "when too hot"), rows=tuple(rows),
        widths=(2, 1.4, 1, 1.2, 2.6, 3),
    )  # fmt: skip


def _loads(of: Subject, result: WiringResult) -> Iterator[Block]:
    if is_missing(result.netlist):
        return
    yield Heading("Loads")
    if is_missing(result.solved):
        yield Gap("Volts and amperes are not computed yet.", _why(result.solved))
    rows = []
    for load in result.netlist.loads:
        facts = result.loads.get(load.name)
        stands = _stands(facts.least_v, facts.most_v) if facts is not None else ""
        rows.append((
            called(load.name), called(load.node.removesuffix(", itself")), stands or "not told",
            _volts(result, LOW, load.name), _volts(result, FULL, load.name),
        ))  # fmt: skip
    yield Table(
        heads=("load", "hangs at", "needs, stands", LOW, FULL), rows=tuple(rows), widths=(2.4, 2.4, 1.6, 2, 2),
    )  # fmt: skip


def _volts(result: WiringResult, state: str, load: str) -> str:
    if is_missing(result.solved) or load not in result.solved.cases[state].loads_v:
        return ""
    case = result.solved.cases[state]
    return f"{float(case.loads_v[load][0]):z.2f} V, {1000 * float(case.loads_a[load][0]):z.0f} mA"


def _strings(of: Subject, result: WiringResult) -> Iterator[Block]:
    table = of.build[Wiring].light_strings
    if not table:
        return
    yield Heading("Light strings")
    rows = []
    for name, string in table.items():
        plan = result.plans[name]
        wanted = "not computed yet" if is_missing(plan) else f"{float(plan.wanted_ohm[0]):.0f} ohm"
        if not is_missing(plan) and plan.preferred_ohm is not None:
            wanted += f", so E12: {plan.preferred_ohm:g} ohm"
        fitted = f"{float(string.resistor.ohm[0]):g} ohm" if string.resistor.given else "none yet"
        leds = f"{float(string.leds.count[0]):.0f}" if string.leds.known else "?"
        rows.append((
            called(name), called(string.lit_by) or "always", f"{_strings_of(string)} strings of {leds}",
            "one for all" if string.one_resistor else "one each", fitted, wanted,
        ))  # fmt: skip
    yield Table(
        heads=("string", "lit by", "LEDs", "resistor", "fitted", "wanted at the highest volts"), rows=tuple(rows),
        widths=(2, 2, 2, 1.6, 1.6, 3),
    )  # fmt: skip


def _wrong(of: Subject) -> Iterator[Block]:
    bad = [verdict for verdict in of.report.of("wiring") if verdict.state in ("fails", "tight")]
    if not bad:
        return
    yield Heading("What the wiring study says against it")
    rows = tuple(
        (verdict.state, verdict.question, numbers_of(verdict), sentence(verdict.do or verdict.why)) for verdict in bad
    )
    yield Table(heads=("", "question", "value and limit", "what to do"), rows=rows, widths=(0, 3, 2.2, 5))
