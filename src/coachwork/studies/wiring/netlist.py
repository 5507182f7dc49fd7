"""Who is joined to whom: the netlist as plain names, before any number, and for whoever draws the wiring sheet.

A lead leads from one node to another. What has no lead of its own sits directly on what feeds it, so that a build says
something before its first lead is measured.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.devices import OWN_PACK
from coachwork.build.sections.radio.names import name_in
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.wiring import Wiring

PACK, CONTROLLER, RECEIVER, MOTOR = "pack", "controller", "receiver", "motor"


@dataclass(frozen=True, kw_only=True)
class NetRegulator:
    """Between two nodes."""

    name: str
    input: str
    output: str


@dataclass(frozen=True, kw_only=True)
class NetLoad:
    """At a node; `device` where it is one of the radio's table."""

    name: str
    node: str
    device: bool


@dataclass(frozen=True, kw_only=True)
class NetString:
    """A light string at a node, lit by a device of the radio's table or always."""

    name: str
    node: str
    lit_by: str


@dataclass(frozen=True, kw_only=True)
class NetLead:
    """From node to node, with what stands on its label."""

    name: str
    begins: str
    ends: str
    colour: str
    plug: str
    switch: str


@dataclass(frozen=True, kw_only=True)
class Netlist:
    """All of it.

    nodes   : each once, taps first; things joined without a lead share one
    unknown : (what names it, the name, the nearest that is known), names that nothing has
    unfed   : loads and strings that no pack and no regulator reaches
    shared  : groups of regulators whose outputs meet
    backed  : regulators whose output is joined to the pack
    """

    cells: int
    nodes: tuple[str, ...]
    leads: tuple[NetLead, ...]
    regulators: tuple[NetRegulator, ...]
    loads: tuple[NetLoad, ...]
    strings: tuple[NetString, ...]
    unknown: tuple[tuple[str, str, str], ...]
    unfed: tuple[str, ...]
    shared: tuple[tuple[str, ...], ...]
    backed: tuple[str, ...]


def tap(cell: int) -> str:
    """The node over a cell, the first next to minus."""
    return f"tap {cell}"


class _Joins:
    """Names that are one: each points at another, or at itself."""

    def __init__(self) -> None:
        self.of: dict[str, str] = {}

    def root(self, name: str) -> str:
        while self.of.setdefault(name, name) != name:
            name = self.of[name]
        return name

    def join(self, name: str, to: str) -> None:
        """The node keeps the name of what feeds it."""
        if self.root(name) != self.root(to):
            self.of[self.root(name)] = self.root(to)


def read_netlist(*, cells: int, regulators: Regulators, wiring: Wiring, radio: Radio) -> Netlist:
    """From the tables' names; no number is needed but the cells, which have taps."""
    leads = {name: lead for name, lead in wiring.leads.items() if name_in(lead.begins) and name_in(lead.ends)}
    used = {name: regulator for name, regulator in regulators.each.items() if regulator.used}
    ended, begun = {name_in(lead.ends) for lead in leads.values()}, {name_in(lead.begins) for lead in leads.values()}
    wanted = {name_in(one.fed_by) for table in (used, wiring.loads, wiring.light_strings) for one in table.values()}
    joins, mentions = _Joins(), list[tuple[str, str]]()

    def at(who: str, feeder: str) -> str:
        mentions.append((who, feeder))
        return feeder

    joins.join(tap(cells), PACK)
    if CONTROLLER not in ended:
        joins.join(CONTROLLER, PACK)
    for name, regulator in used.items():
        if name not in ended:
            joins.join(f"{name} input", at(f"regulators.{name}", name_in(regulator.fed_by) or PACK))
        if name not in begun and name not in wanted:
            joins.join(RECEIVER, name) if joins.root(RECEIVER) == RECEIVER else joins.join(name, RECEIVER)
    places = _Places(wiring, radio, ended)
    for kind, table in (("loads", wiring.loads), ("light-strings", wiring.light_strings)):
        for name, one in table.items():
            if name not in ended and name_in(one.fed_by):
                joins.join(_own(name), at(f"wiring.{kind}.{name}", name_in(one.fed_by)))
    for name in places.names():
        if name not in ended and joins.root(_own(name)) == _own(name):
            joins.join(_own(name), places.of(name))

    def node(name: str) -> str:
        return joins.root(name if name in ended or name in (PACK, CONTROLLER, RECEIVER) else _own(name))

    ends = {
        name: (at(f"wiring.leads.{name}", name_in(lead.begins)), _far(name_in(lead.ends), used))
        for name, lead in leads.items()
    }
    net_leads = tuple(
        NetLead(name=name, begins=joins.root(a), ends=joins.root(b), colour=leads[name].colour.strip(),
                plug=name_in(leads[name].plug), switch=name_in(leads[name].switch))
        for name, (a, b) in ends.items()
    )  # fmt: skip
    net_regulators = tuple(
        NetRegulator(name=name, input=joins.root(f"{name} input"), output=joins.root(name)) for name in used
    )
    net_loads = tuple(
        NetLoad(name=name, node=node(name), device=name in radio.devices or name == RECEIVER)
        for name in (RECEIVER, MOTOR, *places.loads())
    )
    strings = tuple(
        NetString(name=name, node=node(name), lit_by=name_in(one.lit_by)) for name, one in wiring.light_strings.items()
    )
    taps = [joins.root(tap(cell)) for cell in range(1, cells + 1)]
    nodes = dict.fromkeys(
        [*taps, *(n for lead in net_leads for n in (lead.begins, lead.ends)),
         *(n for one in net_regulators for n in (one.input, one.output)), *(one.node for one in net_loads),
         *(one.node for one in strings)]
    )  # fmt: skip
    known = {PACK, CONTROLLER, RECEIVER, *(tap(cell) for cell in range(1, cells + 1)), *used, *ended}
    groups = _groups(nodes, net_leads, taps)
    return Netlist(
        cells=cells,
        nodes=tuple(nodes),
        leads=net_leads,
        regulators=net_regulators,
        loads=net_loads,
        strings=strings,
        unknown=tuple((who, name, _nearest(name, known)) for who, name in mentions if name not in known),
        unfed=tuple(_unfed(groups, taps, net_regulators, [*net_loads, *strings])),
        shared=tuple(_shared(groups, net_regulators)),
        backed=tuple(one.name for one in net_regulators if groups[one.output] == groups[taps[-1]]),
    )


def _own(name: str) -> str:
    """The node of a load or string that no lead of its own reaches, before it is joined to what feeds it."""
    return f"{name}, itself"


def _far(end: str, used: Mapping[str, object]) -> str:
    """A lead that ends at a regulator feeds its input."""
    return f"{end} input" if end in used else end


@dataclass(frozen=True)
class _Places:
    """Where a load hangs that says nothing of its own: where the radio's table says."""

    wiring: Wiring
    radio: Radio
    ended: set[str]

    def loads(self) -> Iterator[str]:
        """Devices on the receiver's supply, devices fed otherwise that have a table here, and all other loads."""
        for name, device in self.radio.devices.items():
            if name_in(device.powered_by) != OWN_PACK or name in self.wiring.loads:
                yield name
        for name in self.wiring.loads:
            if name not in self.radio.devices and name not in (RECEIVER, MOTOR):
                yield name

    def names(self) -> tuple[str, ...]:
        return (MOTOR, *self.loads(), *self.wiring.light_strings)

    def of(self, name: str, *, depth: int = 0) -> str:
        if name == MOTOR:
            return CONTROLLER
        string, device = self.wiring.light_strings.get(name), self.radio.devices.get(name)
        if string is not None and device is None:
            return self.of(name_in(string.lit_by), depth=depth + 1) if name_in(string.lit_by) else RECEIVER
        if name in self.ended:
            return name
        if name in self.wiring.loads and name_in(self.wiring.loads[name].fed_by):
            return name_in(self.wiring.loads[name].fed_by)
        source = name_in(device.powered_by) if device is not None else RECEIVER
        return self.of(source, depth=depth + 1) if source in self.radio.devices and depth < 20 else RECEIVER


def _groups(nodes: Iterable[str], leads: Iterable[NetLead], taps: list[str]) -> dict[str, str]:
    """Nodes that leads (and cells) join, by one of them."""
    joins = _Joins()
    for node in nodes:
        joins.root(node)
    for lead in leads:
        joins.join(lead.begins, lead.ends)
    for one in taps:
        joins.join(one, taps[-1])
    return {node: joins.root(node) for node in nodes}


def _unfed(
    groups: Mapping[str, str], taps: list[str], regulators: Iterable[NetRegulator], hung: Iterable[NetLoad | NetString]
) -> Iterator[str]:
    fed = {groups[taps[-1]]}
    regulators = list(regulators)
    for _ in regulators:  # one may feed another
        fed |= {groups[one.output] for one in regulators if groups[one.input] in fed}
    yield from (one.name for one in hung if groups[one.node] not in fed)


def _shared(groups: Mapping[str, str], regulators: Iterable[NetRegulator]) -> Iterator[tuple[str, ...]]:
    by_group: dict[str, list[str]] = {}
    for one in regulators:
        by_group.setdefault(groups[one.output], []).append(one.name)
    yield from (tuple(names) for names in by_group.values() if len(names) > 1)


def _nearest(name: str, known: Iterable[str]) -> str:
    near = difflib.get_close_matches(name, list(known), n=1, cutoff=0.5)
    return near[0] if near else ""
