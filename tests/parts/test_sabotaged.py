"""The finished van's own chassis, handed back as the builder's drawing: as it is, and tampered with in two places.

The real solid of some 600 faces, not a plain one: what was tampered with is found and placed, all else is left alone.
"""

from __future__ import annotations

from pathlib import Path

import build123d as b
import pytest
from tests.made_vans import made

from coachwork.build import read, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan, discover
from coachwork.plan.made import made_parts

STUDIES = tuple(study for study in discover() if study.name == "makeability")
BOLT = (9.0, 12.0)  # front-left, under [parts.chassis.front-bolts]
THINNED = (-180.0, -20.0)  # the floor, 4 mm thick, nothing near


def handed_back(folder: Path, van: Path, solid):
    b.export_step(solid, folder / "mine.step")
    text = with_entry((van / "build.toml").read_text("utf-8"), "parts.make", "chassis")
    text = with_entry(text, "parts.chassis.step", "mine.step")
    (folder / "build.toml").write_text(text, encoding="utf-8")
    assert made(folder, ("chassis",)).refused == {}
    report = examine(read(folder), plan=Plan(studies=STUDIES))
    return {v.id.removeprefix("makeability.chassis."): v for v in report.verdicts}


@pytest.fixture(scope="module")
def chassis(van):
    return b.import_step(Path(made_parts(read(van("as-finished"))).parts["chassis"].step)).solids()[0]


def test_the_chassis_as_it_is_passes(tmp_path, van, chassis):
    found = handed_back(tmp_path, van("as-finished"), chassis)

    for id in ("holes", "wall", "edge", "screws-pass"):
        assert found[id].state in ("holds", "tight"), found[id].why


def test_a_hole_moved_and_a_floor_thinned_are_found_where_they_are(tmp_path, van, chassis):
    x, y = BOLT
    plug = b.Pos(x, y, 2) * b.Box(9, 9, 4)
    moved = chassis + plug - b.Pos(x + 0.6, y, 2) * b.Cylinder(1.775, 20)
    thinned = moved - b.Pos(*THINNED, 0) * b.Box(5, 5, 2 * (4.0 - 0.6))  # from below
    found = handed_back(tmp_path, van("as-finished"), thinned)

    assert found["holes"].state == "fails"
    assert found["holes"].value == pytest.approx(0.6, abs=0.01)
    assert "front-bolts.front-left" in found["holes"].why
    assert found["holes"].where.point_mm[:2] == pytest.approx(BOLT, abs=0.01)
    assert found["wall"].state == "fails"
    assert found["wall"].value == pytest.approx(0.6, abs=0.02)
    assert found["wall"].where.point_mm[:2] == pytest.approx(THINNED, abs=3.0)
