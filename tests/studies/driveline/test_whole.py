"""From a build's text to verdicts: each with a faulty and an innocent build, and numbers worked out beside them."""

from __future__ import annotations

import math
from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan, discover
from coachwork.studies.driveline import STUDY
from coachwork.studies.driveline.charts import charts
from coachwork.studies.driveline.drive import run_up

PLAN = Plan(studies=tuple(study for study in discover() if study.name == "driveline"))
PLAIN = """
[build]
scale = "1:10"
[running-gear]
drive = "shaft"
mass = 1900
[running-gear.front.wheel]
tyre-diameter = 64
tyre-squash = 0.6
[running-gear.rear.wheel]
tyre-diameter = 64
tyre-squash = 0.6
[wheels.front]
tyre-diameter = 70
tyre-squash = 1.2
[wheels.rear]
tyre-diameter = 70
tyre-squash = 1.2
[loads]
mass = 2400
grip = "0.9 ± 0.05"
rolling = "0.05 ± 0.005 by meter"
drag = "0.8 ± 0.1 by meter"
[gearing]
pinion-teeth = 20
spur-teeth = 70
internal-ratio = "2.50 from label"
module = 0.6
pinion-module = 0.6
slot-least = 25
slot-most = 29
efficiency = "0.85 ± 0.02 by meter"
[motor]
speed-per-volt = "2000 ± 20 rpm/V by meter"
resistance = "0.12 ± 0.01 ohm"
no-load-current = "1.0 ± 0.1 A"
mass = 165
can-across = 36
case-to-air = "4.5 ± 0.3 K/W by meter"
winding-to-case = "2.5 ± 0.5 K/W by meter"
hottest = "85 ± 0 degC"
surroundings = "28 ± 2 degC"
[pack]
cells = 2
resistance = "25 ± 3 mohm"
[controller]
current-limit = "45 A from label"
[wanted]
top-speed = "12 km/h"
"""


def build(**numbers):
    text = PLAIN
    for key, value in numbers.items():
        text = with_entry(text, key.replace("__", ".").replace("_", "-"), value)
    return read_text(text, Path("build.toml"))


def verdicts(one=None):
    return {verdict.id: verdict for verdict in examine(one or build(), plan=PLAN).verdicts}


def result_of(one):
    return PLAN.run(one)["driveline"].result


def test_the_plain_build_has_nothing_to_complain_of():
    assert {id: verdict.state for id, verdict in verdicts().items() if verdict.state != "holds"} == {}


# What is changed -> which verdict fails, and a word that its cure must hold.
FAULTS = {
    "a pinion beyond the slot": ({"changes__pinion_teeth": 32}, "driveline.mesh", "to 26 teeth"),  # 28.9 / 0.3 = 96.3
    "a pinion short of the slot": ({"changes__pinion_teeth": 12}, "driveline.mesh", "of 13 to"),  # 24.9 / 0.3 = 83
    "48 to the inch on module 0.6": ({"gearing__pinion_module": 0.529}, "driveline.pitch", "0.6"),
    "taller tyres in front only": ({"wheels__front__tyre_diameter": 75}, "driveline.wind-up", "5.0 mm"),
    "one cell for two": ({"pack__cells": 1, "wanted__top_speed": "14 km/h"}, "driveline.top-speed", "pinion of"),
    "a third cell": ({"pack__cells": 3, "changes__pinion_teeth": 24}, "driveline.tame", "end point to 3"),
    "a load the motor cannot pull": (
        {"controller__current_limit": 6, "wanted__gradient": "40 %", "loads__mass": 6000},
        "driveline.ramp", "instead of 20"),
    "slippery rear-wheel drive": (  # (0.30 + 0.05) / 0.5 of the weight
        {"loads__grip": "0.4 ± 0.02", "wanted__gradient": "30 %", "gearing__driven": "rear"},
        "driveline.ramp", "friction of 0.70"),
    "stop and go all day": (
        {"wanted__start_time": "1 s", "wanted__stop_every": "4 s", "changes__pinion_teeth": 26},
        "driveline.motor-heat", "instead of 26"),
    "twice the weight": ({"loads__mass": 3200, "changes__pinion_teeth": 24}, "driveline.load", "instead of 24"),
    "a slot for nothing": ({"gearing__slot_least": 40, "gearing__slot_most": 41}, "driveline.pinions", "spur of"),
}  # fmt: skip


@pytest.mark.parametrize(("numbers", "id", "cure"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_told_with_its_cure(numbers, id, cure):
    verdict = verdicts(build(**numbers))[id]

    assert verdict.state == "fails"
    assert cure in verdict.do
    assert verdict.source


INNOCENTS = {
    "a pinion just in the slot": ({"changes__pinion_teeth": 26}, "driveline.mesh"),
    "four-wheel drive on the same slippery ramp": (
        {"loads__grip": "0.4 ± 0.02", "wanted__gradient": "30 %"}, "driveline.ramp"),
    "a taller front tyre that does not pull": ({"wheels__front__tyre_diameter": 75, "gearing__driven": "rear"}, None),
    "twice the weight, geared down": ({"loads__mass": 3200, "changes__pinion_teeth": 15}, "driveline.load"),
    "the cure that the hot motor was told": (
        {"wanted__start_time": "1 s", "wanted__stop_every": "4 s", "changes__pinion_teeth": 14},
        "driveline.motor-heat"),
}  # fmt: skip


@pytest.mark.parametrize(("numbers", "id"), INNOCENTS.values(), ids=INNOCENTS)
def test_its_innocent_neighbour_is_left_alone(numbers, id):
    found = verdicts(build(**numbers))

    assert "driveline.wind-up" not in found if id is None else found[id].state in ("holds", "tight")


def test_out_of_the_slot_a_pinion_is_named_that_reaches_and_is_fast_and_cool():
    told = verdicts(build(changes__pinion_teeth=32))["driveline.mesh"].do
    teeth = int(told.split("a pinion of ")[2].split()[0])

    after = verdicts(build(changes__pinion_teeth=teeth))
    assert {after[f"driveline.{id}"].state for id in ("mesh", "top-speed", "motor-heat", "load")} == {"holds"}


@pytest.mark.parametrize("state", [{"changes__pinion_teeth": 29}, {"loads__mass": 4000, "changes__pinion_teeth": 20}])
def test_the_pinion_named_against_the_load_lightens_it_enough(state):
    told = verdicts(build(**state))["driveline.load"].do
    pinion, spur = told.split("pinion of ")[1].split()[0], told.split("spur of ")[1].split()[0]

    assert verdicts(build(**{**state, "changes__pinion_teeth": pinion}))["driveline.load"].state == "holds"
    assert verdicts(build(**{**state, "changes__spur_teeth": spur}))["driveline.load"].state == "holds"


def test_the_pinion_named_as_cure_cures():
    """Whatever number stands in the advice is put into the build, and the verdict holds."""
    hot = {"wanted__start_time": "1 s", "wanted__stop_every": "4 s", "changes__pinion_teeth": 26}
    told = verdicts(build(**hot))["driveline.motor-heat"].do
    teeth = int(told.split("pinion of ")[1].split()[0])

    after = verdicts(build(**{**hot, "changes__pinion_teeth": teeth}))
    assert after["driveline.motor-heat"].state in ("holds", "tight")
    assert after["driveline.mesh"].state == "holds"
    assert f"{after['driveline.motor-heat'].value:.0f} degC" in told


def test_top_speed_by_hand():
    """Rolling and gears as resistances of the d.c. machine, air left out: within what air takes at 4 m/s, 2 %."""
    ratio, radius = 70 / 20 * 2.5, 0.035 - 0.0004
    force = 0.05 * 2.4 * 9.80665
    k = 60 / (2 * math.pi * 2000)
    amps = force * radius / (ratio * 0.85) / k + 1.0
    rad_s = (7.4 - amps * (0.12 + 0.025 + 0.015)) / k
    km_h = 3.6 * rad_s / ratio * radius

    assert verdicts()["driveline.top-speed"].value == pytest.approx(km_h, rel=0.02)
    assert verdicts()["driveline.top-speed"].value < km_h


def test_taller_tyres_and_a_heavier_shell_against_as_bought_by_hand():
    """2400 / 1900 x (35 - 0.4) / (32 - 0.2) at the same gears: 1.374 times the torque."""
    assert verdicts()["driveline.load"].value == pytest.approx(100 * (2400 / 1900 * 34.6 / 31.8 - 1))


def test_every_pinion_of_the_table_is_what_fitting_it_gives():
    table = result_of(build()).pinions
    for teeth in (12, 20, 31):
        top, case = table.of(teeth)
        fitted = result_of(build(changes__pinion_teeth=teeth))
        assert top == pytest.approx(fitted.speed.top_mm_s[0])
        assert case == pytest.approx(fitted.round.case_degc[0])


BLANKED = ("motor.speed-per-volt", "gearing.internal-ratio", "pack.cells", "loads.mass", "gearing.slot-most",
           "wheels.rear.tyre-diameter")  # fmt: skip


@pytest.mark.parametrize(
    ("text", "key"),
    [(with_entry(PLAIN, key, "?"), key) for key in BLANKED]
    + [(PLAIN.replace('drive = "shaft"', ""), "running-gear.drive")],
)
def test_a_number_left_out_is_asked_for_and_the_rest_goes_on(text, key):
    report = examine(read_text(text, Path("build.toml")), plan=PLAN)

    assert report.next_steps[0].key == key
    assert any(verdict.state != "unmeasured" for verdict in report.verdicts)


def test_rear_wheel_drive_asks_for_no_front_tyre():
    text = PLAIN.replace('drive = "shaft"', 'drive = "none"').replace("[gearing]", '[gearing]\ndriven = "rear"')
    text = text.replace("[wheels.front]\ntyre-diameter = 70\ntyre-squash = 1.2\n", "")
    text = text.replace("[running-gear.front.wheel]\ntyre-diameter = 64\ntyre-squash = 0.6\n", "")
    found = verdicts(read_text(text, Path("build.toml")))

    assert [id for id, verdict in found.items() if verdict.state == "unmeasured"] == []
    assert found["driveline.ramp"].value == pytest.approx(100 * (0.9 * 0.5 - 0.05))  # half of the weight, as guessed


def test_without_a_donor_s_weight_or_a_slot_pinions_are_named_all_the_same():
    text = "\n".join(line for line in PLAIN.splitlines() if not line.startswith("slot-"))
    found = verdicts(read_text(text, Path("build.toml")))

    assert found["driveline.mesh"].state == "unmeasured"
    assert "slot is not measured" in found["driveline.pinions"].why


def test_a_vehicle_that_cannot_even_roll_says_so():
    found = verdicts(build(controller__current_limit="1.05 ± 0 A"))

    assert found["driveline.top-speed"].value == 0
    assert "does not move" in found["driveline.motor-heat"].why
    assert found["driveline.motor-heat"].state == "unmeasured"


def test_curves_are_drawn_and_meet_at_the_top_speed():
    one = result_of(build())
    drawn = {chart.id: chart for chart in charts(one)}

    assert set(drawn) == {f"driveline.{name}" for name in ("pull", "current", "efficiency", "run", "pinions")}
    pull, level = drawn["driveline.pull"].lines[1], drawn["driveline.pull"].lines[2]
    assert pull.y[-1] == pytest.approx(level.y[-1])
    assert pull.x[-1] == pytest.approx(one.speed.top_mm_s[0] * 0.0036)
    current = drawn["driveline.current"].lines
    assert current[1].y[-1] == pytest.approx(one.speed.current_a[0])
    assert current[2].y[-1] == pytest.approx(one.speed.current_a[0])  # holding the top speed takes all of it
    assert list(STUDY.charts(result_of(read_text("", Path("build.toml"))))) == []


def test_what_is_wanted_bends_nothing_but_what_hangs_on_it():
    """A top speed wanted otherwise leaves the mesh's answer alone and moves the round's heat."""
    slow, fast = result_of(build()), result_of(build(wanted__top_speed="18 km/h"))

    assert np.array_equal(slow.mesh.outside_mm, fast.mesh.outside_mm)
    assert fast.round.case_degc[0] > slow.round.case_degc[0]


def test_samples_that_are_alike_in_all_a_run_hangs_on_are_run_once(monkeypatch):
    """Each is told as if it had been run itself, to the last bit."""
    from coachwork.plan import Sampled
    from coachwork.studies.driveline import compute
    from coachwork.studies.sameness import same

    seen = []
    monkeypatch.setattr(
        compute, "run_up", lambda drive, **to: seen.append(drive.efficiency.size) or run_up(drive, **to)
    )
    build = read_text(PLAIN, Path("b"))
    masses = np.array([2400.0, 2600.0, 2400.0, 2600.0])

    def told(masses):
        view = Sampled(samples=masses.size, columns={"loads.mass": masses})
        return Plan(studies=PLAN.studies).run_sampled(build, "driveline", view).result

    together = told(masses)
    assert seen == [2]
    for i, mass in enumerate(masses):
        alone = told(np.array([mass]))
        for part in ("run", "pinions"):
            ours, own = getattr(together, part), getattr(alone, part)
            for field in fields(own):
                one, other = getattr(ours, field.name), getattr(own, field.name)
                assert same(one[i : i + 1] if isinstance(one, np.ndarray) else one, other), field.name
    assert not same(together.run.time_s[0], together.run.time_s[1])
