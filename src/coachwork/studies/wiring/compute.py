"""From tables to what the wiring carries; a blank number costs only what needs it, and the network needs many."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from coachwork.build import NotMeasured, Numbers, require
from coachwork.build.sections.controller import Controller
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.names import name_in
from coachwork.build.sections.regulators import Regulator, Regulators
from coachwork.build.sections.wiring import Lead, Wiring
from coachwork.catalogue.plugs import PLUGS
from coachwork.errors import SolverGaveUp
from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.memory import Memory
from coachwork.studies.parts import CannotBe, Part, attempt, need, need_all
from coachwork.studies.supply import LeadFacts, cells_in_series, lead_facts
from coachwork.studies.wiring import lights
from coachwork.studies.wiring.assemble import Assembly, continuous_a, peak_a
from coachwork.studies.wiring.netlist import CONTROLLER, MOTOR, PACK, Netlist, read_netlist
from coachwork.studies.wiring.network import Network
from coachwork.studies.wiring.result import (
    Case,
    InLead,
    LoadFacts,
    PackFacts,
    RegulatorFacts,
    RegulatorFlow,
    Solved,
    WiringResult,
)
from coachwork.studies.wiring.solve import Solution, solve
from coachwork.studies.wiring.states import CASES, Draws, draws_of, modes_of, motor_draws


def feed(
    pack: Pack, controller: Controller, regulators: Regulators, wiring: Wiring, radio: Radio, pull: DrivelineResult,
    memory: Memory,
) -> WiringResult:  # fmt: skip
    """Node voltages and branch currents of every state, and the limits they are held against. Arrays (samples,)."""
    netlist = attempt(_netlist, pack, regulators, wiring, radio)
    leads = {name: attempt(_lead, name, lead, wiring) for name, lead in wiring.leads.items()}
    solved = attempt(_solved, netlist, motor_draws(controller, pull), pack, regulators, wiring, radio, memory)
    plans = {
        name: attempt(lambda n, s: lights.plan(n, s, need(solved).cases.values()), name, string)
        for name, string in wiring.light_strings.items()
    }
    return WiringResult(
        netlist=netlist,
        solved=solved,
        pack=_pack(pack, controller),
        controller_a=attempt(lambda: controller.current_limit.a),
        leads=leads,
        in_leads={name: _in_lead(lead, wiring) for name, lead in wiring.leads.items()},
        regulators={
            name: _regulator(one, regulators, wiring, radio) for name, one in regulators.each.items() if one.used
        },
        loads={
            name: LoadFacts(least_v=load.least_voltage.v, most_v=load.most_voltage.v)
            for name, load in wiring.loads.items()
        },
        plans=plans,
        lights={
            name: attempt(lambda n, s: lights.facts(n, s, need(plans[n]), need(solved).cases.values()), name, string)
            for name, string in wiring.light_strings.items()
        },
    )


def _lead(name: str, lead: Lead, wiring: Wiring) -> LeadFacts:
    """Raises NotMeasured where it is not said from where to where it leads."""
    open_ends = [end for end, at in (("begins", lead.begins), ("ends", lead.ends)) if not name_in(at)]
    if open_ends:
        raise NotMeasured([f"wiring.leads.{name}.{end}" for end in open_ends])
    return lead_facts(name, lead, wiring)


def _in_lead(lead: Lead, wiring: Wiring) -> InLead:
    begins = name_in(lead.begins)
    return InLead(
        begins=begins,
        plug=lead.plug.strip() in PLUGS,
        switch=lead.switch.strip() in wiring.switches,
        wants_fuse=(begins == PACK or begins.startswith("tap ")) and name_in(lead.ends) != CONTROLLER,
    )


def _netlist(pack: Pack, regulators: Regulators, wiring: Wiring, radio: Radio) -> Netlist:
    cells = cells_in_series(pack)
    return read_netlist(cells=max(1, round(float(cells[0]))), regulators=regulators, wiring=wiring, radio=radio)


def _pack(pack: Pack, controller: Controller) -> PackFacts:
    def most() -> Numbers:
        return np.asarray(pack.discharge_rating.ratio * pack.capacity.mah / 1000)

    return PackFacts(
        cells=attempt(cells_in_series, pack),
        counted=attempt(lambda: pack.cells.count),
        rest_v=attempt(lambda: pack.voltage.v),
        cut_off_v=attempt(lambda: controller.cut_off.v),
        most_cells=attempt(lambda: controller.most_cells.count),
        most_a=attempt(most),
        capacity_mah=attempt(lambda: pack.capacity.mah),
        chemistry=pack.chemistry,
    )


def _regulator(one: Regulator, table: Regulators, wiring: Wiring, radio: Radio) -> RegulatorFacts:
    return RegulatorFacts(
        kind=one.kind,
        set_v=one.voltage.v,
        drop_v=one.drop_out.v,
        continuous_a=attempt(continuous_a, one, table=table, radio=radio),
        peak_a=attempt(peak_a, one, table=table, radio=radio),
        heat_k_per_w=one.heat_resistance.k_per_w,
        trips_degc=one.trips_at.degc,
        air_degc=wiring.air.degc,
    )


def _solved(
    netlist: Part[Netlist], motor: Draws, pack: Pack, regulators: Regulators, wiring: Wiring, radio: Radio,
    memory: Memory,
) -> Solved:  # fmt: skip
    lit = {one.lit_by.strip() for one in wiring.light_strings.values()}
    names = [one.name for one in netlist.loads] if isinstance(netlist, Netlist) else []
    laid = [one.name for one in netlist.leads] if isinstance(netlist, Netlist) else list(wiring.leads)
    leads = {name: attempt(lead_facts, name, wiring.leads[name], wiring) for name in laid}
    peaks = [attempt(peak_a, one, table=regulators, radio=radio) for one in regulators.each.values() if one.used]
    drawn = {
        name: attempt(draws_of, name, wiring=wiring, radio=radio, lights_strings=name in lit)
        for name in names
        if name != MOTOR
    }
    diodes = [attempt(lambda one: require(one.leds), string) for string in wiring.light_strings.values()]
    modes = attempt(lambda: memory.once_reading("modes", (), lambda: modes_of(radio)))
    need_all(netlist, *leads.values(), *peaks, *drawn.values(), *diodes, modes)
    assembly = Assembly(
        netlist=need(netlist), pack=pack, regulators=regulators, wiring=wiring, radio=radio,
        leads={name: need(part) for name, part in leads.items()},
        draws={MOTOR: motor, **{name: need(part) for name, part in drawn.items()}}, modes=need(modes),
    )  # fmt: skip
    network = assembly.network()
    try:
        limited = solve(network)
        free = _without_limits(network, limited)
    except SolverGaveUp as trouble:
        raise CannotBe(f"the network does not settle ({trouble})") from None
    found = need(modes)
    everything = [draw.peak for name, draw in assembly.draws.items() if name != "motor"]
    cases = _cases(network, limited, samples=assembly.samples, leads=len(assembly.netlist.leads))
    on = cases["all on, full pack"]
    return Solved(
        cases=cases,
        unlimited=cases
        if free is limited
        else _cases(network, free, samples=assembly.samples, leads=len(assembly.netlist.leads)),
        sum_a=np.asarray(sum(everything, np.zeros(1))),
        together_a=np.asarray(sum((a for name, a in on.loads_a.items() if name != "motor"), np.zeros(1))),
        exact=found.exact,
        network=network,
    )


def _without_limits(network: Network, limited: Solution) -> Solution:
    """What regulators would have to give; the same solution where none is at its limit."""
    most = network.regulators.most_a
    if not most.size or not (limited.output_a >= most * (1 - 1e-9)).any():
        return limited
    return solve(network.without_limits())


def _cases(network: Network, solution: Solution, *, samples: int, leads: int) -> Mapping[str, Case]:
    cells = len(network.branches.names) - leads
    return {
        f"{state}, {level} pack": _case(network, solution, slice(at * samples, (at + 1) * samples), at, cells)
        for at, (state, level) in enumerate(CASES)
    }


def _case(network: Network, solution: Solution, rows: slice, at: int, cells: int) -> Case:
    state, level = CASES[at]
    branch_a, regulators = solution.branch_a[rows], network.regulators

    def named(names: Iterable[str], array: Numbers) -> dict[str, Numbers]:
        return {name: array[rows, j] for j, name in enumerate(names)}

    return Case(
        state=state,
        pack=level,
        pack_v=solution.node_v[rows, cells - 1],
        nodes_v=named(network.nodes, solution.node_v),
        leads_a={name: branch_a[:, j] for j, name in enumerate(network.branches.names) if j >= cells},
        cells_a=tuple(branch_a[:, j] for j in range(cells)),
        regulators={
            name: RegulatorFlow(
                input_v=solution.node_v[rows, regulators.begins[j]],
                output_v=solution.node_v[rows, regulators.ends[j]],
                input_a=solution.input_a[rows, j],
                output_a=solution.output_a[rows, j],
                heat_w=solution.heat_w[rows, j],
            )
            for j, name in enumerate(regulators.names)
        },
        loads_v=named(network.loads.names, solution.load_v),
        loads_a=named(network.loads.names, solution.load_a),
        strings_v=named(network.strings.names, solution.string_v),
        strings_a=named(network.strings.names, solution.string_a),
        diodes_a=named(network.strings.names, solution.diode_a),
        residual_a=solution.residual_a[rows],
    )
