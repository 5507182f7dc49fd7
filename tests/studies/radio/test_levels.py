"""A control's thousand positions as a few: the same states follow, whichever position of a region a hand stops in."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwork.studies.radio.automata import Band, Machine
from coachwork.studies.radio.compile import compiled
from coachwork.studies.radio.events import Event
from coachwork.studies.radio.fields import hand
from coachwork.studies.radio.levels import STEPS, is_exact, levels_of
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Channel, Control, Device, Setup

STICK = Control(name="c", kind="stick", on_vehicle=False, rest=0.0, positions=("low", "middle", "high"))


def switched(name, cuts, **more):
    return Device(name=name, kind="switched", modes=("off", "on"), quiet=0, channel="x", cuts_us=cuts, **more)


def setup(*devices, noise=0.0, **channel):
    return Setup(
        controls=(STICK,), channels=(Channel(name="x", control="c", **channel),), devices=devices, noise_us=noise
    )


def test_a_threshold_with_hysteresis_makes_three_regions_and_the_rest_names_its_own():
    levels = levels_of(setup(switched("d", (1690.0, 1710.0))), {}, {})["c"]

    assert levels[0] == 0.0  # below both cuts: the stick's rest
    assert 1690 <= float(pulse_us(Channel(name="x", control="c"), {"c": levels[1]})[0]) < 1710
    assert levels[2] == 1.0


def test_each_threshold_is_crossed_both_ways_with_its_hysteresis():
    """Up through the lower cut it stays off, on at the upper; down through the upper it stays on, off at the lower."""
    product = compiled(setup(switched("d", (1690.0, 1710.0))))
    columns = product.unpacked(product.start)
    shown = []
    for way in (1, 1, -1, -1):
        columns = next(iter(product.after(columns, Event("move", "c", way))))
        shown.append(product.tables["d"].mode[columns["d"][0]])
    assert shown == [0, 1, 1, 0]


def test_positions_within_noise_of_a_cut_are_passed_but_not_stopped_in():
    cuts = (1690.0, 1710.0)
    for position in levels_of(setup(switched("d", cuts), noise=4.0), {}, {})["c"]:
        pulse = float(pulse_us(Channel(name="x", control="c"), {"c": position})[0])
        assert min(abs(pulse - cut) for cut in cuts) >= 4.0


def test_a_rest_within_noise_of_a_cut_stays_and_noise_may_tip_it():
    product = compiled(setup(switched("d", (1501.0, 1521.0)), noise=4.0))

    assert 0.0 in product.levels["c"]
    assert "noise" in {event.kind for event in product.events}
    tipping = compiled(setup(switched("d", (1481.0, 1502.0)), noise=4.0))
    (after,) = tipping.after(tipping.unpacked(tipping.start), Event("noise", "d", 1))
    assert tipping.tables["d"].mode[after["d"][0]] == 1


def test_marks_part_a_region_below_at_and_above():
    assert levels_of(setup(), {"c": (0.5,)}, {})["c"] == (0.0, 0.5, 1.0)


def test_two_swept_controls_on_one_channel_are_said_to_be_inexact():
    other = Control(name="o", kind="dial", on_vehicle=False, rest=-1.0, positions=("low", "middle", "high"))
    channel = Channel(name="x", control="c", mixes=(("o", 0.3),))
    mixed = Setup(controls=(STICK, other), channels=(channel,), devices=(switched("d", (1690.0, 1710.0)),))
    assert not is_exact(mixed)
    assert is_exact(setup(switched("d", (1690.0, 1710.0))))


def test_a_switch_mixed_in_shifts_the_cuts_of_a_stick():
    """With the switch on, 30 % are added, so the stick's cut lies 30 % lower: both are told apart."""
    switch = Control(name="s", kind="two-position", on_vehicle=False, rest=-1.0, positions=("off", "on"))
    channel = Channel(name="x", control="c", mixes=(("s", 0.3),))
    mixed = Setup(controls=(STICK, switch), channels=(channel,), devices=(switched("d", (1700.0, 1700.0)),))

    levels = levels_of(mixed, {}, {})["c"]

    sides = [tuple(float(pulse_us(channel, {"c": x, "s": s})[0]) >= 1700 for s in (-1.0, 1.0)) for x in levels]
    assert sides == [(False, False), (False, True), (True, True)]


@st.composite
def radios(draw):
    """One stick on one channel, a few devices of any switching kind, and where a hand takes the stick."""
    devices = []
    for i in range(draw(st.integers(1, 3))):
        cut, width = draw(st.integers(1050, 1900)), draw(st.integers(0, 80))
        kind = draw(st.sampled_from(["switched", "cycling", "proportional"]))
        three = kind == "proportional"
        devices.append(
            Device(
                name=f"d{i}", kind=kind, modes=("a", "b", "c") if kind != "switched" else ("a", "b"),
                quiet=int(three), starts=int(three), channel="x", cuts_us=(float(cut), float(cut + width)),
                below=draw(st.booleans()), counts=draw(st.sampled_from(["press", "release", "both"])),
            )
        )  # fmt: skip
    channel = Channel(
        name="x", control="c", reverse=draw(st.booleans()), expo=draw(st.sampled_from([-0.5, 0.0, 0.4])),
        high_end=draw(st.sampled_from([0.7, 1.0, 1.2])), sub_trim_us=draw(st.sampled_from([-30.0, 0.0, 45.0])),
    )  # fmt: skip
    stops = draw(st.lists(st.integers(0, STEPS.size - 1), min_size=1, max_size=8))
    return Setup(controls=(STICK,), channels=(channel,), devices=tuple(devices)), stops


@given(radios())
def test_any_walk_over_a_thousand_positions_is_a_walk_over_the_levels(case):
    """The same machines, stepped at every one of the thousand positions that a hand passes, end in the same modes.

    The levels are walked by the level nearest to each stop that lies on the same side of every cut.
    """
    radio, stops = case
    product = compiled(radio)
    channel = radio.channels[0]
    pulses = pulse_us(channel, {"c": STEPS})

    def band(device, pulse):
        return Band(int(pulse >= device.cuts_us[0]) + int(pulse >= device.cuts_us[1]))

    machines = {one.name: Machine(one) for one in radio.devices}
    at = STEPS.size // 2
    states = {
        name: machine.step(machine.start, band(machine.device, pulses[at]), powered=True)
        for name, machine in machines.items()
    }
    columns = product.unpacked(product.start)

    def sides(pulse):
        return tuple(band(one, pulse) for one in radio.devices)

    of_levels = [sides(float(pulse_us(channel, {"c": level})[0])) for level in product.levels["c"]]
    for stop in stops:
        for step in range(at, stop, 1 if stop > at else -1):
            beside = step + (1 if stop > at else -1)
            states = {
                name: machine.step(states[name], band(machine.device, pulses[beside]), powered=True)
                for name, machine in machines.items()
            }
        at = stop
        target = of_levels.index(sides(pulses[stop]))
        now = int(columns[hand("c")][0])
        if target != now:
            moves = product.after(columns, Event("move", "c", 1 if target > now else -1))
            for _ in range(abs(target - now)):
                columns = next(moves)
        for name, machine in machines.items():
            shown = machine.device.modes[product.tables[name].mode[int(columns[name][0])]]
            assert shown == machine.device.modes[states[name].mode]


def test_expo_keeps_a_stick_monotone():
    for amount in (-1.0, -0.5, 0.0, 0.5, 1.0):
        pulses = pulse_us(Channel(name="x", control="c", expo=amount), {"c": STEPS})
        assert (np.diff(pulses) >= -1e-9).all()
        assert pulses[[0, 512, 1024]] == pytest.approx([1000, 1500, 2000])
