"""Screws against boxes, worked by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import read_text
from coachwork.studies.makeability.screws import PACK_ROOM_MM, screw_tips
from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Missing

BUILD = """
[boxes.pack]
length = 100
width = 40
height = 25
[boxes.receiver]
length = 30
width = 20
height = 15
[places.pack]
x = -100
y = 0
z = 4
[places.receiver]
x = -100
y = 40
z = 4
"""


def screw(at, axis, length) -> HoleSpec:
    return HoleSpec(name="holes.a", at_mm=at, axis=axis, diameter_mm=3.4, purpose="clearance", screw="M3",
                    screw_mm=length)  # fmt: skip


def tip(hole: HoleSpec, text: str = BUILD):
    return screw_tips(PartTables.of(read_text(text, Path("build.toml"))), "chassis", (hole,))["chassis.holes.a"]


def test_a_screw_through_the_floor_into_the_pack_by_how_much():
    """The pack's underside lies at 4 mm; a screw of 10 mm from z = 0 ends 6 mm inside (steps of a fortieth)."""
    found = tip(screw((-100.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0))

    assert found.box == "pack"
    assert found.room_mm == pytest.approx(-6.0, abs=10 / 40)
    assert found.tip_mm == (-100.0, 0.0, 10.0)


def test_a_screw_beside_the_pack_has_the_gap_less_its_half_thickness():
    """3.5 mm from the pack's side to the axis, M3."""
    found = tip(screw((-100.0, -23.5, 0.0), (0.0, 0.0, 1.0), 10.0))

    assert found.room_mm == pytest.approx(2.0)
    assert found.limit_mm == PACK_ROOM_MM


def test_a_pack_asks_for_more_room_than_a_receiver():
    found = tip(screw((-100.0, 25.0, 0.0), (0.0, 0.0, 1.0), 10.0))  # 5 to the pack, 5 to the receiver

    assert found.box == "pack"


def test_a_pack_without_a_place_is_taken_where_the_masses_have_it():
    text = BUILD.replace("[places.pack]\nx = -100\ny = 0\nz = 4\n", "") + (
        '[masses]\npack = { mass = "200 g", at = [-100, 0, 16.5] }\n'
    )

    assert tip(screw((-100.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0), text).room_mm == pytest.approx(-6.0, abs=0.25)


def test_an_unmeasured_box_is_asked_for():
    found = tip(screw((-100.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0), BUILD.replace("height = 25\n", ""))

    assert found == Missing(("boxes.pack.height",))
