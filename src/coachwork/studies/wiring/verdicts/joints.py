"""Who is joined to whom: everything fed, and every rail by one regulator only."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import attempt, is_missing, need
from coachwork.studies.wiring.netlist import Netlist
from coachwork.studies.wiring.result import Solved, WiringResult
from coachwork.studies.wiring.verdicts.wording import CAUTION, amperes, listed
from coachwork.studies.wording import COMMON_PRACTICE, first

YOURS = "your own netlist"


def findings(result: WiringResult) -> Iterator[Finding]:
    """Two questions."""
    yield judge(
        result.netlist, _fed, id="wiring.everything-fed", question="Does everything hang on something that feeds it?"
    )
    solved = None if is_missing(result.solved) else need(result.solved)
    yield judge(
        attempt(lambda: need(result.netlist)), lambda netlist: _alone(netlist, solved),
        id="wiring.one-regulator-a-rail", question="Is every rail fed by one regulator only?",
    )  # fmt: skip


def _fed(netlist: Netlist) -> Told:
    why = "pack or regulator reaches every load"
    if netlist.unfed:
        why = f"nothing feeds {listed(netlist.unfed)}"
    if netlist.unknown:
        who, name, _ = netlist.unknown[0]
        why += f"; {who} names {name}, which is no feeder and where no lead ends"
    do = None
    if netlist.unknown:
        who, name, near = netlist.unknown[0]
        do = f"in {who} write {near} in place of {name}" if near else f"give a lead that ends at {name}"
    elif netlist.unfed:
        do = f"give a lead that ends at {netlist.unfed[0]}, or say what it is fed-by"
    return {
        "value": np.array([float(len(netlist.unfed) + len(netlist.unknown))]),
        "limit": 0.0,
        "unit": "loads",
        "why": why,
        "do": do,
        "where": Place(part="wiring"),
        "source": YOURS,
    }


def _alone(netlist: Netlist, solved: Solved | None) -> Told:
    extra = sum(len(names) - 1 for names in netlist.shared) + len(netlist.backed)
    why, do = "no two regulators meet behind their outputs", None
    if netlist.backed:
        why = f"the output of {listed(netlist.backed)} is joined to the pack, whose volts it cannot hold"
        do = f"take the pack's plus off the output of {listed(netlist.backed)}. {CAUTION}"
    elif netlist.shared:
        names = netlist.shared[0]
        why = f"{listed(names)} meet: no two give exactly the same volts, so the higher one carries nearly all"
        if solved is not None:
            flows = solved.cases["all on, full pack"].regulators
            told = listed(f"{name} {amperes(flows[name].output_a)}" for name in names)
            why += f" ({told} with everything on), until it trips and the other gets all at once"
            spare = min(names, key=lambda name: first(flows[name].output_a))
        else:
            spare = names[-1]
        do = f"take the plus wire of {spare} out of its plug and cover it, then say used = false in regulators.{spare}"
    return {
        "value": np.array([float(extra)]),
        "limit": 0.0,
        "unit": "regulators",
        "why": why,
        "do": do,
        "where": Place(part="regulator"),
        "source": f"{COMMON_PRACTICE}; regulators not made for it do not share a load",
    }
