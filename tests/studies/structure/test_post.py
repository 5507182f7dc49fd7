"""Body posts: the formulas against books and sums done another way, a weak post and its sound twin."""

from __future__ import annotations

import math
import re
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read, with_entry
from coachwork.catalogue.screws import SCREWS
from coachwork.plan import Plan
from coachwork.studies.finding import Finding
from coachwork.studies.structure.post import LEANS_AT, Column, pull_out_n, share_aside

COLUMN = Column(screw=SCREWS["M3"], diameter_mm=8.0, pilot_mm=2.55, bite_mm=8.0, floor_mm=4.0, reach_mm=48.0,
                cross_mm=2.0, crosses=(40.0, 44.0, 48.0))  # fmt: skip

# ISO 724:1993, table 1: basic pitch diameter of the coarse series, mm; from memory.
PITCH_DIAMETERS = {"M2": 1.740, "M2.5": 2.208, "M3": 2.675, "M4": 3.545, "M5": 4.480}


@pytest.mark.parametrize(("name", "pitch_diameter_mm"), PITCH_DIAMETERS.items())
def test_pitch_diameters_are_the_standards(name: str, pitch_diameter_mm: float):
    assert SCREWS[name].pitch_diameter_mm == pytest.approx(pitch_diameter_mm, abs=6e-4)


def test_the_foot_leans_where_a_grid_of_its_pressure_has_its_middle():
    """Pressure that grows with the way from the screw, over the half of a disc of radius 1."""
    x, y = np.meshgrid(np.linspace(0, 1, 2001), np.linspace(-1, 1, 4001))
    inside = x**2 + y**2 <= 1
    middle = (x[inside] ** 2).sum() / x[inside].sum()
    assert middle == pytest.approx(LEANS_AT, rel=1e-3)


def test_shear_strength_is_von_misess():
    """In pure shear von Mises's stress is the shear times the root of three."""
    held = pull_out_n(area_mm2=COLUMN.thread_mm2, strength_mpa=np.array([40.0]))
    assert held[0] / COLUMN.thread_mm2 * math.sqrt(3) == pytest.approx(40.0)


def test_a_column_bends_most_at_its_foot_or_at_a_cross_hole():
    """By sums over strips of the section. The hole is counted as long as the bar is thick: 2 to 3 % too safe."""
    y = (np.arange(20000) + 0.5) / 20000 * 8.0 - 4.0
    wide = np.maximum(2 * np.sqrt(16 - y**2) - 2.0, 0.0)  # the hole 2 mm wide runs along y
    second_mm4 = float((wide * y**2).sum() * 8.0 / 20000)
    low = replace(COLUMN, crosses=(2.0,))
    assert 1.0 < low.bends / (46.0 * 4.0 / second_mm4) < 1.03
    assert low.bends > COLUMN.bends


def test_shares_of_a_push_sum_to_it():
    every = [COLUMN, replace(COLUMN, reach_mm=60.0), replace(COLUMN, diameter_mm=6.0)]
    assert sum(share_aside(each, every) for each in every) == pytest.approx(1.0)


def post_findings(folder: Path) -> dict[str, Finding]:
    told = Plan().run(read(folder), only=["structure"])["structure"].findings
    return {each.id.removeprefix("structure.posts."): each for each in told if each.id.startswith("structure.posts.")}


def van(folder: Path, *, lift: float, diameter_mm: float = 8.0) -> dict[str, Finding]:
    """The finished van with all its posts so thick; nothing need be made for it."""
    build = read(folder)
    text = with_entry(build.text, "structure.lift-factor", f"{lift:g} ± 0.1")
    for name in ("front-left", "front-right", "rear-left", "rear-right"):
        text = with_entry(text, f"parts.posts.{name}.diameter", f"{diameter_mm:g} ± 0 mm")
    build.path.write_text(text, "utf-8")
    return post_findings(folder)


@pytest.mark.parametrize("ask", ["screw", "column"])
def test_posts_that_would_give_are_told_with_a_cure_that_holds(tmp_path: Path, examples: Path, ask: str):
    """Snatched up with seven times its weight, and with twice."""
    folder = tmp_path / "van"
    shutil.copytree(examples / "as-finished", folder)
    sound = van(folder, lift=2.0)[ask]
    assert over(sound) < 0.9
    assert sound.do is None

    fails = van(folder, lift=7.0)[ask]
    assert over(fails) > 1
    assert fails.where is not None
    assert fails.where.part.startswith("post-front")  # shorter and so stiffer, they take more of a push
    assert fails.do is not None
    (thicker,) = re.findall(r"all body posts ([\d.]+) mm thick", fails.do)

    assert over(van(folder, lift=7.0, diameter_mm=float(thicker))[ask]) <= 1


def test_a_post_that_lacks_its_height_leaves_its_load_to_no_other(tmp_path: Path, examples: Path):
    folder = tmp_path / "van"
    shutil.copytree(examples / "as-finished", folder)
    file = folder / "build.toml"
    file.write_text(file.read_text("utf-8").replace("y = 34.0, height = 50.0,", "y = 34.0,"), "utf-8")
    for told in post_findings(folder).values():
        assert told.value is None
        assert told.missing == ("parts.posts.front-left.height",)


def over(finding: Finding) -> float:
    assert finding.value is not None
    assert finding.limit is not None
    return float(finding.value[0] / finding.limit[0])


def test_a_wider_foot_is_levered_less():
    assert replace(COLUMN, diameter_mm=10.0).leans == pytest.approx(0.8 * COLUMN.leans)
