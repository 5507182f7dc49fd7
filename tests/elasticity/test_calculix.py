"""The same meshes in CalculiX, an independent solver: the tray alone, and with its door tied at the pads."""

from __future__ import annotations

import subprocess
from pathlib import Path

import numpy as np
import pytest


@pytest.mark.parametrize("name", ["open", "door"])
def test_the_tray_twists_as_in_calculix(solids: Path, ours: dict[str, float], name: str):
    """Work of the screws' forces, which is the twist: to 1e-6, for CalculiX prints seven digits.

    Elements, nodes and forces are the same, node by node; the ties are equations of CalculiX's own, where we solve for
    forces between two floating solids.
    """
    forces = np.load(solids / f"{name}-forces.npy")

    moved = calculix(solids / f"{name}.inp")

    assert float(np.sum(forces * moved[: len(forces)])) == pytest.approx(ours[name], rel=1e-6)


@pytest.fixture(scope="module")
def ours(case) -> dict[str, float]:
    """Our compliances."""
    return case("tray_for_calculix")


def calculix(deck: Path) -> np.ndarray:
    """Displacements, (nodes, 3). Without its solver CalculiX ends with status 0 and moves nothing; it says so."""
    done = subprocess.run(["ccx", "-i", deck.stem], cwd=deck.parent, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-2000:]
    assert "*ERROR" not in done.stdout, done.stdout[-2000:]
    moved = np.loadtxt(deck.with_suffix(".dat"), skiprows=3)
    assert np.abs(moved[:, 1:]).max() > 0
    return moved[np.argsort(moved[:, 0]), 1:]
