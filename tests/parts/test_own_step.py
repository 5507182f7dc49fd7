"""The builder's own STEP file: checked as ours is, and what was tampered with is found.

The file is made here with plain CAD calls, in coordinates of its own: y up, drawn forward along -x, its datum shifted.
"""

from __future__ import annotations

from pathlib import Path

import build123d as b
import pytest

from coachwork.build import read
from coachwork.confidence import examine
from coachwork.plan import Plan, discover

STUDIES = tuple(study for study in discover() if study.name == "makeability")
BUILD = """
[making]
process = "powder-bed nylon"
room-x = 300
room-y = 200
room-z = 200
rate-per-cm3 = 0.5
rate-per-part = 5
most-price = 50
[parts]
make = "chassis"
[parts.chassis]
step = "mine.step"
datum = [50, 7, 20]
file-up = "y"
file-forward = "-x"
[parts.chassis.front-bolts]
left = { x = -10, y = 12 }
right = { x = -10, y = -12 }
[parts.chassis.holes.post]
at = [-80, 0, 0]
into = "up"
screw = "M3"
"""


def plate(*, moved: float = 0.0, thinned: float = 0.0, hole: float = 3.5):
    """A tray of 140 x 60 x 3 with walls, in the chassis frame: x forward, z up."""
    solid = b.Pos(-60, 0, 1.5) * b.Box(140, 60, 3)
    for y in (-29, 29):
        solid += b.Pos(-60, y, 8) * b.Box(140, 2, 16)
    for x, y in ((-10, 12), (-10 + moved, -12), (-80, 0)):
        solid -= b.Pos(x, y, 0) * b.Cylinder(hole / 2, 20)
    if thinned:
        solid -= b.Pos(-60, 20, 3) * b.Box(4, 4, 2 * thinned)
    return solid


def build(folder: Path, solid) -> Path:
    """Write the tray in the file's own coordinates: forward is -x, up is y, so left is +z; then the datum's shift."""
    turned = b.Plane(origin=(50, 7, 20), x_dir=(-1, 0, 0), z_dir=(0, 1, 0)) * solid
    b.export_step(turned, folder / "mine.step")
    (folder / "build.toml").write_text(BUILD, encoding="utf-8")
    return folder


def verdicts(folder: Path):
    from tests.parts.conftest import made

    outcome = made(folder)
    assert outcome.refused == {}
    report = examine(read(folder), plan=Plan(studies=STUDIES))
    return {verdict.id.removeprefix("makeability.chassis."): verdict for verdict in report.verdicts}


def test_an_honest_drawing_passes_in_its_own_coordinates(tmp_path):
    found = verdicts(build(tmp_path, plate()))

    assert {id: v.state for id, v in found.items() if v.state not in ("holds", "tight")} == {}
    assert found["holes"].value == pytest.approx(0.0, abs=1e-6)
    part = Plan(studies=STUDIES).run(read(tmp_path))["makeability"].result.checked["chassis"]
    volume = 140 * 60 * 3 + 2 * 140 * 2 * 13 - 3 * 3.14159265 * 1.75**2 * 3
    assert part.mass_g == pytest.approx(volume / 1000 * 0.95, rel=1e-4)


def test_a_hole_moved_by_six_tenths_is_found_and_named(tmp_path):
    verdict = verdicts(build(tmp_path, plate(moved=0.6)))["holes"]

    assert verdict.state == "fails"
    assert verdict.value == pytest.approx(0.6, abs=0.01)
    assert "front-bolts.right" in verdict.why
    assert verdict.where.point_mm == pytest.approx((-10.0, -12.0, 0.0), abs=0.01)


def test_a_floor_thinned_in_one_place_is_found_there(tmp_path):
    verdict = verdicts(build(tmp_path, plate(thinned=2.3)))["wall"]

    assert verdict.state == "fails"
    assert verdict.value == pytest.approx(0.7, abs=0.01)
    assert verdict.where.point_mm == pytest.approx((-60.0, 20.0, 0.35), abs=2.1)


def test_a_hole_too_narrow_for_its_screw_is_found(tmp_path):
    verdict = verdicts(build(tmp_path, plate(hole=3.2)))["screws-pass"]

    assert verdict.state == "fails"
    assert verdict.value == pytest.approx(3.2 - 0.15, abs=1e-3)


def test_an_edited_drawing_is_not_taken_for_the_one_that_was_measured(tmp_path):
    verdicts(build(tmp_path, plate()))
    b.export_step(plate(), tmp_path / "mine.step")  # another file; nobody has measured it

    report = examine(read(tmp_path), plan=Plan(studies=STUDIES))

    (only,) = report.verdicts
    assert only.id == "makeability.made"
    assert only.state == "unmeasured"


@pytest.mark.parametrize(
    ("write", "words"),
    [
        (lambda file: None, "there is no file mine.step"),
        (lambda file: file.write_text("not a STEP file"), "mine.step"),
        (lambda file: b.export_step(b.Face.make_rect(10, 10), file), "holds no solid"),
        (lambda file: b.export_step(b.Box(5, 5, 5) + b.Pos(30, 0, 0) * b.Box(5, 5, 5), file), "2 pieces"),
    ],
)
def test_what_is_no_part_is_refused_in_words(tmp_path, write, words):
    from tests.parts.conftest import made

    (tmp_path / "build.toml").write_text(BUILD, encoding="utf-8")
    write(tmp_path / "mine.step")

    assert words in made(tmp_path).refused["chassis"]
