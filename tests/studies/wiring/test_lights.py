"""Light strings against Ohm's law by hand, and what the spread of forward voltages does."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwork.studies.wiring.lights import diode_v
from coachwork.studies.wiring.network import string_current_a

STRING = """
[wiring.light-strings.side]
fed-by = "receiver"
leds = 2
strings = 4
resistor = "100 ohm"
forward-voltage = "2.0 ± 0.01 V"
matching = "0.10 ± 0.01 V"
rated-current = "20 mA"
wanted-current = "{wanted}"
resistor-power = "0.25 W"
"""


def array(*numbers):
    return np.array(numbers, dtype=float)


@given(
    volts=st.floats(3, 12), leds=st.integers(1, 3), forward=st.floats(1.7, 3.4), rated=st.floats(0.002, 0.5),
    share=st.floats(0.05, 1.5),
)  # fmt: skip
def test_the_resistor_by_hand_gives_the_current_it_was_chosen_for(volts, leds, forward, rated, share):
    """R = (V - n Vf) / I, with the diode's volts at that current; the closed form then gives that current."""
    current = array(share * rated)
    drop = leds * diode_v(current_a=current, forward_v=array(forward), rated_a=array(rated))
    if volts - drop[0] < 0.05:
        return
    ohm = (volts - drop) / current

    found, _ = string_current_a(
        volts=array(volts), leds=array(leds), ohm=ohm, forward_v=array(forward), rated_a=array(rated)
    )

    assert found[0] == pytest.approx(current[0], rel=1e-9)


def test_the_textbook_s_example():
    """12 V, three red diodes of 2.0 V at 20 mA: (12 - 6) / 0.02 = 300 ohm, 120 mW in the resistor."""
    found, _ = string_current_a(
        volts=array(12), leds=array(3), ohm=array(300), forward_v=array(2.0), rated_a=array(0.02)
    )

    assert found[0] == pytest.approx(0.020, rel=1e-9)
    assert found[0] ** 2 * 300 == pytest.approx(0.120, rel=1e-9)


def test_under_its_forward_voltage_a_diode_is_dark():
    found, slope = string_current_a(
        volts=array(1.0, 0.0, -5.0), leds=array(1, 1, 1), ohm=array(10, 10, 10), forward_v=array(3, 3, 3),
        rated_a=array(0.02, 0.02, 0.02),
    )  # fmt: skip

    assert np.all(np.abs(found) < 1e-9)
    assert np.all((slope >= 0) & np.isfinite(slope))


def test_the_slope_is_that_of_the_current():
    volts = np.linspace(1, 9, 81)
    ones = np.ones_like(volts)

    def current(v):
        return string_current_a(volts=v, leds=2 * ones, ohm=120 * ones, forward_v=2.1 * ones, rated_a=0.02 * ones)

    difference = (current(volts + 1e-6)[0] - current(volts - 1e-6)[0]) / 2e-6
    np.testing.assert_allclose(current(volts)[1], difference, rtol=1e-5, atol=1e-9)


@pytest.mark.parametrize(("wanted", "preferred"), [("15 mA", 120), ("10 mA", 180), ("5 mA", 390)])
def test_the_preferred_value_is_the_next_of_e12_above_ohm_s_law(verdicts, wanted, preferred):
    """About 5.47 V on the rail, two diodes of a little under 2 V: 1.58, 1.7, 1.9 V over the wanted current."""
    text = STRING.format(wanted=wanted).replace('resistor = "100 ohm"\n', "")

    told = verdicts(text)["wiring.lights.side.current"].do

    assert f"fit {preferred} ohm" in told


def test_power_of_the_resistor_and_current_of_the_diodes_by_hand(verdicts):
    """The hottest diode lies 0.1 V low: (5.5 - lead - 2 x 1.9) / 100 less what its own resistance adds."""
    told = verdicts(STRING.format(wanted="15 mA"))
    hottest = float(told["wiring.lights.side.current"].value[0])

    rail = 5.47  # V, of 5.5 behind 20 mohm and a lead, with a few hundred mA
    by_hand = next(  # mA, by trial: both sides of Ohm's law
        i / 10 for i in range(50, 300)
        if i * 1e-4 * 100 + 2 * float(diode_v(current_a=array(i * 1e-4), forward_v=array(1.9), rated_a=array(0.02))[0])
        >= rail
    )  # fmt: skip
    assert hottest == pytest.approx(by_hand, abs=0.4)
    watts = float(told["wiring.lights.side.resistor-heat"].value[0])
    assert watts == pytest.approx((hottest / 1000) ** 2 * 100, rel=1e-6)


def test_a_shared_resistor_lets_the_odd_diode_take_more_than_one_of_its_own(verdicts):
    """The same light from the same rail: one resistor for four strings is a quarter of each one's."""
    own = verdicts(STRING.format(wanted="15 mA"))["wiring.lights.side.current"]
    text = STRING.format(wanted="15 mA").replace('resistor = "100 ohm"', 'one-resistor = true\nresistor = "25 ohm"')
    shared = verdicts(text)["wiring.lights.side.current"]

    assert float(shared.value[0]) > 1.2 * float(own.value[0])
    assert "share by their voltages alone" in shared.why
