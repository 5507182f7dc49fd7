"""Screws against another library's copies of the standards (bd-warehouse, its CSV tables)."""

from __future__ import annotations

import csv
from importlib.resources import files

import pytest

from coachwork.catalogue.screws import SCREWS


def table(name: str) -> dict[str, dict[str, str]]:
    text = (files("bd_warehouse") / "data" / name).read_text(encoding="utf-8")
    rows = csv.DictReader(text.splitlines())
    found: dict[str, dict[str, str]] = {}
    for row in rows:  # a size has a row for each pitch, most of them empty
        held = found.setdefault(row["Size"].partition("-")[0], {})
        held |= {key.strip(): value for key, value in row.items() if value}
    return found


@pytest.mark.parametrize("name", SCREWS)
def test_clearance_holes_are_those_of_iso_273(name):
    row, screw = table("clearance_hole_sizes.csv")[name], SCREWS[name]

    assert (screw.fine_mm, screw.medium_mm, screw.coarse_mm) == (
        float(row["Close"]), float(row["Normal"]), float(row["Loose"]),
    )  # fmt: skip


@pytest.mark.parametrize("name", SCREWS)
def test_countersunk_heads_go_into_what_is_sunk_for_them(name):
    """ISO 10642 and ISO 14581, as far as the library has them; a head that stands proud scrapes on the ground."""
    row = table("countersunk_head_parameters.csv")[name]
    heads = [float(row[key]) for key in ("iso10642:dk", "iso14581:dk") if key in row]

    assert heads
    assert max(heads) <= SCREWS[name].countersunk_head_mm <= 1.12 * max(heads)


@pytest.mark.parametrize("screw", SCREWS.values(), ids=SCREWS)
def test_a_pilot_leaves_thread_to_cut(screw):
    """Between the thread's core (ISO 724: d - 1.0825 P for the internal thread's) and its outside."""
    pitch = {"M2": 0.4, "M2.5": 0.45, "M3": 0.5, "M4": 0.7, "M5": 0.8}[screw.name]  # ISO 261, coarse

    assert screw.diameter_mm - 1.0825 * pitch < screw.pilot_mm < screw.diameter_mm - 0.2 * pitch
