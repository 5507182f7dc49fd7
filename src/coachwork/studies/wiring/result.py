"""What the wiring study finds out; every part may be missing on its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.build import Numbers
from coachwork.build.sections.pack import Chemistry
from coachwork.studies.parts import Part
from coachwork.studies.result import Result
from coachwork.studies.supply import LeadFacts
from coachwork.studies.wiring.netlist import Netlist
from coachwork.studies.wiring.network import Network
from coachwork.studies.wiring.states import Level, State


@dataclass(frozen=True, kw_only=True, eq=False)
class RegulatorFlow(Result):
    """Of one regulator in one case, (samples,). heat_w: what goes in less what comes out."""

    input_v: Numbers
    output_v: Numbers
    input_a: Numbers
    output_a: Numbers
    heat_w: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Case(Result):
    """Currents and volts of one state of the loads at one state of the pack; all (samples,).

    leads_a  : current of each lead, from where it begins
    cells_a  : current of each cell, the first next to minus
    loads_v, loads_a : of each load
    diodes_a : through each diode of each light string
    strings_v: at each light string
    residual_a : the largest current that is left over at any node
    """

    state: State
    pack: Level
    pack_v: Numbers
    nodes_v: Mapping[str, Numbers]
    leads_a: Mapping[str, Numbers]
    cells_a: tuple[Numbers, ...]
    regulators: Mapping[str, RegulatorFlow]
    loads_v: Mapping[str, Numbers]
    loads_a: Mapping[str, Numbers]
    strings_v: Mapping[str, Numbers]
    strings_a: Mapping[str, Numbers]
    diodes_a: Mapping[str, Numbers]
    residual_a: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Solved(Result):
    """Every case, by `state, pack` such as "all on, low pack".

    unlimited : the same where regulators give whatever is asked: what they would have to
    sum_a     : all that hangs on the receiver's supply and elsewhere, were everything on at its peak at once
    together_a: the same in the heaviest state that can be reached; `exact` where it is no mere sum
    """

    cases: Mapping[str, Case]
    unlimited: Mapping[str, Case]
    sum_a: Numbers
    together_a: Numbers
    exact: bool
    network: Network = field(metadata={"json": False})
    """In the order of `states.CASES`, samples inside."""


@dataclass(frozen=True, kw_only=True, eq=False)
class PackFacts(Result):
    """The pack and what protects it, (samples,). cells : as counted, else by its volts"""

    cells: Part[Numbers]
    counted: Part[Numbers]
    rest_v: Part[Numbers]
    cut_off_v: Part[Numbers]
    most_cells: Part[Numbers]
    most_a: Part[Numbers]
    capacity_mah: Part[Numbers]
    chemistry: Chemistry


@dataclass(frozen=True, kw_only=True, eq=False)
class RegulatorFacts(Result):
    """One regulator's limits, (samples,)."""

    kind: str
    set_v: Numbers
    drop_v: Numbers
    continuous_a: Part[Numbers]
    peak_a: Part[Numbers]
    heat_k_per_w: Numbers
    trips_degc: Numbers
    air_degc: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class LoadFacts(Result):
    """What a load stands and needs, (samples,)."""

    least_v: Numbers
    most_v: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class LightPlan(Result):
    """The resistor that a light string wants at the highest volts it gets, (samples,).

    spare_v    : what is left of them behind the diodes, for the resistor; negative where there are too many in series
    wanted_ohm : gives the wanted current; `preferred_ohm`, the next of E12 above it (first sample), None without spare
    """

    leds: Numbers
    side_by_side: Numbers
    one_resistor: bool
    supply_v: Numbers
    spare_v: Numbers
    wanted_a: Numbers
    wanted_ohm: Numbers
    preferred_ohm: float | None


@dataclass(frozen=True, kw_only=True, eq=False)
class LightFacts(Result):
    """One light string, (samples,).

    hottest_a   : through the diode that takes most, by its forward voltage among its like, at the highest volts
    dimmest_a   : through a diode at the lowest volts at which it is lit
    resistor_w  : what the fitted one turns into heat at most
    """

    plan: LightPlan
    forward_v: Numbers
    matching_v: Numbers
    rated_a: Numbers
    hottest_a: Numbers
    dimmest_a: Numbers
    resistor_ohm: Numbers
    resistor_w: Numbers
    power_w: Numbers


@dataclass(frozen=True, kw_only=True)
class InLead:
    """What is in a lead, by its table's words: which questions there are hangs on this and on no number.

    wants_fuse : it begins at the pack or a tap, and is not the controller's
    """

    begins: str
    plug: bool
    switch: bool
    wants_fuse: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class WiringResult(Result):
    """The whole wiring."""

    netlist: Part[Netlist]
    solved: Part[Solved]
    pack: PackFacts
    controller_a: Part[Numbers]
    leads: Mapping[str, Part[LeadFacts]]
    in_leads: Mapping[str, InLead]
    regulators: Mapping[str, RegulatorFacts]
    loads: Mapping[str, LoadFacts]
    plans: Mapping[str, Part[LightPlan]]
    lights: Mapping[str, Part[LightFacts]]
