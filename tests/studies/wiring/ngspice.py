"""A network as a circuit for ngspice (Debian package ngspice): from the elements' laws, solved by its methods.

Diodes are ngspice's own junction model in series and parallel, so the closed form of ours has a real counterpart.
"""

from __future__ import annotations

import re
import shutil
import subprocess

import numpy as np
import pytest

from coachwork.studies.wiring.network import EMISSION, RESISTING_V, THERMAL_V, Network
from coachwork.studies.wiring.solve import LEAK_S

BOLTZMANN_OVER_CHARGE = 8.617333e-5  # V/K
CAPACITOR_F, SETTLED_S = 1e-4, 0.02  # on a few ohms at most: 20 time constants and more
DEGC = THERMAL_V / BOLTZMANN_OVER_CHARGE - 273.15


def circuit(network: Network, case: int) -> str:
    """The case as a circuit file that prints all node voltages."""

    def at(array: np.ndarray, j: int) -> float:
        return float(array[min(case, len(array) - 1), j])

    def node(number: int) -> str:
        return "0" if number < 0 else f"n{number}"

    lines = [
        "a vehicle's wiring",
        f".options temp={DEGC:.6f} tnom={DEGC:.6f} method=gear reltol=1e-5 abstol=1e-9 vntol=1e-7",
    ]
    lines += [f"Rleak{k} n{k} 0 {1 / LEAK_S}" for k in range(len(network.nodes))]
    b = network.branches
    for j, (begin, end) in enumerate(zip(b.begins, b.ends, strict=True)):
        lines += [f"Vb{j} m{j} {node(begin)} {at(b.volts, j)!r}", f"Rb{j} m{j} {node(end)} {at(b.ohm, j)!r}"]
    loads = network.loads
    for j, place in enumerate(loads.node):
        v = f"v(n{place})"
        lines.append(
            f"Bl{j} n{place} 0 I={at(loads.steady_a, j)!r}*min(max({v}/{at(loads.fade_v, j)!r},0),1)"
            f"+{at(loads.siemens, j)!r}*{v}"
        )
    strings = network.strings
    for j, place in enumerate(strings.node):
        if not at(strings.lit, j):
            continue
        rated, leds, side = at(strings.rated_a, j), round(at(strings.leds, j)), at(strings.side_by_side, j)
        saturation = float(rated * np.exp(-(at(strings.forward_v, j) - RESISTING_V) / (EMISSION * THERMAL_V)))
        lines.append(f".model led{j} D(IS={saturation!r} N={EMISSION} RS={RESISTING_V / rated!r} CJO=1e-7)")
        lines.append(f"Rs{j} n{place} d{j}x0 {max(at(strings.ohm, j) / side, 1e-9)!r}")
        lines += [
            f"Ds{j}x{k} d{j}x{k} {f'd{j}x{k + 1}' if k + 1 < leds else '0'} led{j} area={side!r}" for k in range(leds)
        ]
    r = network.regulators
    for j, (begin, end) in enumerate(zip(r.begins, r.ends, strict=True)):
        inside = f"max(min({at(r.set_v, j)!r},v(n{begin})-{at(r.drop_v, j)!r}),0)"
        out = f"min(max(({inside}-v(n{end}))/{at(r.ohm, j)!r},0),{at(r.most_a, j)!r})"
        efficiency = at(r.efficiency, j)
        share = "1" if np.isnan(efficiency) else f"({inside}/({efficiency!r}*max(v(n{begin}),{at(r.set_v, j) / 2!r})))"
        lines.append(f"Bo{j} 0 n{end} I={out}")
        lines.append(f"Bi{j} n{begin} 0 I={out}*{share}+{at(r.own_a, j)!r}*min(max(v(n{begin}),0),1)")
    # Switched on with a capacitor at every node and left alone until nothing moves: its search for an operating point
    # throws the outputs of regulators to a million volts, for their loads draw the same at any voltage.
    lines += [f"Ct{k} n{k} 0 {CAPACITOR_F}" for k in range(len(network.nodes))]
    shown = [f"print n{k}[length(n{k})-1]" for k in range(len(network.nodes))]
    lines += [".control", "set numdgt=12", f"tran {SETTLED_S / 100} {SETTLED_S} uic", *shown, ".endc", ".end"]
    return "\n".join(lines) + "\n"


def node_volts(network: Network, case: int, folder) -> np.ndarray:
    """What ngspice finds, (nodes,)."""
    if shutil.which("ngspice") is None:
        pytest.fail("ngspice is not installed: scripts/system-packages installs what the tests need")
    (folder / "c.cir").write_text(circuit(network, case), encoding="utf-8")
    done = subprocess.run(["ngspice", "-b", "c.cir"], cwd=folder, capture_output=True, text=True, check=False)
    told = dict(re.findall(r"^(n\d+)\[.*\] = (\S+)", done.stdout, re.MULTILINE))
    assert len(told) == len(network.nodes), done.stdout + done.stderr
    assert "aborted" not in done.stdout + done.stderr, done.stdout + done.stderr
    return np.array([float(told[f"n{k}"]) for k in range(len(network.nodes))])
