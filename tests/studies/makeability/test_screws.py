"""Screws against boxes, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from coachwork.build import read_text
from coachwork.studies.makeability.screws import PACK_ROOM_MM, screw_tips
from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.makeability.verdicts.whole import tip as tip_told
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
    """The pack's underside lies at 4 mm; a screw of 10 mm from z = 0 ends 6 mm inside."""
    found = tip(screw((-100.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0))

    assert found.box == "pack"
    assert found.room_mm == pytest.approx(-6.0)
    assert found.tip_mm == (-100.0, 0.0, 10.0)


def test_a_screw_beside_the_pack_has_the_gap_less_its_half_thickness():
    """3.5 mm from the pack's side to the axis, M3."""
    found = tip(screw((-100.0, -23.5, 0.0), (0.0, 0.0, 1.0), 10.0))

    assert found.room_mm == pytest.approx(2.0)
    assert found.limit_mm == PACK_ROOM_MM


@pytest.mark.parametrize(("start_z", "room_mm"), [(-7.0, 1.0), (-6.1, 0.1), (-6.0, 0.0), (-5.9, -0.1)])
def test_a_screw_s_flat_end_has_all_of_the_gap_before_it(start_z, room_mm):
    """10 mm up towards the pack's underside at z = 4: no sphere stands before the end, and none is missed in it."""
    assert tip(screw((-100.0, 0.0, start_z), (0.0, 0.0, 1.0), 10.0)).room_mm == pytest.approx(room_mm)


def test_a_screw_away_from_a_box_that_its_head_lies_against_is_not_in_it():
    assert tip(screw((-100.0, 0.0, 4.0), (0.0, 0.0, -1.0), 10.0)).room_mm == 0.0


def test_a_screw_that_grazes_the_pack_s_side_is_in_it_by_what_its_flank_overlaps():
    """Axis 0.5 mm off the side, half of an M3 1.5 mm; up the pack it is in by 6 mm, but aside it is out sooner."""
    assert tip(screw((-100.0, -20.5, 0.0), (0.0, 0.0, 1.0), 10.0)).room_mm == pytest.approx(-1.0, abs=0.01)


@pytest.mark.parametrize(
    ("at", "told"),
    [
        ((-100.0, 0.0, -6.4), "take a screw of at most 9.4 mm"),  # of 10 mm: 0.4 mm of the pack's 1 mm are left
        ((-100.0, -22.0, 0.0), "take a screw of at most 3.1 mm"),  # flank 0.5 mm beside: 3.134 is 1 mm off the edge
        ((-100.0, -20.5, 3.0), "move the hole and the pack 2.0 mm further apart: no screw in it is short enough"),
    ],
)
def test_the_cure_is_a_screw_that_does_and_never_the_one_there_is(at, told):
    hole = screw(at, (0.0, 0.0, 1.0), 10.0)
    found = tip(hole)

    assert tip_told(found)["do"] == told
    if found.fits_mm > 0:
        assert tip(replace(hole, screw_mm=found.fits_mm)).room_mm >= PACK_ROOM_MM


def test_a_pack_asks_for_more_room_than_a_receiver():
    found = tip(screw((-100.0, 25.0, 0.0), (0.0, 0.0, 1.0), 10.0))  # 5 to the pack, 5 to the receiver

    assert found.box == "pack"


def test_a_pack_without_a_place_is_taken_where_the_masses_have_it():
    text = BUILD.replace("[places.pack]\nx = -100\ny = 0\nz = 4\n", "") + (
        '[masses]\npack = { mass = "200 g", at = [-100, 0, 16.5] }\n'
    )

    assert tip(screw((-100.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0), text).room_mm == pytest.approx(-6.0)


def test_an_unmeasured_box_is_asked_for():
    found = tip(screw((-100.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0), BUILD.replace("height = 25\n", ""))

    assert found == Missing(("boxes.pack.height",))
