"""A tray-like chassis and its battery door as made parts, with their finite elements, computed once."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coachwork.elasticity.flexibility import Kept
from coachwork.elasticity.process import flexibility_of
from coachwork.studies.solids import Hole, Latch, Measured, Pad, PartSolid
from coachwork.studies.structure.assembly import Frame
from coachwork.studies.structure.jobs import job_of
from coachwork.studies.structure.strengths import Strengths

CASES = Path(__file__).parents[2] / "elasticity" / "cases.py"
ACCURACY = 0.01  # with the correction; the second order itself is then within 2 % of the third
MODULUS = {"chassis": 1650.0, "battery-door": 1650.0}
SCREWS = {
    "front-bolts": ((216, -30), (216, 30), (232, -30), (232, 30)),
    "rear-bolts": ((8, -30), (8, 30), (24, -30), (24, 30)),
}
LIPS = (("right", 120, -33, (1.0, 0.0, 0.0), 100), ("left", 120, 33, (1.0, 0.0, 0.0), 100),
        ("tail", 67, 0, (0.0, 1.0, 0.0), 60), ("head", 173, 0, (0.0, 1.0, 0.0), 60))  # fmt: skip


@pytest.fixture(scope="session")
def trays(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with tray.step, door.step and bonded.step."""
    folder = tmp_path_factory.mktemp("trays")
    done = subprocess.run([sys.executable, CASES, "solids", folder], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return folder


def make_part(folder: Path, *, name: str = "chassis", file: str = "tray.step", latch_mm: float = 20.0) -> PartSolid:
    """One of the two as `make` would leave it."""
    holes = tuple(
        Hole(name=f"{pattern}.{k}", centre_mm=(x, y, 4.0), axis=(0.0, 0.0, -1.0), diameter_mm=3.2, drawn_mm=3.2,
             depth_mm=4.0, screw="M3")
        for pattern, places in SCREWS.items() for k, (x, y) in enumerate(places)
    )  # fmt: skip
    chassis = name == "chassis"
    pads = tuple(
        Pad(name=f"lip-{lip}", against="battery-door" if chassis else "chassis", centre_mm=(x, y, 0.0),
            normal=(0.0, 0.0, -1.0 if chassis else 1.0), along=along, length_mm=length, width_mm=5.0, carries="shear")
        for lip, x, y, along, length in LIPS
    )  # fmt: skip
    latch = Latch(name="front", root_mm=(64.0, 0.0, 0.0), along=(0.0, 0.0, 1.0), bends=(1.0, 0.0, 0.0),
                  length_mm=latch_mm, thickness_mm=2.0, width_mm=8.0, deflection_mm=1.2)  # fmt: skip
    nought = (0.0, 0.0, 0.0)
    measured = Measured(
        solids=1, valid=True, watertight=True, volume_mm3=63000.0, area_mm2=63000.0 / 1.6, centre_mm=nought,
        low_mm=nought, size_mm=nought, hull_mm=(), thin=(), narrow=(), holes=(), trapped_cm3=0.0, overhang_mm2={},
    )  # fmt: skip
    return PartSolid(
        name=name, number="P-1", step=str(folder / file), mesh="", content="", spec="", process="powder-bed nylon",
        material="PA12", holes=holes if chassis else (), pads=pads,
        latches=() if chassis else (latch,), measured=measured,
    )  # fmt: skip


@pytest.fixture(scope="session")
def tray_part() -> Callable[..., PartSolid]:
    """Makes one of the two parts, as it is or otherwise."""
    return make_part


@pytest.fixture(scope="session")
def strengths(trays: Path) -> Strengths:
    """Chassis and door, computed."""
    parts = {"chassis": make_part(trays), "battery-door": make_part(trays, name="battery-door", file="door.step")}
    return Strengths(parts=parts, kept={name: computed(part, trays) for name, part in parts.items()})


def computed(part: PartSolid, folder: Path) -> Kept:
    """Finer than `coachwork strength` asks for: this one is small."""
    return flexibility_of(replace(job_of(part), accuracy=ACCURACY), folder / f"{part.name}.npz", threads=1)


@pytest.fixture(scope="session")
def frame(strengths: Strengths) -> Frame:
    """Both, ready to be loaded, of sintered PA12."""
    return Frame(strengths=strengths, modulus_mpa=MODULUS)
