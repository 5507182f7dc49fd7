"""What other studies are told of the parts, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from coachwork.build import read_text
from coachwork.studies.makeability.asked import AskedParts
from coachwork.studies.makeability.compute import check
from coachwork.studies.makeability.joints import placed_parts
from coachwork.studies.makeability.result import MakeabilityResult
from coachwork.studies.makeability.specs.every import every_part
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.makeability.verdicts import findings
from coachwork.studies.parts import is_missing
from coachwork.studies.solids import Measured, PartSolid


def solid(name: str, at: tuple[float, float, float]) -> PartSolid:
    """2 cm3 of resin with its middle 1 mm over its own zero, fitted at a place."""
    measured = Measured(
        solids=1, valid=True, watertight=True, volume_mm3=2000.0, area_mm2=1000.0, centre_mm=(0.0, 0.0, 1.0),
        low_mm=(-5.0, -5.0, -4.0), size_mm=(10.0, 10.0, 10.0), hull_mm=(), thin=(), narrow=(), holes=(),
        trapped_cm3=0.0, overhang_mm2={},
    )  # fmt: skip
    x, y, z = at
    pose = ((1.0, 0.0, 0.0, x), (0.0, 1.0, 0.0, y), (0.0, 0.0, 1.0, z), (0.0, 0.0, 0.0, 1.0))
    return PartSolid(name=name, number="P-01", step="", mesh="", content="", spec="", process="resin", material="resin",
                     chassis_from_part=(pose,), measured=measured)  # fmt: skip


@pytest.mark.parametrize("name", ["chassis", "post-a", "bracket-a", "front-arm-left", "rear-carrier-right"])
def test_whatever_has_a_place_on_the_chassis_weighs_there(name: str):
    """Resin: 1.18 g/cm3. The parts that have a place are the same ones whose screws are looked at."""
    part = solid(name, (-260.0, 70.0, 5.0))

    weight = AskedParts(made={name: part}).weights().each[name]

    assert placed_parts([part]) == [part]
    assert weight.mass_g == pytest.approx(2.36)
    assert weight.at_mm == pytest.approx((-260.0, 70.0, 6.0))


BUILD = """
[changes]
rear.hub-spacer = 2.0
[making]
process = "{process}"
[parts]
make = "rear-hub-spacer, light-housings"
[parts.rear-hub-spacer]
bore = 5.0
outside = 12.0
[parts.light-housings]
lamp = {{ lens = 12.0, depth = 8.0 }}
"""


@pytest.mark.parametrize(("process", "told"), [("cut sheet", "no flat part"), ("resin", None)])
def test_only_flat_parts_are_cut_from_sheet(process: str, told: str | None):
    build = read_text(BUILD.format(process=process), Path("build.toml"))
    parts = {each.name: each for each in every_part(PartTables.of(build))}

    cup = parts["housing-lamp"].spec
    assert (told in cup.why) if told else not is_missing(cup)
    assert (parts["housing-lamp"].fingerprint is None) is bool(told)
    assert parts["rear-hub-spacer"].fingerprint is not None


def test_what_has_none_weighs_nowhere():
    weight = AskedParts(made={"housing-lamp": solid("housing-lamp", (0.0, 0.0, 0.0))}).weights().each["housing-lamp"]

    assert weight.at_mm is None


@pytest.mark.parametrize("watertight", [True, False])
def test_an_open_mesh_is_told(watertight: bool):
    part = solid("housing-lamp", (0.0, 0.0, 0.0))
    assert part.measured is not None
    measured = replace(part.measured, watertight=watertight)
    build = read_text(BUILD.format(process="resin"), Path("build.toml"))
    tables = PartTables.of(build)
    wanted = next(each for each in every_part(tables) if each.name == part.name)

    checked = check(wanted, replace(part, measured=measured), measured, tables.making)
    result = MakeabilityResult(wanted={part.name: wanted}, checked={part.name: checked}, unmade=(), screws={},
                               price=(0.0, 0.0), mass_g=2.36)  # fmt: skip

    finding = next(each for each in findings(result) if each.id == "makeability.housing-lamp.closed")
    assert finding.value is not None
    assert finding.value.item() == (0.0 if watertight else 1.0)
    assert (finding.do is None) is watertight
