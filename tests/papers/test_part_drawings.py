"""The PDF of the parts' drawings, read by another program: a page for each part, at 1:1."""

from __future__ import annotations

from pathlib import Path

import pymupdf
import pytest

from coachwork.build import read
from coachwork.cli import main

BUILD = """
[build]
name = "A tray"
[making]
process = "powder-bed nylon"
revision = "C"
[changes]
front.hub-spacer = 2.0
[parts]
make = "front-hub-spacer, light-housings"
[parts.front-hub-spacer]
bore = 5.0
outside = 42.0
[parts.light-housings]
lamp = { lens = 12.0, depth = 8.0 }
"""
MM = 72 / 25.4  # points


@pytest.fixture(scope="module")
def document(tmp_path_factory: pytest.TempPathFactory) -> pymupdf.Document:
    folder: Path = tmp_path_factory.mktemp("tray")
    (folder / "build.toml").write_text(BUILD, encoding="utf-8")
    assert read(folder).name == "A tray"
    assert main(["make", str(folder), "--no-papers"]) in (0, 1)
    return pymupdf.open(folder / "parts" / "drawings.pdf")


def lengths_mm(page: pymupdf.Page) -> list[float]:
    """Of all level strokes."""
    lines = [item for each in page.get_drawings() for item in each["items"] if item[0] == "l"]
    return [abs(b.x - a.x) / MM for _, a, b in lines if abs(a.y - b.y) < 1e-3]


def test_a_list_and_a_page_for_each_part_in_its_own_words(document: pymupdf.Document):
    front, spacer, housing = (page.get_text() for page in document)

    assert "front-hub-spacer" in front
    assert "housing-lamp" in front
    assert "P-01" in spacer
    assert "revision C" in spacer
    assert "axle.bore" in spacer
    assert "datum" in spacer
    assert "diodes.1" in housing


def test_drawn_at_full_size_on_an_iso_sheet(document: pymupdf.Document):
    """ISO 216: A4 is 210 x 297 mm. The rule and the ring's 42 mm are as long as they say."""
    page = document[1]

    assert (page.rect.width / MM, page.rect.height / MM) == pytest.approx((297, 210), abs=0.1)
    lengths = lengths_mm(page)
    assert any(length == pytest.approx(100.0, abs=0.05) for length in lengths)
    assert any(length == pytest.approx(42.0, abs=0.05) for length in lengths)
    assert "42.00" in page.get_text()
    assert {"-21.00", "+21.00"} <= set(page.get_text().split())
