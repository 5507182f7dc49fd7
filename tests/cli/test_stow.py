"""`coachwork stow`: places found, drawn and written in, all else left alone; clashes told."""

import shutil
import xml.etree.ElementTree as ElementTree

import pytest

from coachwork.build import read
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.cli import main
from coachwork.plan import Plan
from coachwork.studies.parts import is_missing

SVG = "{http://www.w3.org/2000/svg}"
SMALL = """# My van; every comment and every space of mine stays.
[decks.main]
height = 3
thickness = 2
outline.a = { x = 0,  y = -25 }   # rear right
outline.b = { x = 90, y = -25 }
outline.c = { x = 90, y = 25 }
outline.d = { x = 0,  y = 25 }

[boxes.receiver]
length = 40
width = 24
height = 15
mass = 14
exits.rail = { face = "front", room = 5 }

[boxes.buzzer]
length = 16
width = 12
height = 10
mass = 6
held-by = "tray"
exits.wire = { face = "rear", room = 0 }
leads.wire = { to = "receiver", length = 90 }

[boxes.servo]
length = 20
width = 12
height = 22
mass = 40
[places.servo]
on = "main"
x = 78
y = -17
keep = true
"""


@pytest.fixture
def small(tmp_path):
    (tmp_path / "build.toml").write_text(SMALL, encoding="utf-8")
    return tmp_path


def test_it_finds_places_draws_them_and_leaves_the_file_alone(small, capsys):
    assert main(["stow", str(small)]) == 0

    told = capsys.readouterr().out
    assert "proven best" in told or "% of the best" in told, "the gap is always shown"
    assert "Nothing was written" in told
    assert (small / "build.toml").read_text(encoding="utf-8") == SMALL
    root = ElementTree.parse(small / "stowage" / "main.svg").getroot()
    assert root.get("width", "").endswith("mm")
    view = [float(number) for number in root.get("viewBox", "").split()]
    assert float(root.get("width", "")[:-2]) == pytest.approx(view[2]), "at 1:1"
    words = [text.text for text in root.iter(f"{SVG}text")]
    for name in ("receiver", "buzzer", "servo"):
        assert words.count(name) >= 3, "in plan, elevation and table"
    assert len(list(root.iter(f"{SVG}circle"))) >= 4, "two exits, two holes of the tray"


def test_accepted_places_are_spliced_in_and_hold(small, capsys):
    assert main(["stow", str(small), "--accept"]) == 0

    text = (small / "build.toml").read_text(encoding="utf-8")
    assert text.startswith(SMALL.rstrip("\n")), "every character of the builder's stays"
    build = read(small)
    assert set(build[BoxPlaces].each) == {"receiver", "buzzer", "servo"}
    answer = Plan().run(build, only=["stowage"])["stowage"]
    assert not is_missing(answer.result.fit)
    assert answer.result.fit.broken == ()
    for finding in answer.findings:
        assert finding.value is not None, finding.id


def test_what_clashes_is_told_with_what_would_do(small, capsys):
    shorter = SMALL.replace("length = 40\nwidth = 24", "length = 86\nwidth = 24")
    (small / "build.toml").write_text(shorter, encoding="utf-8")

    assert main(["stow", str(small)]) == 1

    told = " ".join(capsys.readouterr().out.split())
    assert "There is no place for everything" in told
    assert "mm" in told
    assert "receiver" in told


def test_only_a_named_box_moves_and_a_wrong_name_is_refused(small, capsys):
    assert main(["stow", str(small), "--move", "reciever"]) == 2
    assert "did you mean receiver" in capsys.readouterr().err


def test_the_finished_van_is_stowed_within_five_per_cent(examples, tmp_path, capsys):
    """In the default effort; the demo's builder has only to accept it."""
    van = shutil.copytree(examples / "as-finished", tmp_path / "van")

    assert main(["stow", str(van), "--to", str(tmp_path)]) == 0

    told = capsys.readouterr().out
    share = 0.0 if "proven best" in told else float(told.split("within ")[1].split(" %")[0])
    assert share < 5.0
    assert (tmp_path / "main.svg").is_file()


def test_the_van_as_found_has_no_place_for_its_pack(examples, tmp_path, capsys):
    """The planted conflict, and the number that cures it."""
    van = shutil.copytree(examples / "as-found", tmp_path / "van")

    assert main(["stow", str(van), "--to", str(tmp_path)]) == 1

    told = " ".join(capsys.readouterr().out.split())
    assert "the space of mid post stays free" in told
    assert "the pack comes out downwards" in told
    assert "move mid post 11 mm to the right" in told
