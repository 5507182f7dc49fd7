"""From tables and netlist to a network with numbers: every case of every sample, all at once.

Cases come one behind the other, each with all samples: case c of sample s stands at c * samples + s.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.regulators import Regulator
from coachwork.build.sections.regulators import Regulators as RegulatorsTable
from coachwork.build.sections.wiring import LightString, Wiring
from coachwork.catalogue.cells import CELLS
from coachwork.studies.supply import LeadFacts
from coachwork.studies.wiring.netlist import MOTOR, Netlist, NetLoad, NetString
from coachwork.studies.wiring.network import GROUND, Branches, Loads, Network, Places, Regulators, Strings
from coachwork.studies.wiring.states import CASES, Draws, Modes, Status, motor_state

PEAK = 1.5  # times its continuous current, where a regulator's label tells no peak; common practice, no source
FADE = 0.5  # of a load's least volts: under this it draws less and less
FADE_V = 2.0  # where its least volts are not known
WANTED = 0.75  # of its rated current, at which a diode is nearly as bright and lasts; common practice, no source
NOTHING = np.zeros((1, 0))


def continuous_a(regulator: Regulator, *, table: RegulatorsTable, radio: Radio) -> Numbers:
    """What it gives all the time, (samples,): its own, or where it is the only one the receiver's supply limit."""
    only = sum(one.used for one in table.each.values()) == 1
    receivers = only and not regulator.current_limit.given and radio.receiver.supply_limit.given
    return (radio.receiver.supply_limit if receivers else regulator.current_limit).a


def peak_a(regulator: Regulator, *, table: RegulatorsTable, radio: Radio) -> Numbers:
    """What it gives for a second or two, (samples,)."""
    if regulator.peak_limit.given:
        return regulator.peak_limit.a
    return PEAK * continuous_a(regulator, table=table, radio=radio)


def side_by_side(string: LightString) -> Numbers:
    """How many strings, one where it is not told."""
    return string.strings.count if string.strings.given else np.ones(1)


def wanted_a(string: LightString) -> Numbers:
    """What each diode should carry, (samples,)."""
    return string.wanted_current.a if string.wanted_current.given else WANTED * string.rated_current.a


class Assembly:
    """Everything of one build, ready to be put together."""

    def __init__(
        self, *, netlist: Netlist, pack: Pack, regulators: RegulatorsTable, wiring: Wiring, radio: Radio,
        leads: Mapping[str, LeadFacts], draws: Mapping[str, Draws], modes: Modes,
    ) -> None:  # fmt: skip
        self.netlist, self.pack, self.table, self.wiring, self.radio = netlist, pack, regulators, wiring, radio
        self.leads, self.draws, self.modes = leads, draws, modes
        self.samples = wiring.air.degc.size
        self.place = {node: at for at, node in enumerate(netlist.nodes)}

    def network(self) -> Network:
        """With the numbers of the tables. Raises NotMeasured."""
        return Network(
            nodes=self.netlist.nodes,
            branches=self._branches(),
            regulators=self._regulators(),
            loads=self._loads(),
            strings=self._strings(),
        )

    def _same(self, columns: Sequence[Numbers]) -> Numbers:
        """The same in every case: (cases, columns)."""
        if not columns:
            return NOTHING
        one = np.stack([np.broadcast_to(column, self.samples) for column in columns], axis=-1)
        return np.tile(one, (len(CASES), 1))

    def _by_case(self, columns: Sequence[Sequence[Numbers]]) -> Numbers:
        """columns[element][case] -> (cases, columns)."""
        if not columns:
            return NOTHING
        cases = [[np.broadcast_to(column[case], self.samples) for column in columns] for case in range(len(CASES))]
        return np.concatenate([np.stack(one, axis=-1) for one in cases])

    def _at(self, nodes: Sequence[str]) -> Places:
        return np.array([self.place[node] for node in nodes], dtype=np.intp)

    def _branches(self) -> Branches:
        cell, cells = CELLS[self.pack.chemistry], self.netlist.cells
        rest = {"full": np.array([cell.full_v]), "low": np.array([cell.low_v])}
        above = [self.place[node] for node in self._taps()]
        names = [f"cell {number + 1}" for number in range(cells)]
        begins, ends = [GROUND, *above[:-1]], above
        ohm = [self.pack.resistance.ohm / cells] * cells
        volts = [[rest[level] for _, level in CASES]] * cells
        for lead in self.netlist.leads:
            names.append(lead.name)
            begins.append(self.place[lead.begins])
            ends.append(self.place[lead.ends])
            ohm.append(self.leads[lead.name].ohm)
            volts.append([np.zeros(1)] * len(CASES))
        return Branches(
            names=tuple(names),
            begins=np.array(begins, dtype=np.intp),
            ends=np.array(ends, dtype=np.intp),
            ohm=self._same(ohm),
            volts=self._by_case(volts),
        )

    def _taps(self) -> tuple[str, ...]:
        return self.netlist.nodes[: self.netlist.cells]  # that is how the netlist lists them

    def _regulators(self) -> Regulators:
        each = [(one, self.table.each[one.name]) for one in self.netlist.regulators]
        linear = np.full(1, np.nan)
        most = [peak_a(table, table=self.table, radio=self.radio) for _, table in each]
        return Regulators(
            names=tuple(one.name for one, _ in each),
            begins=self._at([one.input for one, _ in each]),
            ends=self._at([one.output for one, _ in each]),
            set_v=self._same([table.voltage.v for _, table in each]),
            drop_v=self._same([table.drop_out.v for _, table in each]),
            ohm=self._same([table.resistance.ohm for _, table in each]),
            most_a=self._same(most),
            efficiency=self._same(
                [table.efficiency.ratio if table.kind == "switching" else linear for _, table in each]
            ),
            own_a=self._same([table.own_current.a for _, table in each]),
        )

    def _loads(self) -> Loads:
        steady, siemens, fade = [], [], []
        for one in self.netlist.loads:
            currents = [self._drawn(one.name, case) for case in range(len(CASES))]
            own = self.wiring.loads.get(one.name)
            bulb = own is not None and own.takes == "current by voltage"
            middle = (own.least_voltage.v + own.most_voltage.v) / 2 if own is not None and bulb else np.ones(1)
            steady.append([np.zeros(1)] * len(CASES) if bulb else currents)
            siemens.append([current / middle if bulb else np.zeros(1) for current in currents])
            fade.append(own.least_voltage.v * FADE if own is not None else np.full(1, FADE_V))
        planned = [one for one in self.netlist.strings if not self.wiring.light_strings[one.name].resistor.given]
        for string in planned:  # what it will draw once its resistor is fitted
            table = self.wiring.light_strings[string.name]
            current = wanted_a(table) * side_by_side(table)
            steady.append([current * self._lit(string.lit_by, state) for state, _ in CASES])
            siemens.append([np.zeros(1)] * len(CASES))
            fade.append(np.full(1, FADE_V))
        hung: list[NetLoad | NetString] = [*self.netlist.loads, *planned]
        return Loads(
            names=tuple(one.name for one in hung),
            node=self._at([one.node for one in hung]),
            steady_a=self._by_case(steady),
            siemens=self._by_case(siemens),
            fade_v=self._same(fade),
        )

    def _drawn(self, name: str, case: int) -> Numbers:
        state, _ = CASES[case]
        if name == MOTOR:
            return motor_state(self.draws[name], state)
        at_rest, most = self._status(name)
        return self.draws[name].in_state(state, at_rest=at_rest, most=most)

    def _status(self, device: str) -> tuple[Status, Status]:
        """At rest and in the heaviest state; what no switch of the radio moves is there all the time."""
        return self.modes.at_rest.get(device, "quiet"), self.modes.most.get(device, "on")

    def _strings(self) -> Strings:
        each = [(one, self.wiring.light_strings[one.name]) for one in self.netlist.strings]
        each = [(one, table) for one, table in each if table.resistor.given]
        sides = [side_by_side(table) for _, table in each]
        shared = [side if table.one_resistor else np.ones(1) for (_, table), side in zip(each, sides, strict=True)]
        return Strings(
            names=tuple(one.name for one, _ in each),
            node=self._at([one.node for one, _ in each]),
            side_by_side=self._same(sides),
            leds=self._same([table.leds.count for _, table in each]),
            ohm=self._same([table.resistor.ohm * share for (_, table), share in zip(each, shared, strict=True)]),
            forward_v=self._same([table.forward_voltage.v for _, table in each]),
            rated_a=self._same([table.rated_current.a for _, table in each]),
            lit=self._by_case([[self._lit(one.lit_by, state) for state, _ in CASES] for one, _ in each]),
        )

    def _lit(self, device: str, state: str) -> Numbers:
        if not device:
            return np.ones(1)
        at_rest, most = self._status(device)
        return np.full(1, float((at_rest if state == "at rest" else most) == "on"))
