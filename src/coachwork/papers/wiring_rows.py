"""The wiring as rows and rails: where each thing of the netlist stands in a drawing that nothing crosses in.

The pack is at the left. What leads from node to node makes a tree; every end of it has a row of its own, a node is an
upright rail over the rows of all that hangs on it, and the thing that feeds it comes in on its first row. A second way
into a node that is fed already gets a row that ends in a flag naming it, so that loops and regulators side by side are
drawn without a crossing, too.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Literal

from coachwork.studies.wiring.netlist import PACK, NetLead, Netlist

EndKind = Literal["load", "string", "node", "nothing"]


@dataclass(frozen=True, kw_only=True)
class Rail:
    """A node: over rows first to last, in a column; `root` where nothing drawn feeds it."""

    node: str
    column: int
    first: int
    last: int
    root: Literal["pack", "tap", "unfed"] | None


@dataclass(frozen=True, kw_only=True)
class Span:
    """What leads from a rail to the next thing, on one row: a lead, a regulator, or (neither) a direct joint.

    to_rail : the rail it ends at; else what stands at the row's end: a load, a light string, a node drawn elsewhere
    """

    row: int
    column: int  # of the rail it comes from
    from_node: str
    lead: NetLead | None = None
    regulator: str | None = None
    to_rail: str | None = None
    end: tuple[EndKind, str] | None = None
    end_node: str = ""  # that the end hangs at


@dataclass(frozen=True, kw_only=True)
class Rows:
    """All of it."""

    rails: tuple[Rail, ...]
    spans: tuple[Span, ...]
    rows: int
    columns: int  # of rails


def rows_of(netlist: Netlist) -> Rows:
    """Lay the netlist out."""
    return _Layout(netlist).lay()


@dataclass(frozen=True, kw_only=True)
class _Way:
    """Out of a node: over a lead or a regulator to another node, or straight to an end."""

    lead: NetLead | None = None
    regulator: str | None = None
    to: str | None = None
    end: tuple[EndKind, str] | None = None


class _Layout:
    def __init__(self, netlist: Netlist) -> None:
        self.netlist = netlist
        self.rails: list[Rail] = []
        self.spans: list[Span] = []
        self.drawn: set[str] = set()
        self.row = 0

    def lay(self) -> Rows:
        taps = self.netlist.nodes[: self.netlist.cells]
        for node in [*reversed(taps), *self.netlist.nodes]:
            if node in self.drawn or (node in taps and node != PACK and not list(self._ways(node))):
                continue
            self._rail(node, 0, "pack" if node == PACK else "tap" if node in taps else "unfed")
        columns = 1 + max((rail.column for rail in self.rails), default=0)
        return Rows(rails=tuple(self.rails), spans=tuple(self.spans), rows=self.row, columns=columns)

    def _rail(self, node: str, column: int, root: Literal["pack", "tap", "unfed"] | None) -> None:
        self.drawn.add(node)
        first = self.row
        ways = list(self._ways(node)) or [_Way(end=("nothing", ""))]
        for way in ways:
            self._way(node, column, way)
        self.rails.append(Rail(node=node, column=column, first=first, last=self._last_start(node), root=root))

    def _last_start(self, node: str) -> int:
        """The last row that something leaves this node on: as far down as its rail goes."""
        return max(span.row for span in self.spans if span.from_node == node)

    def _way(self, node: str, column: int, way: _Way) -> None:
        span = partial(Span, row=self.row, column=column, from_node=node, lead=way.lead, regulator=way.regulator)
        end, at = way.end, node
        if way.to is not None and way.to in self.drawn:
            end, at = ("node", way.to), way.to
        elif way.to is not None and way.regulator is None and (alone := self._alone(way.to)) is not None:
            self.drawn.add(way.to)
            end, at = alone, way.to
        if way.to is not None and end is None:
            self.spans.append(span(to_rail=way.to))
            self._rail(way.to, column + 1, None)
        else:
            self.spans.append(span(end=end, end_node=at))
            self.row += 1

    def _alone(self, node: str) -> tuple[EndKind, str] | None:
        """What hangs at a node where it is a single load or string and nothing goes on or comes in otherwise."""
        ways = list(self._ways(node))
        into = sum(lead.ends == node for lead in self.netlist.leads)
        into += sum(one.output == node for one in self.netlist.regulators)
        return ways[0].end if len(ways) == 1 and ways[0].to is None and into == 1 else None

    def _ways(self, node: str) -> Iterator[_Way]:
        for load in self.netlist.loads:
            if load.node == node:
                yield _Way(end=("load", load.name))
        for string in self.netlist.strings:
            if string.node == node:
                yield _Way(end=("string", string.name))
        for lead in self.netlist.leads:
            if lead.begins == node:
                yield _Way(lead=lead, to=lead.ends)
        for one in self.netlist.regulators:
            if one.input == node:
                yield _Way(regulator=one.name, to=one.output)
