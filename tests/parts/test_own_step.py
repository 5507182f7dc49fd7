"""The builder's own STEP file: checked as ours is, and what was tampered with is found.

The file is made here with plain CAD calls, in coordinates of its own: y up, drawn forward along -x, its datum shifted.
"""

from __future__ import annotations

from pathlib import Path

import build123d as b
import pytest

from coachwork.build import read, read_text
from coachwork.confidence import examine
from coachwork.plan import Plan, discover
from coachwork.plan.asked import asked_parts
from coachwork.plan.made import made_parts
from coachwork.plan.standing import standing_parts
from coachwork.plan.strengths import strengths
from coachwork.studies.makeability.specs.every import every_part
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Blocked

pytestmark = pytest.mark.usefixtures("cad_at_hand")
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
    from tests.made_vans import made

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
    from tests.made_vans import made

    (tmp_path / "build.toml").write_text(BUILD, encoding="utf-8")
    write(tmp_path / "mine.step")

    assert words in made(tmp_path).refused["chassis"]


FITTINGS = """
[parts.chassis.pads.lip-left]
at = [-60, 25, 0]
faces = "down"
length = 100
width = 6
held = true
[parts.chassis.latches.front]
root = [0, 10, 8]
runs = "up"
bends = "left"
length = 8
thickness = 2
width = 10
pushed = 1.0
"""


def test_it_stands_in_the_way_weighs_and_closes_as_ours_does(tmp_path):
    """Its triangles in the chassis frame, its weight for [masses], its pads for finite elements, its latch's strain:
    3/2 x 1.0 x 2 / 8^2 = 4.7 %.
    """
    verdicts(build(tmp_path, plate()))
    (tmp_path / "build.toml").write_text(BUILD + FITTINGS, encoding="utf-8")
    again = made_again(tmp_path)

    held = standing_parts(again).triangles["chassis"].reshape(-1, 3)
    assert held.min(axis=0) == pytest.approx((-130, -30, 0), abs=1e-3)
    assert held.max(axis=0) == pytest.approx((10, 30, 16), abs=1e-3)
    weight = asked_parts(again).weights().each["chassis"]
    assert weight.mass_g == pytest.approx(
        (140 * 60 * 3 + 2 * 140 * 2 * 13 - 3 * 3.14159 * 1.75**2 * 3) * 0.95e-3, rel=1e-4
    )
    assert weight.at_mm is not None
    assert weight.at_mm[:2] == pytest.approx((-60, 0), abs=0.1)
    latch = strengths(again).latches["chassis.front"].latch
    assert 1.5 * latch.deflection_mm * latch.thickness_mm / latch.length_mm**2 == pytest.approx(0.0469, abs=1e-4)
    (pad,) = made_parts(again).parts["chassis"].pads
    assert (pad.against, pad.normal, pad.along, pad.carries) == ("battery-door", (0, 0, -1), (1, 0, 0), "shear")


def made_again(folder: Path):
    from tests.made_vans import made

    assert made(folder).refused == {}
    return read(folder)


def test_a_pad_or_latch_that_cannot_be_is_refused_in_words(tmp_path):
    for wrong, words in (
        (FITTINGS.replace('faces = "down"', 'faces = "down"\nalong = "z"'), "lies along z"),
        (FITTINGS.replace('bends = "left"', 'bends = "up"'), "cannot bend along its own length"),
    ):
        spec = every_part(PartTables.of(read_text(BUILD + wrong, tmp_path / "build.toml")))[0].spec
        assert isinstance(spec, Blocked)
        assert words in spec.why


ARMS = """
[making]
process = "powder-bed nylon"
[parts]
make = "front-arms"
[parts.front-arms]
step = "mine.step"
[parts.front-arms.holes.stop]
at = [3, 50, 4]
into = "down"
screw = "M3"
"""


def test_arms_drawn_once_for_the_left_are_mirrored_to_the_right(tmp_path):
    """An arm with a nose to the front and a hole off its middle: both come out on the other side, still in front."""
    arm = b.Pos(0, 40, 2) * b.Box(12, 40, 4) + b.Pos(9, 55, 2) * b.Box(8, 6, 4) - b.Pos(3, 50, 2) * b.Cylinder(1.75, 9)
    b.export_step(arm, tmp_path / "mine.step")
    (tmp_path / "build.toml").write_text(ARMS, encoding="utf-8")
    parts = made_parts(made_again(tmp_path)).parts
    left, right = (parts[f"front-arm-{hand}"].measured for hand in ("left", "right"))

    assert left.low_mm == pytest.approx((-6, 20, 0), abs=1e-6)
    assert right.low_mm == pytest.approx((-6, -60, 0), abs=1e-6)
    assert right.volume_mm3 == pytest.approx(left.volume_mm3)
    assert right.centre_mm == pytest.approx([left.centre_mm[0], -left.centre_mm[1], left.centre_mm[2]])
    assert (right.valid, right.watertight) == (True, True)
    assert [found.off_mm for part in (left, right) for found in part.holes] == pytest.approx([0.0, 0.0], abs=1e-6)
    assert parts["front-arm-right"].holes[0].centre_mm == pytest.approx((3, -50, 4))
