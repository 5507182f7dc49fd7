"""Small builds written as a builder would, what the study says of them, and networks put together by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text
from coachwork.plan import Plan, discover
from coachwork.studies.wiring.network import Branches, Loads, Network, Regulators, Strings

BASE = """\
[pack]
cells = 2
capacity = "4000 mAh"
resistance = "20 ± 1 mohm"
discharge-rating = 25
voltage = 8.3
[controller]
most-cells = 3
cut-off = "6.4 ± 0.01 V"
current-limit = "45 A"
motor-drive = "4 ± 0.1 A"
motor-start = "20 ± 0.1 A"
[regulators.main]
kind = "switching"
voltage = "5.5 ± 0.01 V"
current-limit = "5 A"
drop-out = "0.5 ± 0.01 V"
resistance = "20 ± 1 mohm"
efficiency = "0.9 ± 0.01"
own-current = "10 ± 1 mA"
trips-at = "125 ± 1 degC"
heat-resistance = "25 ± 1 K/W"
[wiring]
air = "25 ± 1 degC"
contacts = "1.0 ± 0.01"
[wiring.leads]
supply = { begins = "main", ends = "receiver", area = 0.5, length = 150, plug = "servo plug", plugs = 1 }
lamp-lead = { begins = "receiver", ends = "lamp", area = 0.25, length = 300 }
[wiring.loads]
receiver = { least-voltage = "3.6 V", most-voltage = "8.4 V" }
lamp = { typical = "100 ± 1 mA", least-voltage = "4.0 V", most-voltage = "6.0 V" }
"""


def with_changes(text, changes):
    """The text with old words replaced by new ones; each must be there."""
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new)
    return text


@pytest.fixture
def verdicts():
    """Findings of the wiring study by id, of the base build with changes and more tables."""
    plan = Plan(studies=tuple(study for study in discover() if study.name in ("driveline", "wiring")))

    def told(more: str = "", **changes: str):
        text = with_changes(BASE, changes.get("changes", {})) + more
        build = read_text(text, Path("build.toml"))
        return {finding.id: finding for finding in plan.run(build, only=["wiring"])["wiring"].findings}

    return told


def row(*numbers):
    """Numbers of one case, one for each element."""
    return np.array([numbers], dtype=float).reshape(1, -1)


def places(*nodes):
    """Nodes of elements."""
    return np.array(nodes, dtype=np.intp)


def network_of(nodes, *, branches, regulators=(), loads=(), strings=()):
    """A network by hand: branches (begin, end, ohm, volts), regulators (in, out, set, drop, ohm, most, eff, own),
    loads (node, ampere, siemens, fade), strings (node, side by side, leds, ohm, forward, rated).
    """
    names = [f"b{j}" for j in range(len(branches))]
    return Network(
        nodes=tuple(nodes),
        branches=Branches(
            names=tuple(names), begins=places(*(b[0] for b in branches)), ends=places(*(b[1] for b in branches)),
            ohm=row(*(b[2] for b in branches)), volts=row(*(b[3] for b in branches)),
        ),
        regulators=Regulators(
            names=tuple(f"r{j}" for j in range(len(regulators))), begins=places(*(r[0] for r in regulators)),
            ends=places(*(r[1] for r in regulators)), set_v=row(*(r[2] for r in regulators)),
            drop_v=row(*(r[3] for r in regulators)), ohm=row(*(r[4] for r in regulators)),
            most_a=row(*(r[5] for r in regulators)), efficiency=row(*(r[6] for r in regulators)),
            own_a=row(*(r[7] for r in regulators)),
        ),
        loads=Loads(
            names=tuple(f"l{j}" for j in range(len(loads))), node=places(*(one[0] for one in loads)),
            steady_a=row(*(one[1] for one in loads)), siemens=row(*(one[2] for one in loads)),
            fade_v=row(*(one[3] for one in loads)),
        ),
        strings=Strings(
            names=tuple(f"s{j}" for j in range(len(strings))), node=places(*(s[0] for s in strings)),
            side_by_side=row(*(s[1] for s in strings)), leds=row(*(s[2] for s in strings)),
            ohm=row(*(s[3] for s in strings)), forward_v=row(*(s[4] for s in strings)),
            rated_a=row(*(s[5] for s in strings)), lit=row(*(1.0 for _ in strings)),
        ),
    )  # fmt: skip
