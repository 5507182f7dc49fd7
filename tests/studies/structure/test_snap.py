"""The closing snap against finite elements and its own inverse."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from coachwork.studies.structure.snap import closing_strain, length_for_mm

CASES = Path(__file__).parents[2] / "elasticity" / "cases.py"


def test_a_snap_on_a_wall_is_strained_less_than_the_beam_formula_says(tmp_path: Path):
    """The root gives, so the formula is on the safe side; by how much stands in the theory page: here 10 to 25 %."""
    done = subprocess.run([sys.executable, CASES, "snap", tmp_path], capture_output=True, text=True, check=True)
    told = json.loads(done.stdout.splitlines()[-1])

    by_formula = closing_strain(deflection_mm=1.0, thickness_mm=told["thickness"], length_mm=told["length"])

    assert 0.75 < told["strain"] / by_formula < 0.95


def test_the_length_asked_for_is_strained_as_much_as_is_stood():
    length = length_for_mm(strain=0.02, deflection_mm=1.2, thickness_mm=2.0)
    assert closing_strain(deflection_mm=1.2, thickness_mm=2.0, length_mm=length) == pytest.approx(0.02)
