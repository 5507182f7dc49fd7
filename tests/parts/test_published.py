"""What `coachwork make` leaves for the builder: files, drawings at 1:1, the list; read back and measured."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import trimesh
from pypdf import PdfReader

from coachwork.cli import main
from coachwork.parts.drawing import sheet
from coachwork.studies.solids import PartSolid

BUILD = """
[build]
name = "Trial"
[making]
process = "powder-bed nylon"
room-x = 200
room-y = 200
room-z = 200
rate-per-cm3 = 0.5
rate-per-part = 5
most-price = 50
[parts]
make = "jigs"
[parts.chassis.front-bolts]
a = { x = 10, y = 12 }
b = { x = -10, y = -12 }
[parts.jigs]
drill = 2.5
plate = 3
bush = 6
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("trial")
    (folder / "build.toml").write_text(BUILD, encoding="utf-8")
    assert main(["make", str(folder), "--pictures"]) == 0
    return folder / "parts"


def test_every_kind_of_file_is_there(folder):
    names = {path.name for path in folder.iterdir()}

    kinds = (".step", ".3mf", ".stl", ".svg", ".dxf", ".png")
    assert names == {f"jig-front-bolts{kind}" for kind in kinds} | {"assembly.step", "drawings.pdf", "parts.csv"}


def test_the_papers_for_the_bench_are_written_with_the_parts(folder):
    text = "".join(page.extract_text() for page in PdfReader(folder.parent / "papers" / "build-order.pdf").pages)

    assert "the drilling jigs" in " ".join(text.split())


def test_the_list_is_what_a_print_shop_asks_for(folder):
    (row,) = csv.DictReader((folder / "parts.csv").read_text(encoding="utf-8").splitlines())

    assert row["part"] == "jig-front-bolts"
    assert row["pieces"] == "1"
    # holes 20 and 24 apart, a margin of drill + 5 all round; plate and bush one over the other
    assert (row["x mm"], row["y mm"], row["z mm"]) == ("35.0", "39.0", "9.0")


def test_the_dxf_is_in_millimetres_at_1_to_1_with_holes_in_their_places(folder):
    document = ezdxf.readfile(folder / "jig-front-bolts.dxf")
    circles = document.modelspace().query("CIRCLE")

    assert document.units == ezdxf.units.MM
    middles = np.array([(c.dxf.center.x, c.dxf.center.y) for c in circles])
    assert len(middles) == 2
    assert np.abs(middles[0] - middles[1]) == pytest.approx((20.0, 24.0), abs=1e-6)
    assert {c.dxf.radius for c in circles} == {1.25}


def test_the_svg_prints_at_1_to_1_and_lists_the_holes(folder):
    text = (folder / "jig-front-bolts.svg").read_text(encoding="utf-8")

    width, height = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', text).groups()
    assert f'viewBox="0 0 {width} {height}"' in text
    assert "bushes.1:  10.00, 12.00, 9.00;  2.50 dia, through" in text


def test_the_picture_shows_the_part_on_white(folder):
    from matplotlib import image

    pixels = image.imread(folder / "jig-front-bolts.png")[..., :3]

    white = (pixels > 0.99).all(axis=-1)
    assert 0.2 < white.mean() < 0.9
    assert white[0].all()
    assert white[:, 0].all()
    assert (pixels < 0.5).any(), "lines"


def test_what_cannot_be_made_is_told_and_is_status_1(tmp_path, capsys):
    (tmp_path / "build.toml").write_text(BUILD + "[parts.battery-door]\n", encoding="utf-8")
    text = (tmp_path / "build.toml").read_text(encoding="utf-8").replace('"jigs"', '"jigs, battery-door"')
    (tmp_path / "build.toml").write_text(text, encoding="utf-8")

    assert main(["make", str(tmp_path), "--no-papers"]) == 1
    assert not (tmp_path / "papers").exists()
    assert "battery-door: parts.chassis.deck" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize(
    ("text", "options", "words"),
    [
        ("", [], 'no parts are asked for; write under [parts]: make = "chassis'),
        (BUILD, ["--part", "jig-font-bolts"], "did you mean jig-front-bolts?"),
        (BUILD.replace('"jigs"', '"jig"'), [], "did you mean jigs?"),
    ],
)
def test_what_is_asked_wrongly_is_status_2_with_a_word_on_it(tmp_path, capsys, text, options, words):
    (tmp_path / "build.toml").write_text(text, encoding="utf-8")

    assert main(["make", str(tmp_path), *options]) == 2
    assert words in capsys.readouterr().err


def test_views_stand_as_first_angle_projection_has_them(tmp_path):
    """ISO 5456-2, first angle: from above stands below the first view, from its left on its right. A stud 6 mm high on
    the rear right corner of a plate tells them apart.
    """
    plate = trimesh.creation.box(bounds=[(-20, -10, 0), (20, 10, 4)])
    stud = trimesh.creation.box(bounds=[(-20, -10, 4), (-16, -6, 10)])
    trimesh.util.concatenate([plate, stud]).export(tmp_path / "plate.stl")
    part = PartSolid(name="plate", number="P-01", step="", mesh=str(tmp_path / "plate.stl"), content="", spec="",
                     process="resin", material="resin")  # fmt: skip

    drawn = sheet(part)

    names = {text: np.array([x, y]) for x, y, _, text, _ in drawn.texts}
    right, above, behind = names["from the right"], names["from above"], names["from behind"]
    assert above[0] == right[0]
    assert above[1] < right[1] - 20, "below it"
    assert behind[1] == right[1]
    assert behind[0] > right[0] + 40, "on its right"
    ends = drawn.edges.reshape(-1, 2)
    for name, lowest, stud_from in (("from the right", right, 0.0), ("from behind", behind, 16.0)):
        tall = ends[(ends[:, 1] > lowest[1] + 4 + 4.5) & (np.abs(ends[:, 0] - lowest[0] - 10) < 30)]
        assert tall[:, 0].min() - lowest[0] == pytest.approx(stud_from, abs=0.01), name
        assert np.ptp(tall[:, 0]) == pytest.approx(4.0, abs=0.01)
