"""A deck whose outline a chassis file tells: the study gets it, or is told why not, and goes on with all else."""

from pathlib import Path

import pytest
import trimesh

from coachwork.build import Build, read, read_text
from coachwork.errors import BuildRefused
from coachwork.plan import Plan
from coachwork.scans.deck_rim import DeckRim
from coachwork.studies.parts import Blocked, Missing, is_missing

BUILD = """\
[decks.main]
height = 3
outline-from = "chassis.stl"

[boxes.receiver]
length = 36
width = 24
height = 15
exits.rail = { face = "front", room = 0 }
[boxes.buzzer]
length = 16
width = 12
height = 10
exits.wire = { face = "rear", room = 0 }
leads.wire = { to = "receiver", length = 90 }
[places]
receiver = { on = "main", x = 20, y = 0 }
buzzer = { on = "main", x = 60, y = 0 }
"""


def plate(path: Path, length: float = 100.0, width: float = 60.0) -> None:
    """From x = 0 on, upper face at z = 3."""
    box = trimesh.creation.box((length, width, 2))
    box.apply_translation((length / 2, 0, 2))
    box.export(path)


@pytest.fixture
def build(tmp_path: Path):
    plate(tmp_path / "chassis.stl")

    def made(**changes: str) -> Build:
        text = BUILD
        for old, new in changes.items():
            assert old in text
            text = text.replace(old, new)
        return read_text(text, tmp_path / "build.toml")

    return made


def stowage(build: Build, plan: Plan | None = None):
    return (plan or Plan()).run(build, only=["stowage"])["stowage"].result


def test_the_rim_comes_from_the_file_and_boxes_are_judged_by_it(build):
    result = stowage(build())
    rim = result.tables.rims["main"]

    assert isinstance(rim, DeckRim)
    assert sorted(map(tuple, rim.corners.tolist())) == [(0, -30), (0, 30), (100, -30), (100, 30)]
    air = result.air["receiver"]
    assert not is_missing(air)
    assert float(air.least_mm[0]) == pytest.approx(20 - 18)  # to the rear edge
    assert air.to == "the rim of main"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        pytest.param({"chassis.stl": "other.stl"}, "decks.main.outline-from: there is no file other.stl", id="no file"),
        pytest.param({"chassis.stl": "build.txt"}, "a mesh file is one of", id="no kind of mesh"),
        pytest.param({"chassis.stl": "cut.stl"}, "cut off", id="cut off"),
        pytest.param({"height = 3": "height = 30"}, "no flat face within 0.5 mm of the deck's height", id="no deck"),
    ],
)
def test_a_file_that_cannot_be_had_blocks_in_words_and_all_else_goes_on(build, tmp_path, changes, words):
    (tmp_path / "build.txt").write_text("no mesh", encoding="utf-8")
    (tmp_path / "cut.stl").write_bytes((tmp_path / "chassis.stl").read_bytes()[:-60])
    result = stowage(build(**changes))

    air, lead = result.air["receiver"], result.leads["buzzer.wire"]
    assert isinstance(air, Blocked)
    assert words in air.why
    assert isinstance(result.fit, Blocked) or not is_missing(result.fit)
    assert not is_missing(lead), "a lead needs no rim"
    assert lead.along_rim_mm is None


def test_a_height_not_measured_is_named(build):
    rim = stowage(build(**{"height = 3\n": ""})).tables.rims["main"]

    assert isinstance(rim, Missing)
    assert rim.keys == ("decks.main.height",)


def test_it_runs_again_when_the_content_or_the_height_changes_and_only_then(build, tmp_path):
    plan = Plan()
    first = stowage(build(), plan)
    (tmp_path / "chassis.stl").touch()  # another time, the same content
    assert stowage(build(), plan) is first

    plate(tmp_path / "chassis.stl", length=110)
    longer = stowage(build(), plan)
    assert longer.tables.rims["main"].corners[:, 0].max() == pytest.approx(110)
    off = stowage(build(**{"height = 3": "height = 3.6"}), plan)
    assert isinstance(off.tables.rims["main"], Blocked)


def test_an_outline_told_twice_is_refused(tmp_path):
    corners = "".join(f"outline.{n} = {{ x = {x}, y = {y} }}\n" for n, x, y in (("a", 0, 0), ("b", 9, 0), ("c", 0, 9)))
    (tmp_path / "build.toml").write_text(BUILD.replace("height = 3\n", f"height = 3\n{corners}"), encoding="utf-8")

    with pytest.raises(BuildRefused, match="leave out one"):
        read(tmp_path)


def test_a_deck_without_such_a_key_has_no_rim_and_reads_no_file(build):
    typed = "outline.a = { x = 0, y = -30 }\noutline.b = { x = 100, y = -30 }\noutline.c = { x = 50, y = 30 }"
    assert stowage(build(**{'outline-from = "chassis.stl"': typed})).tables.rims == {}
