"""The pack's curve against a published formula, and its voltage against PyBaMM's equivalent-circuit model."""

import os

import numpy as np
import pytest
from power_case import Case

from coachwork.studies.power.duty import Leg
from coachwork.studies.power.pack import CURVES, cell_v, energy_v, share_left


def chen_and_rincon_mora(share):
    """Open-circuit volts of a polymer lithium cell: IEEE Trans. Energy Conversion 21 (2006) 504, eq. 2, from memory."""
    return -1.031 * np.exp(-35 * share) + 3.685 + 0.2156 * share - 0.1178 * share**2 + 0.3201 * share**3


def test_polymer_curve_lies_by_the_published_fit():
    """0.1 V: the fit is of one make that charges to 4.1 V; ours is the table for 4.2 V."""
    share = np.linspace(0.1, 1.0, 50)
    assert np.abs(cell_v("lipo", share) - chen_and_rincon_mora(share)).max() < 0.11


@pytest.mark.parametrize("chemistry", CURVES)
def test_curves_rise_and_are_their_own_inverse(chemistry):
    share = np.linspace(0.0, 1.0, 101)
    volts = cell_v(chemistry, share)
    assert (np.diff(volts) > 0).all()
    assert np.allclose(share_left(chemistry, volts), share)


def test_voltage_under_load_is_that_of_pybamms_thevenin_model(monkeypatch):
    """Same open-circuit curve, R0, R1 and C1; a round of 3 A and 0.2 A; PyBaMM's own solver. Within 2 mV a cell.

    Its thermal part is held at one temperature by large masses, for our resistances do not hang on temperature.
    """
    monkeypatch.setitem(os.environ, "PYBAMM_DISABLE_TELEMETRY", "true")
    import pybamm  # here, for it takes two seconds and asks the network unless told not to

    amps_on, amps_off, seconds = 3.0, 0.2, 600.0
    case = Case(
        legs=(Leg(seconds=60, speed_m_s=0.0, loads="heavy"), Leg(seconds=30, speed_m_s=0.3, loads="quiet")),
        guards=(("empty", "share", 0.0, "all", "never"), ("cell cut-off", "bus", 0.0, "motor")),
    ).but(
        cells=1.0, charge_as=2.0 * 3600, resistance_ohm=0.03, lead_ohm=1e-9, slow_ohm=0.02, slow_s=40.0, share=0.9,
        heavy=amps_on, quiet=amps_off, limit_a=99.0, idle_a=0.0, out_v=1.0, mass_kg=1e-9, no_load_a=0.0,
    )  # fmt: skip
    trace = case.drive(seconds, keep_trace=True, longest_step_s=5.0).trace

    values = dict(pybamm.equivalent_circuit.Thevenin().default_parameter_values)
    curve = CURVES["lipo"]
    values.update(
        {
            "Open-circuit voltage [V]": lambda soc: pybamm.Interpolant(curve.share, curve.volts, soc),
            "R0 [Ohm]": 0.03, "R1 [Ohm]": 0.02, "C1 [F]": 40.0 / 0.02, "Entropic change [V/K]": 0.0,
            "Cell capacity [A.h]": 2.0, "Nominal cell capacity [A.h]": 2.0, "Initial SoC": 0.9,
            "Cell thermal mass [J/K]": 1e9, "Jig thermal mass [J/K]": 1e9, "Lower voltage cut-off [V]": 2.0,
            "Upper voltage cut-off [V]": 4.5,
            "Current function [A]": lambda t: amps_off + (amps_on - amps_off) * ((t % 90) < 60),
        }
    )  # fmt: skip
    times = np.unique(np.concatenate([np.arange(0, seconds, 5.0), *[[k * 90.0, k * 90 + 60.0] for k in range(7)]]))
    times = times[times <= seconds]
    theirs = pybamm.Simulation(
        pybamm.equivalent_circuit.Thevenin(), parameter_values=pybamm.ParameterValues(values),
        solver=pybamm.IDAKLUSolver(rtol=1e-8, atol=1e-8, options={"dt_max": 1.0}),
    ).solve(times)  # fmt: skip

    inside = [s for s in np.arange(2.5, seconds, 5.0) if 3 < s % 90 < 57 or 63 < s % 90 < 87]
    ours = np.interp(inside, trace.seconds, trace.bus_v[:, 0])
    reference = np.interp(inside, theirs["Time [s]"].entries, theirs["Voltage [V]"].entries)
    assert np.abs(ours - reference).max() < 0.002
    assert reference.max() - reference.min() > 0.15, "the round covers more than a flat piece of the curve"


@pytest.mark.parametrize("chemistry", CURVES)
def test_energy_is_the_area_under_the_curve(chemistry):
    """Against the trapezoid rule on a hundred thousand pieces."""
    share = np.linspace(0.0, 0.83, 100_001)
    assert energy_v(chemistry, share[-1:])[0] == pytest.approx(np.trapezoid(cell_v(chemistry, share), share), rel=1e-9)
    assert energy_v(chemistry, np.array([0.0]))[0] == pytest.approx(0.0, abs=1e-12)
