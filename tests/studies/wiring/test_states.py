"""What is on together: from the radio's machines, and only once asked for."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read, read_text
from coachwork.plan import Plan, discover
from coachwork.studies.parts import Missing, need
from coachwork.studies.wiring import states

STUDIES = tuple(study for study in discover() if study.name in ("driveline", "wiring"))
RADIO = """
[radio.receiver]
current = "50 ± 1 mA"
[radio.controls]
switch = { kind = "two-position" }
[radio.channels]
one = { number = 1, control = "switch", failsafe = "off" }
[radio.devices.low]
kind = "switched"
channel = "one"
when = "below"
switches-at = "1400 ± 1 us"
hysteresis = "20 ± 1 us"
current-quiet = "1 ± 0.1 mA"
current-on = "300 ± 1 mA"
[radio.devices.high]
kind = "switched"
channel = "one"
switches-at = "1600 ± 1 us"
hysteresis = "20 ± 1 us"
current-quiet = "1 ± 0.1 mA"
current-on = "500 ± 1 mA"
"""


def result_of(text):
    build = read_text(text, Path("b"))
    return Plan(studies=STUDIES).run(build, only=["wiring"])["wiring"].result


@pytest.fixture
def base():
    from importlib import util

    spec = util.spec_from_file_location("wiring_base", Path(__file__).parent / "conftest.py")
    module = util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.BASE


def test_what_one_switch_parts_is_never_on_together(base):
    """Two lamps on either end of one switch: the larger and the quiet other, not their sum."""
    solved = need(result_of(base + RADIO).solved)

    case = solved.cases["all on, full pack"]
    assert float(case.loads_a["high"][0]) == pytest.approx(0.5)
    assert float(case.loads_a["low"][0]) == pytest.approx(0.001)
    assert float(solved.sum_a[0]) == pytest.approx(0.05 + 0.3 + 0.5 + 0.1)
    assert float(solved.together_a[0]) == pytest.approx(0.05 + 0.001 + 0.5 + 0.1, abs=1e-6)
    assert solved.exact


def test_all_that_is_missing_is_told_at_once():
    """Not only the first, or the builder would come back for each."""
    result = result_of('[pack]\ncells = 2\n[regulators.main]\nkind = "linear"\n[wiring.loads.lamp]\n'
                       'least-voltage = 4\n[wiring.loads.fan]\n[wiring.light-strings.tail]\n')  # fmt: skip

    assert isinstance(result.solved, Missing)
    assert set(result.solved.keys) == {
        "wiring.loads.lamp.typical", "wiring.loads.fan.typical", "wiring.light-strings.tail.leds",
    }  # fmt: skip


def test_residuals_are_told_and_small(examples):
    solved = need(Plan(studies=STUDIES).run(read(examples / "as-found"), only=["wiring"])["wiring"].result.solved)

    for case in solved.cases.values():
        assert float(np.max(case.residual_a)) <= 1e-8


def test_a_gauge_and_a_cross_section_say_the_same(base, verdicts):
    """ASTM B258: gauge 20 has 0.518 mm2."""
    by_area = verdicts(changes={"area = 0.5,": "area = 0.518,"})["wiring.lead.supply.wire"]
    by_gauge = verdicts(changes={"area = 0.5,": "awg = 20,"})["wiring.lead.supply.wire"]

    assert float(by_gauge.limit[0]) == pytest.approx(float(by_area.limit[0]), rel=2e-3)


def test_a_bulb_draws_less_at_fewer_volts(verdicts):
    """100 mA at the middle of its 4 to 6 V; at 5.49 V tenths more."""
    told = verdicts(changes={"lamp = { typical": 'lamp = { takes = "current by voltage", typical'})
    wire = told["wiring.lead.lamp-lead.wire"]

    assert float(wire.value[0]) == pytest.approx(0.100 * 5.48 / 5.0, rel=5e-3)


@pytest.mark.parametrize(
    "changes",
    [{"area = 0.5, ": ""}, {"cells = 2": 'cells = "?"'}, {'resistance = "20 ± 1 mohm"\ndischarge': "discharge"}],
    ids=["no area", "no cells", "no resistance"],
)
def test_questions_stay_when_their_numbers_go(verdicts, changes):
    """They hang on what is in a lead by name, not on whether it can be computed."""
    tapped = '\n[wiring.leads.bell]\nbegins = "tap 1"\nends = "bell"\narea = 0.2\nplug = "balance plug"\n'

    assert set(verdicts(tapped, changes=changes)) == set(verdicts(tapped))


ODD = {
    "a regulator that feeds itself": ({"[regulators.main]\n": '[regulators.main]\nfed-by = "main"\n'}, ""),
    "a load that hangs on itself": ({}, '\n[wiring.loads.bell]\nfed-by = "bell"\ntypical = "10 mA"\n'),
    "a tap that is none": ({}, '\n[wiring.leads.bell]\nbegins = "tap 7"\nends = "bell"\narea = 0.2\n'),
    "the uppermost tap": ({}, '\n[wiring.leads.bell]\nbegins = "tap 2"\nends = "bell"\narea = 0.2\n'),
    "a ring of leads": (
        {},
        '\n[wiring.leads.one]\nbegins = "lamp"\nends = "bell"\narea = 0.2\n'
        '[wiring.leads.other]\nbegins = "bell"\nends = "receiver"\narea = 0.2\n',
    ),
    "a lead that has no ends yet": ({}, "\n[wiring.leads.later]\narea = 0.2\n"),
    "no regulator at all": ({"[regulators.main]\n": "[regulators.main]\nused = false\n"}, ""),
    "a load that drowns its regulator": ({}, '\n[wiring.loads.heater]\nfed-by = "receiver"\ntypical = "60 A"\n'),
}


@pytest.mark.parametrize("name", ODD)
def test_odd_wiring_is_answered_and_not_a_crash(verdicts, name):
    changes, more = ODD[name]

    told = verdicts(more, changes=changes)

    assert told["wiring.everything-fed"].measured
    assert all(one.measured or one.missing or one.why for one in told.values())


def test_what_can_be_on_together_is_looked_for_again_only_where_the_radio_is_another(base, monkeypatch):
    """An edit elsewhere leaves it; one of the radio gives exactly what working everything anew gives."""
    from coachwork.studies.sameness import same
    from coachwork.studies.wiring import compute

    asked = []
    monkeypatch.setattr(compute, "modes_of", lambda radio: asked.append(radio) or states.modes_of(radio))
    plan = Plan(studies=STUDIES)
    text = base + RADIO

    def edited(old, new):
        assert old in text
        build = read_text(text.replace(old, new), Path("b"))
        return tuple(one.run(build, only=["wiring"])["wiring"].result for one in (plan, Plan(studies=STUDIES)))

    edited("", "")
    asked.clear()
    kept, anew = edited('motor-drive = "4', 'motor-drive = "5')
    assert len(asked) == 1, "by the plan that has never run, not by the other"
    assert same(kept.solved, anew.solved)
    asked.clear()
    kept, anew = edited('current-on = "300', 'current-on = "700')
    assert len(asked) == 2
    assert same(kept.solved, anew.solved)
    assert float(need(kept.solved).cases["all on, full pack"].loads_a["low"][0]) == pytest.approx(0.7)
