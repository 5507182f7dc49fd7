"""Every fault the study is for, beside a neighbour as like it as can be that is none."""

from __future__ import annotations

import pytest

# what: (the finding, changes that are wrong, their more; changes that are right, their more)
SECOND = """
[regulators.built-in]
kind = "linear"
fed-by = "controller"
voltage = "5.6 ± 0.01 V"
current-limit = "3 A"
"""
TAPPED = """
[wiring.leads.bell-lead]
begins = "{begins}"
ends = "bell"
area = 0.25
length = 200
fuse = 1
[wiring.loads.bell]
typical = "60 ± 1 mA"
least-voltage = "3 V"
most-voltage = "9 V"
"""
SIGN = """
[wiring.loads.sign]
fed-by = "{fed}"
typical = "80 ± 1 mA"
least-voltage = "4.5 V"
most-voltage = "6 V"
"""
LIGHTS = """
[wiring.light-strings.side]
fed-by = "receiver"
leds = 2
strings = 4
{resistors}
forward-voltage = "2.0 ± 0.01 V"
matching = "0.12 ± 0.01 V"
rated-current = "20 mA"
wanted-current = "15 mA"
resistor-power = "{power} W"
"""
SERVO = """
[wiring.loads.servo]
fed-by = "receiver"
typical = "200 ± 1 mA"
peak = "800 ± 1 mA"
stall = "{stall} A"
least-voltage = "4.0 V"
most-voltage = "6 V"
"""
HALL = """
[wiring.loads.hall]
fed-by = "receiver"
typical = "1.5 ± 0.01 A"
least-voltage = "4 V"
most-voltage = "6 V"
"""

FAULTS = {
    "a wrong count of cells": ("wiring.pack.cells", {"voltage = 8.3": "voltage = 11.9"}, "", {}, ""),
    "a pack of too many cells for the controller": (
        "wiring.controller.cells",
        {"most-cells = 3": "most-cells = 1"},
        "",
        {},
        "",
    ),
    "a controller set for fewer cells": (
        "wiring.pack.cut-off",
        {'cut-off = "6.4': 'cut-off = "3.2'},
        "",
        {'cut-off = "6.4': 'cut-off = "6.2'},
        "",
    ),
    "a controller set for nickel under a lithium pack": (
        "wiring.pack.cut-off",
        {'cut-off = "6.4': 'cut-off = "4.5'},
        "",
        {
            'cut-off = "6.4': 'cut-off = "4.5',
            "cells = 2": 'cells = 5\nchemistry = "nickel metal hydride"',
            "voltage = 8.3": "voltage = 6.9",
        },
        "",
    ),
    "two regulators in parallel": (
        "wiring.one-regulator-a-rail",
        {},
        SECOND,
        {},
        SECOND + "used = false\n",
    ),
    "two regulators, the second for a rail of its own": (
        "wiring.one-regulator-a-rail",
        {},
        SECOND,
        {},
        SECOND + SIGN.format(fed="built-in"),
    ),
    "a regulator's output on the pack": (
        "wiring.one-regulator-a-rail",
        {'begins = "receiver", ends = "lamp"': 'begins = "receiver", ends = "pack"'},
        "",
        {},
        "",
    ),
    "a load on the wrong rail": (
        "wiring.load.sign.rail",
        {},
        SIGN.format(fed="pack"),
        {},
        SIGN.format(fed="receiver"),
    ),
    "a tap that unbalances the pack": (
        "wiring.pack.even",
        {},
        TAPPED.format(begins="tap 1"),
        {},
        TAPPED.format(begins="pack"),
    ),
    "a wire too thin": (
        "wiring.lead.supply.wire",
        {"area = 0.5": "area = 0.05"},
        HALL,
        {"area = 0.5": "area = 0.14"},
        HALL,
    ),
    "a plug over its rating": (
        "wiring.lead.supply.plug",
        {"plugs = 1": 'plugs = 1, plug-rating = "1 A"'},
        HALL,
        {"plugs = 1": 'plugs = 1, plug-rating = "2 A"'},
        HALL,
    ),
    "a switch over its rating": (
        "wiring.lead.lamp-lead.switch",
        {"area = 0.25, length = 300": 'area = 0.25, length = 300, switch = "slide"'},
        '\n[wiring.switches.slide]\nrating = "0.05 A"\nresistance = "20 ± 1 mohm"\n',
        {"area = 0.25, length = 300": 'area = 0.25, length = 300, switch = "slide"'},
        '\n[wiring.switches.slide]\nrating = "0.15 A"\nresistance = "20 ± 1 mohm"\n',
    ),
    "a short that nothing cuts": (
        "wiring.lead.bell-lead.fuse",
        {},
        TAPPED.format(begins="pack").replace("fuse = 1\n", ""),
        {},
        TAPPED.format(begins="pack"),
    ),
    "a fuse larger than its wire stands": (
        "wiring.lead.bell-lead.fuse",
        {},
        TAPPED.format(begins="pack").replace("fuse = 1", "fuse = 15"),
        {},
        TAPPED.format(begins="pack").replace("fuse = 1", "fuse = 2"),
    ),
    "a regulator in drop-out": (
        "wiring.regulator.main.input",
        {'drop-out = "0.5': 'drop-out = "1.6'},
        "",
        {'drop-out = "0.5': 'drop-out = "1.0'},
        "",
    ),
    "a regulator over its rating": (
        "wiring.regulator.main.current",
        {'current-limit = "5 A"': 'current-limit = "1 A"'},
        HALL,
        {},
        HALL,
    ),
    "a linear regulator that cooks": (
        "wiring.regulator.main.heat",
        {'kind = "switching"': 'kind = "linear"', 'heat-resistance = "25': 'heat-resistance = "35'},
        HALL,
        {'heat-resistance = "25': 'heat-resistance = "35'},
        HALL,
    ),
    "a receiver that browns out when the servo stalls": (
        "wiring.receiver.servo-held",
        {'current-limit = "5 A"': 'current-limit = "1 A"'},
        SERVO.format(stall="3.0"),
        {},
        SERVO.format(stall="3.0"),
    ),
    "a servo that asks too much of its regulator when it stalls": (
        "wiring.regulator.main.servo-held",
        {'current-limit = "5 A"': 'current-limit = "1.5 A"'},
        SERVO.format(stall="3.0"),
        {'current-limit = "5 A"': 'current-limit = "1.5 A"'},
        SERVO.format(stall="1.5"),
    ),
    "too few volts at a load": (
        "wiring.load.lamp.enough",
        {"area = 0.25, length = 300": "area = 0.03, length = 1900", 'typical = "100 ± 1 mA': 'typical = "700 ± 1 mA'},
        "",
        {'typical = "100 ± 1 mA': 'typical = "700 ± 1 mA'},
        "",
    ),
    "a load that nothing feeds": (
        "wiring.everything-fed",
        {},
        SIGN.format(fed="reciever"),
        {},
        SIGN.format(fed="receiver"),
    ),
    "strings that share one resistor": (
        "wiring.lights.side.current",
        {},
        LIGHTS.format(resistors='one-resistor = true\nresistor = "25 ohm"', power=0.25),
        {},
        LIGHTS.format(resistors='resistor = "100 ohm"', power=0.25),
    ),
    "a resistor too small": (
        "wiring.lights.side.current",
        {},
        LIGHTS.format(resistors='resistor = "39 ohm"', power=0.25),
        {},
        LIGHTS.format(resistors='resistor = "120 ohm"', power=0.25),
    ),
    "too many diodes in series": (
        "wiring.lights.side.bright",
        {},
        LIGHTS.format(resistors='resistor = "100 ohm"', power=0.25).replace("leds = 2", "leds = 3"),
        {},
        LIGHTS.format(resistors='resistor = "100 ohm"', power=0.25),
    ),
    "a resistor that gets hot": (
        "wiring.lights.side.resistor-heat",
        {},
        LIGHTS.format(resistors='one-resistor = true\nresistor = "25 ohm"', power=0.125),
        {},
        LIGHTS.format(resistors='resistor = "100 ohm"', power=0.125),
    ),
    "a motor too much for its controller": (
        "wiring.controller.current",
        {'current-limit = "45 A"': 'current-limit = "15 A"'},
        "",
        {},
        "",
    ),
    "a pack too small": ("wiring.pack.current", {"discharge-rating = 25": "discharge-rating = 2"}, "", {}, ""),
}


def fails(finding):
    value, limit = float(finding.value[0]), float(finding.limit[0])
    return {"at most": value > limit, "at least": value < limit, "within": abs(value) > limit}[finding.sense]


@pytest.mark.parametrize("name", FAULTS)
def test_the_fault_is_told_and_its_neighbour_is_not(verdicts, name):
    id, wrong, wrong_more, right, right_more = FAULTS[name]

    faulty = verdicts(wrong_more, changes=wrong)[id]
    innocent = verdicts(right_more, changes=right)[id]

    assert fails(faulty), f"{faulty.value} {faulty.sense} {faulty.limit}: {faulty.why}"
    assert faulty.do, "what fails says what to do"
    assert (
        any(digit.isdigit() for digit in faulty.do)
        or "write" in faulty.do
        or "take" in faulty.do
        or "feed" in faulty.do
    )
    assert not fails(innocent), f"{innocent.value} {innocent.sense} {innocent.limit}: {innocent.why}"


def test_the_base_build_is_sound(verdicts):
    """Else an innocent neighbour could be saved by a fault of its own."""
    wrong = {id: f"{one.value} {one.limit} {one.why}" for id, one in verdicts().items() if one.measured and fails(one)}

    assert wrong == {}


def test_the_wrong_count_is_told_with_the_likely_one(verdicts):
    """11.9 V are three cells of 3.97 V, not two of 5.95."""
    assert "3 cells" in verdicts(changes={"voltage = 8.3": "voltage = 11.9"})["wiring.pack.cells"].do


def test_a_misspelt_feeder_is_told_with_its_likely_name(verdicts):
    assert "write receiver in place of reciever" in verdicts(SIGN.format(fed="reciever"))["wiring.everything-fed"].do


def test_what_browns_out_beside_the_receiver_is_named(verdicts):
    """The lamp needs 4 V, the receiver 3.6 V: both are short when the regulator's limit lets the rail fall."""
    told = verdicts(SERVO.format(stall="3.0"), changes={'current-limit = "5 A"': 'current-limit = "1 A"'})

    why = told["wiring.receiver.servo-held"].why
    assert "servo held fast" in why
    assert "receiver, lamp and servo" in why


def test_advice_on_a_wire_is_followed_and_holds(verdicts):
    """What to do does what it says: the wire told for the current carries it."""
    more = HALL
    told = verdicts(more, changes={"area = 0.5": "area = 0.05"})["wiring.lead.supply.wire"].do
    area = told.removeprefix("lay ").removesuffix(" mm2")

    assert not fails(verdicts(more, changes={"area = 0.5": f"area = {area}"})["wiring.lead.supply.wire"])


def test_advice_on_a_resistor_is_followed_and_holds(verdicts):
    """For a resistor that is not fitted yet the finding waits for it, and tells which one to fit."""
    waiting = verdicts(LIGHTS.format(resistors="", power=0.25))["wiring.lights.side.current"]
    assert waiting.missing == ("wiring.light-strings.side.resistor",)
    ohm = waiting.do.split()[1]

    fitted = verdicts(LIGHTS.format(resistors=f'resistor = "{ohm} ohm"', power=0.25))

    assert not fails(fitted["wiring.lights.side.current"])
    assert not fails(fitted["wiring.lights.side.bright"])


def test_lithium_is_handled_with_a_caution(verdicts):
    for id, more in {
        "wiring.pack.even": TAPPED.format(begins="tap 1"),
        "wiring.lead.bell-lead.fuse": TAPPED.format(begins="pack").replace("fuse = 1\n", ""),
    }.items():
        assert "local rules and qualified practice" in verdicts(more)[id].do
