"""What the tables' numbers become, by hand; a brushless motor and other cells among them."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import NotMeasured, read_text
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.controller import Controller
from coachwork.build.sections.gearing import Gearing
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.motor import Motor
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.driveline import gather
from coachwork.studies.supply import LEADS_OHM, ON_V


def build(text):
    return read_text(text, Path("build.toml"))


def test_a_brushless_motor_is_the_direct_current_machine_of_its_label():
    """3300 rpm/V: 60 / (2 pi 3300) = 0.002894 V s/rad, and as many N m/A: 2.894 N mm/A."""
    motor = gather.motor_of(build('[motor]\nspeed-per-volt = 3300\nresistance = "28 mohm"')[Motor])

    assert motor.constant_v_s[0] == pytest.approx(0.0028937, rel=1e-4)
    assert motor.torque_constant_nmm_per_a[0] == pytest.approx(2.8937, rel=1e-4)
    assert motor.resistance_ohm[0] == pytest.approx(0.028)


def test_rotor_and_heat_stores_follow_from_mass_and_diameter():
    """160 g, 36 mm. Rotor: 56 g, 10.8 mm: m r^2 / 2 = 3266 g mm2. Copper 24 g x 0.385, steel 136 g x 0.46 J/K."""
    motor = gather.motor_of(build("[motor]\nspeed-per-volt = 2000\nmass = 160\ncan-across = 36")[Motor])

    assert motor.rotor_g_mm2[0] == pytest.approx(3265.9, rel=1e-4)
    assert motor.winding_j_per_k[0] == pytest.approx(9.24)
    assert motor.case_j_per_k[0] == pytest.approx(62.56)


@pytest.mark.parametrize(
    ("chemistry", "volts"),
    # Nominal volts of a cell as labels have them: IEC 61960 (lithium), IEC 61951-2 (nickel metal hydride), from memory.
    [("lithium polymer", 7.4), ("lithium ion", 7.2), ("lithium iron phosphate", 6.4), ("nickel metal hydride", 2.4)],
)
def test_two_cells_give_twice_a_cell_s_volts_behind_pack_and_leads(chemistry, volts):
    one = build(
        f'[pack]\nchemistry = "{chemistry}"\ncells = 2\nresistance = "20 mohm"\n[controller]\ncurrent-limit = 30'
    )

    supply = gather.supply_of(one[Pack], one[Controller], one[Wiring])

    assert supply.voltage_v[0] == pytest.approx(volts)
    assert supply.resistance_ohm[0] == pytest.approx(0.020 + LEADS_OHM + ON_V / 30)
    assert supply.limit_a[0] == 30


def test_planned_teeth_count_as_changed_and_only_then():
    one = build("[gearing]\npinion-teeth = 20\nspur-teeth = 70\ninternal-ratio = 2\n[changes]\npinion-teeth = 14")

    bought, changed = (gather.gears_of(one[Gearing], one[Changes], state) for state in ("as bought", "as changed"))

    assert bought.ratio[0] == 7
    assert changed.ratio[0] == 10


@pytest.mark.parametrize(
    ("text", "axles"),
    [('[running-gear]\ndrive = "belt"', "both"),
     ('[running-gear]\ndrive = "shaft"\n[gearing]\ndriven = "rear"', "rear"),
     ('[gearing]\ndriven = "front"', "front")],
)  # fmt: skip
def test_which_axles_pull(text, axles):
    assert gather.driven(build(text)[Gearing], build(text)[RunningGear]) == axles


@pytest.mark.parametrize(("drive", "asked"), [("", "running-gear.drive"), ('drive = "none"', "gearing.driven")])
def test_which_axles_pull_is_asked_where_nothing_says_so(drive, asked):
    one = build(f"[running-gear]\n{drive}\n")

    with pytest.raises(NotMeasured) as gap:
        gather.driven(one[Gearing], one[RunningGear])

    assert gap.value.keys == (asked,)


def test_the_shell_s_front_meets_the_air():
    """0.85 x 170 mm x 210 mm x 0.7."""
    text = """
[shell]
width = 170
height = 210
[loads]
drag = 0.7
[running-gear]
drive = "shaft"
[running-gear.front.wheel]
tyre-diameter = 64
[running-gear.rear.wheel]
tyre-diameter = 66
"""
    one = build(text)
    vehicle = gather.vehicle_of(one[RunningGear], one[Gearing], one[Wheels], one[Loads], one[Shell], "as bought")

    assert vehicle.drag_mm2[0] == pytest.approx(0.85 * 170 * 210 * 0.7)
    assert vehicle.radius_mm[0] == pytest.approx(32.5 - 1 / 3)
    assert vehicle.mass_g[0] == 1700  # as guessed
