"""Invented 1:10 hardpoints, no product's, for the kinematics; the finished demonstration van as a text to change."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan
from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.poses import Wheel
from coachwork.studies.linkage.two_arm import TwoArmCorner

# The van's own path, for what it drives stands in a file beside it.
VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"


@pytest.fixture
def front_hardpoints():
    """Kind (a), left front, mm; anti-dive, caster and kingpin inclination are all there, so nothing is planar."""
    points = {
        "arm_pin_front": [14.0, 20.0, 12.2],
        "arm_pin_rear": [-16.0, 20.3, 11.0],
        "hub_pin_front": [6.0, 55.0, 10.6],
        "hub_pin_rear": [-6.5, 55.2, 10.1],
        "camber_link_inner": [-8.0, 24.0, 31.0],
        "camber_link_outer": [-7.0, 53.0, 33.5],
        "kingpin_lower": [1.4, 58.0, 8.0],
        "kingpin_upper": [-0.9, 56.4, 27.0],
        "tie_rod_inner": [-13.0, 17.0, 20.5],
        "tie_rod_outer": [-12.0, 56.0, 19.0],
    }
    return {name: np.array(point) for name, point in points.items()}


@pytest.fixture
def front(front_hardpoints):
    return CamberLinkCorner(**front_hardpoints)


@pytest.fixture
def wheel():
    """1 degree of negative camber, half a degree of toe-in, as drawn."""
    axis = np.array([np.sin(np.radians(0.5)), 1.0, np.sin(np.radians(1.0))])
    return Wheel(
        centre=np.array([0.2, 75.0, 18.0]), spin_axis=axis / np.linalg.norm(axis), tyre_radius_mm=np.array(33.0)
    )


@pytest.fixture
def two_arm_hardpoints():
    """Kind (b), left front, mm: pins askew to each other, so nothing is planar here either."""
    points = {
        "lower_pin_front": [15.0, 20.0, 11.8],
        "lower_pin_rear": [-14.0, 20.6, 11.0],
        "upper_pin_front": [9.0, 25.0, 30.0],
        "upper_pin_rear": [-11.0, 25.5, 31.5],
        "kingpin_lower": [1.6, 60.0, 9.5],
        "kingpin_upper": [-1.2, 57.0, 32.0],
        "tie_rod_inner": [-13.0, 18.0, 19.0],
        "tie_rod_outer": [-12.5, 58.0, 18.5],
    }
    return {name: np.array(point) for name, point in points.items()}


@pytest.fixture
def two_arm(two_arm_hardpoints):
    return TwoArmCorner(**two_arm_hardpoints)


VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"


@pytest.fixture(scope="session")
def van_text():
    return VAN.read_text(encoding="utf-8")


@pytest.fixture
def edited(van_text):
    """The van's text with keys set; a value of None leaves the key out."""

    def edit(text=van_text, /, **values):
        for key, value in values.items():
            text = with_entry(text, key.replace("__", ".").replace("_", "-"), value)
        return text

    return edit


@pytest.fixture
def result_of():
    return lambda text: Plan().run(read_text(text, VAN), only=["linkage"])["linkage"].result


@pytest.fixture
def verdicts_of():
    return lambda text: {v.id: v for v in examine(read_text(text, VAN), only=["linkage"]).verdicts}
