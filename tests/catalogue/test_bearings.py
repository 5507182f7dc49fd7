"""Bearings against another library's table of ISO 15 sizes; fits against the standard's own formula."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from coachwork.catalogue.bearings import BALL_BEARINGS, bore_h7_mm, ring_under_mm

# ISO 286-1:2010, table 1: the ranges of nominal size, mm.
RANGES = [(3, 6), (6, 10), (10, 18), (18, 30), (30, 50)]


def test_iso_15_sizes_are_those_of_another_library():
    """bd-warehouse, its table of deep-groove ball bearings: "M5-13-4"."""
    names = [path.name for path in (files("bd_warehouse") / "data").iterdir() if "deep_groove" in path.name]
    text = "".join((files("bd_warehouse") / "data" / name).read_text(encoding="utf-8") for name in names)
    theirs = {size.replace("-", "x") for size in re.findall(r"^M([\d.]+-[\d.]+-[\d.]+),", text, re.MULTILINE)}

    assert len(theirs) > 30
    assert {name for name, bearing in BALL_BEARINGS.items() if bearing.iso} <= theirs


@pytest.mark.parametrize(("low", "high"), RANGES)
def test_grade_7_is_16_tolerance_units(low: float, high: float):
    """ISO 286-1, 4.1: i = 0.45 D^(1/3) + 0.001 D micrometres, D the geometric mean of the range; grade 7 is 16 i.

    The standard rounds by rules of its own, hence one micrometre; up to 3 mm, smaller than any ring, it gives more.
    """
    mean = (low * high) ** 0.5
    grade = 16 * (0.45 * mean ** (1 / 3) + 0.001 * mean) / 1000

    assert bore_h7_mm(high) == pytest.approx(grade, abs=0.001)
    assert bore_h7_mm(low + 0.01) == bore_h7_mm(high)


def test_every_bearing_of_the_catalogue_has_its_fit():
    for bearing in BALL_BEARINGS.values():
        assert bearing.bore_mm < bearing.outside_mm
        assert 0 < ring_under_mm(bearing.outside_mm) < bore_h7_mm(bearing.outside_mm)
