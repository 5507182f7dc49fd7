"""What is measured on a solid, on solids whose measures are plain."""

from __future__ import annotations

import math

import build123d as b
import pytest

from coachwork.parts.measure import measure
from coachwork.studies.solids import Hole


def hole(at, axis=(0.0, 0.0, 1.0), *, name="screw.a", size=4.0, depth=6.0) -> Hole:
    return Hole(name=name, centre_mm=at, axis=axis, diameter_mm=size, drawn_mm=size, depth_mm=depth, screw="M4")


def block(x, y, z, at=(0.0, 0.0, 0.0)):
    return b.Pos(*at) * b.Box(x, y, z, align=(b.Align.MIN, b.Align.MIN, b.Align.MIN))


def drilled(solid, at, size=4.0, depth=20.0):
    return solid - b.Pos(*at) * b.Cylinder(size / 2, depth)


def test_a_plain_block():
    measured = measure(block(40, 20, 6), (), driver_mm=5)

    assert (measured.solids, measured.valid, measured.watertight) == (1, True, True)
    assert measured.volume_mm3 == pytest.approx(40 * 20 * 6)
    assert measured.area_mm2 == pytest.approx(2 * (40 * 20 + 40 * 6 + 20 * 6))
    assert measured.size_mm == pytest.approx((40, 20, 6), abs=1e-5)
    assert measured.centre_mm == pytest.approx((20, 10, 3))
    assert measured.thin == ()
    assert measured.narrow == ()
    assert measured.trapped_cm3 == 0.0
    assert sum(measured.overhang_mm2.values()) == 0.0


def test_a_hole_is_found_where_it_is_with_the_material_beside_it():
    solid = drilled(block(40, 20, 6), (20, 3.2, 0))

    (found,) = measure(solid, (hole((20, 3.2, 0)),), driver_mm=5).holes

    assert found.off_mm == pytest.approx(0.0, abs=1e-9)
    assert found.diameter_mm == pytest.approx(4.0)
    assert found.edge_mm == pytest.approx(1.2, abs=0.01)


@pytest.mark.parametrize("off", [0.02, 0.6, 1.5])
def test_a_hole_that_was_moved_is_told_by_how_much(off):
    solid = drilled(block(40, 20, 6), (20, 10 + off, 0))

    (found,) = measure(solid, (hole((20, 10, 0)),), driver_mm=5).holes

    assert found.off_mm == pytest.approx(off, abs=1e-9)


def test_a_hole_that_is_missing_a_boss_in_its_place_or_one_across_is_not_found():
    boss = block(40, 20, 6) + b.Pos(20, 10, 3) * b.Cylinder(2.0, 14)
    across = block(40, 20, 6) - b.Pos(20, 10, 3) * b.Rot(90, 0, 0) * b.Cylinder(1.0, 60)

    for solid in (block(40, 20, 6), boss, across):
        (found,) = measure(solid, (hole((20, 10, 0)),), driver_mm=5).holes
        assert math.isnan(found.off_mm)


def test_of_two_holes_beside_each_other_the_nearer_one_is_taken():
    solid = drilled(drilled(block(40, 20, 6), (20, 10, 0), size=3.0), (20, 11.9, 0), size=0.6)

    (found,) = measure(solid, (hole((20, 10.1, 0), size=3.0),), driver_mm=5).holes

    assert found.off_mm == pytest.approx(0.1, abs=1e-9)
    assert found.diameter_mm == pytest.approx(3.0)


def test_a_wall_that_is_thin_in_one_place_is_found_there():
    """A pocket of 3 x 3 mm leaves 0.7 mm of a floor of 6 mm."""
    solid = block(60, 40, 6) - block(3, 3, 6, at=(41, 12, 0.7))

    spot = measure(solid, (), driver_mm=5).thin[0]

    assert spot.wall_mm == pytest.approx(0.7, abs=1e-3)
    assert spot.point_mm == pytest.approx((42.5, 13.5, 0.35), abs=1.6)


def test_the_wall_between_two_holes_and_the_hole_it_lies_beside():
    solid = drilled(drilled(block(40, 20, 6), (15, 10, 0)), (19.9, 10, 0))  # 4.9 apart, 4 wide

    spot = measure(solid, (hole((15, 10, 0)),), driver_mm=5).thin[0]

    assert spot.wall_mm == pytest.approx(0.9, abs=0.02)
    assert spot.near == "screw.a"
    assert spot.point_mm[0] == pytest.approx(17.45, abs=0.3)


def test_wedges_rounded_edges_and_ridges_of_an_engraving_are_no_walls():
    wedge = b.chamfer(block(40, 20, 6).edges().filter_by(b.Axis.X).sort_by(b.Axis.Z)[0], 4.0)
    rounded = b.fillet(block(40, 20, 6).edges().filter_by(b.Axis.Z), 3.0)
    ridge = block(40, 20, 6) - block(10, 3, 1, at=(5, 5, 5.6)) - block(10, 3, 1, at=(5, 8.3, 5.6))  # 0.3 wide, 0.4 high

    for solid in (wedge, rounded, ridge):
        assert all(spot.wall_mm > 1.9 for spot in measure(solid, (), driver_mm=5).thin)


def test_a_thin_fin_is_a_wall_though_it_is_low():
    """0.5 thick, 2 mm high: it breaks off in the powder."""
    solid = block(40, 20, 6) + block(20, 0.5, 2, at=(5, 8, 6))

    assert measure(solid, (), driver_mm=5).thin[0].wall_mm == pytest.approx(0.5, abs=1e-3)


def test_a_slit_is_a_gap_and_a_scratch_is_not():
    slit = block(40, 20, 6) - block(30, 0.3, 4, at=(5, 10, 3))
    scratch = block(40, 20, 6) - block(30, 0.3, 0.4, at=(5, 10, 5.6))

    assert measure(slit, (), driver_mm=5).narrow[0].wall_mm == pytest.approx(0.3, abs=1e-3)
    assert measure(scratch, (), driver_mm=5).narrow == ()


def test_a_closed_hollow_is_told_with_its_volume():
    solid = b.Box(20, 20, 20) - b.Sphere(5)

    assert measure(solid, (), driver_mm=5).trapped_cm3 == pytest.approx(4 / 3 * math.pi * 5**3 / 1000, rel=1e-6)


def test_overhang_of_a_table_and_of_a_table_on_its_head():
    """A top of 40 x 20 on a leg of 10 x 20: 30 x 20 hang over; lying on the top, nothing does."""
    table = block(40, 20, 4, at=(0, 0, 10)) + block(10, 20, 10, at=(15, 0, 0))

    hanging = measure(table, (), driver_mm=5).overhang_mm2

    assert hanging["-z"] == pytest.approx(30 * 20)
    assert hanging["+z"] == pytest.approx(0.0)


@pytest.mark.parametrize(("gap", "free"), [(2.0, 30.0), (3.0, 200.0)])
def test_a_driver_is_stopped_by_what_stands_in_its_way(gap, free):
    """A wall beside the hole with a roof over it: the roof 30 mm over the entry, its edge `gap` from the axis."""
    solid = drilled(block(40, 20, 6), (20, 10, 0)) + block(40, 2, 40, at=(0, 18, 0)) + block(
        40, 8 - gap, 3, at=(0, 10 + gap, 36))  # fmt: skip

    (found,) = measure(solid, (hole((20, 10, 6), axis=(0, 0, -1)),), driver_mm=5.0).holes

    assert found.free_mm == pytest.approx(free, abs=0.01)
