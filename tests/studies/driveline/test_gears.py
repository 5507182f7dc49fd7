"""Gear centres and teeth against the standards' arithmetic, by hand."""

import numpy as np
import pytest

from coachwork.build import read_text
from coachwork.build.sections.gearing import Gearing
from coachwork.studies.driveline.gather import module_mm
from coachwork.studies.driveline.gears import MESH_GAP_MM, Gears, Mesh, centres_mm, rollout_mm


def mesh(*, pinion, spur, least, most):
    numbers = {"module_mm": 0.6, "pinion_teeth": pinion, "spur_teeth": spur, "least_mm": least, "most_mm": most}
    return Mesh(**{name: np.array([float(number)]) for name, number in numbers.items()})


# Module of ISO 54's series, teeth of both gears -> reference centres m (z1 + z2) / 2, ISO 21771. By hand.
@pytest.mark.parametrize(
    ("module", "pinion", "spur", "centres"),
    [(0.5, 20, 80, 25.0), (0.6, 17, 68, 25.5), (0.8, 13, 55, 27.2), (1, 11, 43, 27)],
)
def test_centres_are_half_of_the_teeth_times_the_module_and_a_strip_of_paper(module, pinion, spur, centres):
    assert centres_mm(module_mm=np.array([module]), teeth=np.array([pinion + spur]))[0] - MESH_GAP_MM == pytest.approx(
        centres
    )


def test_teeth_to_the_inch_become_a_module(tmp_path):
    """48 to the inch: 25.4 / 48 = 0.52917 mm; 20 and 80 teeth are 100 / (2 x 48) in = 26.458 mm apart."""
    gearing = read_text("[gearing]\ndiametral-pitch = 48\n", tmp_path / "build.toml")[Gearing]

    module = module_mm(gearing)

    assert module[0] == pytest.approx(0.529167, abs=1e-6)
    assert centres_mm(module_mm=module, teeth=np.array([100.0]))[0] - MESH_GAP_MM == pytest.approx(26.4583, abs=1e-3)


def test_a_motor_outside_its_slot_is_told_by_how_much():
    assert mesh(pinion=28, spur=68, least=25, most=28).outside_mm[0] == pytest.approx(0.9)  # 28.8 + 0.1
    assert mesh(pinion=12, spur=68, least=25, most=28).outside_mm[0] == pytest.approx(0.9)  # 24.0 + 0.1
    assert mesh(pinion=20, spur=68, least=25, most=28).outside_mm[0] < 0


def test_the_teeth_it_names_are_just_those_that_reach():
    slot = {"least": 25.0, "most": 28.0}
    fewest, most = (int(end[0]) for end in mesh(pinion=20, spur=68, **slot).teeth_within())

    reach = [teeth for teeth in range(60, 120) if mesh(pinion=teeth - 68, spur=68, **slot).outside_mm[0] <= 1e-9]
    assert (fewest, most) == (reach[0], reach[-1])


def test_rollout_by_hand():
    """60:20 x 2.5 = 7.5 turns of the motor for one of a 70 mm wheel: 219.9 mm / 7.5 = 29.3 mm."""
    gears = Gears(pinion_teeth=np.array([20.0]), spur_teeth=np.array([60.0]), internal_ratio=np.array([2.5]))

    assert gears.ratio[0] == 7.5
    assert rollout_mm(radius_mm=np.array([35.0]), ratio=gears.ratio)[0] == pytest.approx(29.32, abs=0.005)
