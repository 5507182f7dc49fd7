"""What the drive takes from the wiring: the leads' resistance, and which loads hang on the receiver's rail."""

from pathlib import Path

import pytest

from coachwork.build import read_text
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.parts import CannotBe
from coachwork.studies.power.rail import rail_a
from coachwork.studies.power.tables import receivers_regulator
from coachwork.studies.supply import LEADS_OHM, pack_leads_ohm


def build(text):
    return read_text(text, Path("build.toml"))


PACK_LEAD = """
[wiring]
contacts = "1.0 ± 0.1"
[wiring.leads]
one = { begins = "pack", ends = "switch-board", area = 2.5, length = 100 }
two = { begins = "switch-board", ends = "controller", area = 1.5, length = 80 }
"""


def test_the_way_from_pack_to_controller_is_added_up():
    """Copper there and back by IEC 60228 class 5: 7.98 and 13.3 ohm/km at most, so 2 x (0.798 + 1.064) mohm at most."""
    most = 2 * (7.98e-3 * 0.100 + 13.3e-3 * 0.080)
    ohm = pack_leads_ohm(build(PACK_LEAD)[Wiring])[0]
    assert 0.85 * most < ohm <= 1.1 * most  # 30 degC under the shell, not the standard's 20


@pytest.mark.parametrize("text", ["", PACK_LEAD.replace('begins = "pack"', 'begins = "elsewhere"')])
def test_what_the_wiring_does_not_say_is_taken_as_usual(text):
    assert pack_leads_ohm(build(text)[Wiring])[0] == LEADS_OHM


DEVICES = """
[radio.receiver]
current = "50 mA"
[radio.devices.servo]
kind = "proportional"
current-quiet = "10 mA"
current-on = "810 mA"
[radio.devices.lamp]
kind = "plain"
current-quiet = "0 mA"
current-on = "100 mA"
[radio.devices.sign]
kind = "plain"
current-quiet = "0 mA"
current-on = "200 mA"
"""


def test_loads_add_up_by_state_and_a_servo_works_a_quarter_of_the_time():
    one = build(DEVICES)
    amps = {state: values[0] for state, values in rail_a(one[Radio], one[Wiring]).items()}
    assert amps == pytest.approx({"quiet": 0.06, "usual": 0.05 + 0.21 + 0.1 + 0.2, "heavy": 1.16})


def test_what_hangs_on_the_pack_or_a_tap_is_not_on_the_rail():
    leads = """
[wiring.leads]
a = { begins = "tap 1", ends = "lamp" }
b = { begins = "pack", ends = "box" }
c = { begins = "box", ends = "sign" }
"""
    one = build(DEVICES + leads)
    assert rail_a(one[Radio], one[Wiring])["heavy"][0] == pytest.approx(0.05 + 0.81)


REGULATORS = """
[regulators.built-in]
kind = "linear"
fed-by = "controller"
[regulators.other]
kind = "switching"
"""


def test_the_receivers_regulator_is_the_one_whose_lead_ends_there():
    lead = '[wiring.leads.r]\nbegins = "other"\nends = "receiver"\n'
    for text, name in ((REGULATORS, "built-in"), (REGULATORS + lead, "other")):
        one = build(text)
        assert receivers_regulator(one[Regulators], one[Wiring])[0] == name
    unused = build(REGULATORS.replace('"controller"\n', '"controller"\nused = false\n'))
    assert receivers_regulator(unused[Regulators], unused[Wiring])[0] == "other"
    with pytest.raises(CannotBe, match=r"\[regulators\]"):
        receivers_regulator(build("")[Regulators], build("")[Wiring])
