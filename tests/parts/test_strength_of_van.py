"""The finished van's chassis and door, made and computed as `coachwork make` and `coachwork strength` do."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.cli import main
from coachwork.elasticity import process
from coachwork.elasticity.job import job_json
from coachwork.plan import Plan
from coachwork.plan.made import made_parts
from coachwork.studies.parts import need
from coachwork.studies.structure.jobs import job_of
from coachwork.studies.structure.result import StructureResult

CASES = Path(__file__).parents[1] / "elasticity" / "cases.py"


@pytest.fixture(scope="module")
def folder(van: Callable[[str], Path]) -> Path:
    """The finished van, computed."""
    place = van("as-finished")
    assert main(["strength", str(place)]) == 0
    return place


def test_all_that_structure_asks_of_the_finished_van_holds(folder: Path):
    answer = Plan().run(read(folder), only=["structure"])["structure"]
    result: StructureResult = answer.result

    twist = need(result.twist)
    assert twist.error <= 0.03
    assert twist.pushed is not None
    assert twist.slides is not None
    assert twist.tied is not None
    assert twist.bonded is not None
    assert twist.open[0] <= twist.pushed[0] <= twist.tied[0] <= twist.bonded[0]
    assert twist.open[0] <= twist.slides[0] <= twist.tied[0]
    assert twist.tied[0] > 1.15 * twist.open[0]  # a door whose lips are held is worth having
    told = {f.id: f for f in answer.findings if f.value is not None and f.limit is not None}
    assert {f"structure.arm.{end}-arm-{hand}" for end in ("front", "rear") for hand in ("left", "right")} <= set(told)
    assert {"structure.twist", "structure.sag", "structure.drop", "structure.latch.battery-door.left"} <= set(told)
    assert {"structure.posts.screw", "structure.posts.column"} <= set(told)
    for finding in told.values():
        assert finding.do is None, finding.id


def test_a_second_run_costs_no_finite_elements(folder: Path, monkeypatch: pytest.MonkeyPatch):
    def never(*_: object, **__: object) -> None:
        raise AssertionError("computed again")

    monkeypatch.setattr(process, "flexibility_of", never)
    assert main(["strength", str(folder)]) == 0


@pytest.mark.parametrize("way", ["open", "tied", "bonded"])
def test_it_twists_as_in_calculix_on_its_own_mesh(van: Callable[[str], Path], decks: dict[str, float], way: str):
    """Coarse meshes of the real solids; the door's pads as equations of CalculiX's own, shifts only, or turns, too."""
    place = van("as-finished")
    forces = np.load(place / f"{way}-forces.npy")
    done = subprocess.run(["ccx", "-i", way], cwd=place, capture_output=True, text=True, check=True)
    assert "*ERROR" not in done.stdout, done.stdout[-2000:]  # without its solver it ends with status 0
    moved = np.loadtxt(place / f"{way}.dat", skiprows=3)
    moved = moved[np.argsort(moved[:, 0]), 1:]

    assert float(np.sum(forces * moved[: len(forces)])) == pytest.approx(decks[way], rel=1e-6)


@pytest.fixture(scope="module")
def decks(van: Callable[[str], Path]) -> dict[str, float]:
    """Our compliances, and a deck for each beside them."""
    place = van("as-finished")
    parts = {part.name: part for part in made_parts(read(place))}
    jobs = {name: job_json(job_of(parts[name])) for name in ("chassis", "battery-door")}
    (place / "jobs.json").write_text(json.dumps(jobs), "utf-8")
    done = subprocess.run(
        [sys.executable, CASES, "van_for_calculix", place], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    told: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return told
