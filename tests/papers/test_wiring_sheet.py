"""The wiring sheet's netlist, read back from its drawing, is the network that the wiring study solves."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

import numpy as np
import pytest

from coachwork.papers.sheet import Figure, Sheet, Table
from coachwork.papers.subject import Subject
from coachwork.papers.wire_facts import gauge_words
from coachwork.papers.wiring_rows import rows_of
from coachwork.papers.wiring_sheet import wiring_sheet
from coachwork.studies.wiring.netlist import Netlist
from coachwork.studies.wiring.network import GROUND

BUILDS = ("as_found", "as_finished", "many")
TWO_REGULATORS = """
[pack]
cells = 2
[regulators.one]
kind = "switching"
[regulators.two]
kind = "linear"
[wiring.leads]
a = { begins = "one", ends = "receiver", area = 0.5, length = 100 }
b = { begins = "two", ends = "receiver", area = 0.5, length = 120 }
ring = { begins = "receiver", ends = "far", area = 0.5, length = 100 }
back = { begins = "far", ends = "receiver", area = 0.5, length = 100 }
lost = { begins = "nowhere", ends = "lamp", area = 0.5, length = 100 }
[wiring.loads]
lamp = { peak = "20 mA" }
fan = { fed-by = "far", peak = "20 mA" }
"""


def drawn(sheet: Sheet) -> list[dict[str, str]]:
    """The attributes data-NAME of all that the drawing's pages carry them on."""
    found = []
    for block in sheet.blocks:
        if isinstance(block, Figure):
            for element in ET.fromstring(block.svg).iter():
                held = {k.removeprefix("data-"): v for k, v in element.attrib.items() if k.startswith("data-")}
                if held:
                    found.append(held)
    return found


def netlist_of(sheet: Sheet) -> dict[str, set[tuple[str, ...]]]:
    """Read back: wires, regulators, loads and strings with their nodes."""
    marks = drawn(sheet)
    return {
        "wires": {(m["wire"], m["from"], m["to"]) for m in marks if "wire" in m},
        "regulators": {(m["regulator"], m["input"], m["output"]) for m in marks if "regulator" in m},
        "loads": {(m["load"], m["node"]) for m in marks if "load" in m},
        "strings": {(m["string"], m["node"]) for m in marks if "string" in m},
    }


def of_netlist(netlist: Netlist) -> dict[str, set[tuple[str, ...]]]:
    """The same of the study's."""
    return {
        "wires": {(one.name, one.begins, one.ends) for one in netlist.leads},
        "regulators": {(one.name, one.input, one.output) for one in netlist.regulators},
        "loads": {(one.name, one.node) for one in netlist.loads},
        "strings": {(one.name, one.node) for one in netlist.strings},
    }


@pytest.mark.parametrize("build", BUILDS)
def test_the_drawing_holds_the_studys_netlist_each_thing_once(build: str, request: pytest.FixtureRequest) -> None:
    subject: Subject = request.getfixturevalue(build)
    sheet = wiring_sheet(subject)
    netlist = subject.result("wiring").netlist

    assert netlist_of(sheet) == of_netlist(netlist)
    names = [m[kind] for kind in ("wire", "regulator", "load", "string") for m in drawn(sheet) if kind in m]
    assert len(names) == len(netlist.leads) + len(netlist.regulators) + len(netlist.loads) + len(netlist.strings)
    rails = [m["rail"] for m in drawn(sheet) if "rail" in m]
    assert len(rails) == len(set(rails))


@pytest.mark.parametrize("build", ["as_found", "as_finished"])
def test_the_drawing_holds_the_network_that_was_solved(build: str, request: pytest.FixtureRequest) -> None:
    """Node numbers of the matrices that are solved, turned back into names: a route that skips the netlist."""
    subject: Subject = request.getfixturevalue(build)
    result = subject.result("wiring")
    network, cells = result.solved.network, result.netlist.cells

    def name(node: int) -> str:
        return "minus" if node == GROUND else network.nodes[node]

    solved = {(n, name(int(b)), name(int(e)))
              for n, b, e in zip(network.branches.names[cells:], network.branches.begins[cells:],
                                 network.branches.ends[cells:], strict=True)}  # fmt: skip
    hung = {(n, name(int(at))) for of in (network.loads, network.strings)
            for n, at in zip(of.names, np.atleast_1d(of.node), strict=True)}  # fmt: skip
    back = netlist_of(wiring_sheet(subject))

    assert back["wires"] == solved
    assert back["loads"] | back["strings"] == hung


def test_the_table_tells_what_the_builder_typed(as_found: Subject) -> None:
    table = next(b for b in wiring_sheet(as_found).blocks if isinstance(b, Table) and "lead" in b.heads)
    row = next(row for row in table.rows if row[1] == "supply lead")

    assert row[2] == "built in to receiver"
    assert row[3] == "0.08 mm² (AWG 28)"
    assert row[4] == "220 mm (8.7 in)"
    assert row[5:8] == ("red, brown", "servo plug", "switch main switch")
    assert str(row[8]).startswith("2.32 A; usual for that: ")  # the study's verdict on that wire: as thin as a hair


def test_rings_second_feeders_and_leads_from_nowhere_are_drawn_without_a_crossing(
    subject_of: Callable[[str], Subject],
) -> None:
    subject = subject_of(TWO_REGULATORS)
    netlist = subject.result("wiring").netlist
    rows = rows_of(netlist)

    assert netlist_of(wiring_sheet(subject)) == of_netlist(netlist)
    assert sum(span.end == ("node", "receiver") for span in rows.spans) == 2  # the other regulator, and the ring
    assert any(rail.root == "unfed" for rail in rows.rails)
    ends = [span.row for span in rows.spans if span.to_rail is None]
    assert sorted(ends) == list(range(rows.rows))  # a row each
    for rail in rows.rails:  # no rail passes a row on which something goes by it to the right of another column
        for span in rows.spans:
            if rail.first < span.row <= rail.last and span.column < rail.column:
                assert span.to_rail is not None or span.row > rail.last, (rail, span)


def test_a_build_without_a_pack_says_why_there_is_no_drawing(five: Subject) -> None:
    sheet = wiring_sheet(five)

    assert not any(isinstance(block, Figure) for block in sheet.blocks)
    assert any("pack.cells" in getattr(block, "why", "") for block in sheet.blocks)


# ASTM B258: the areas of American gauges, mm2, as widely printed; from memory.
@pytest.mark.parametrize(("gauge", "area"), [(10, 5.261), (14, 2.081), (20, 0.5176), (24, 0.2047), (30, 0.0509)])
def test_gauges_are_told_by_their_american_number(gauge: int, area: float) -> None:
    assert re.search(r"AWG (\d+)", gauge_words(area)).group(1) == str(gauge)  # type: ignore[union-attr]
