"""Putting a number in touches nothing else, a crash leaves the old file, somebody else's edit is respected."""

from __future__ import annotations

import difflib
import os
import tomllib
from pathlib import Path

import pytest

from coachwork.build import read, read_text, with_entry, write, write_whole
from coachwork.build.blank_file import blank_file
from coachwork.errors import BuildRefused, CoachworkError, EditedElsewhere

TEXT = """\
# top
[build]
name = "Post van"   # ours

# what it runs on
[running-gear]
drive = "shaft"     # counted twice
[running-gear.front]
kind = "two-arm"
hub-face = [1, 2.50,   # the good callipers
            3]
wheel = { inset = 3 }  # a drawing

# the body
[shell]
length = 267
# width = "?"  # still on the mould
# height = 190 was wrong

[details."rain gutter"]
along = "length"
"""


def edit(text: str, key: str, value: str | float) -> list[str]:
    """Lines taken out (-) and put in (+)."""
    new = with_entry(text, key, value)
    return [line for line in difflib.ndiff(text.splitlines(), new.splitlines()) if line[:1] in "+-"]


@pytest.mark.parametrize(
    ("key", "value", "lines"),
    [
        pytest.param("shell.length", 268, ["- length = 267", "+ length = 268"], id="a number there is"),
        pytest.param("build.name", "1960", ['- name = "Post van"   # ours', '+ name = "1960"   # ours'], id="a text"),
        pytest.param("shell.wheelbase", "160.50", ["+ wheelbase = 160.50"], id="digits as typed"),
        pytest.param("shell.wheelbase", "160 ± 0.5", ['+ wheelbase = "160 ± 0.5"'], id="a spread in quotes"),
        pytest.param("shell.wheelbase", '6 1/4"', [r'+ wheelbase = "6 1/4\""'], id="a quote in quotes"),
        pytest.param("shell.wheelbase", "0267", ['+ wheelbase = "0267"'], id="no number of TOML's"),
        pytest.param(
            "shell.width", 166, ['- # width = "?"  # still on the mould', "+ width = 166  # still on the mould"],
            id="a line that waited as a comment",
        ),
        pytest.param("shell.height", 190, ["+ height = 190"], id="a comment of the builder's own stays"),
        pytest.param(
            "running-gear.front.hub-face.z", "~ 4", ["-             3]", '+             "~ 4"]'], id="a coordinate"
        ),
        pytest.param(
            "running-gear.front.lower-ball", "[0, ~ 9, 4.50]", ['+ lower-ball = [0, "~ 9", 4.50]'], id="a whole point"
        ),
        pytest.param(
            "running-gear.front.lower-ball.y", 9, ['+ lower-ball = ["?", 9, "?"]'], id="the first of a point"
        ),
        pytest.param(
            "running-gear.front.wheel.backspace", 7,
            ["- wheel = { inset = 3 }  # a drawing", "+ wheel = { inset = 3, backspace = 7 }  # a drawing"],
            id="between braces",
        ),
        pytest.param(
            "running-gear.rear.toe", "-1 deg", ["+ [running-gear.rear]", '+ toe = "-1 deg"', "+ "], id="a table inside"
        ),
        pytest.param("prototype.length", 4100, ["+ ", "+ [prototype]", "+ length = 4100"], id="a table at the end"),
        pytest.param(
            "details.rain gutter.shell", 31, ["+ shell = 31"], id="a name of one's own with a blank in it"
        ),
        pytest.param(
            "details.no. 2.shell", 5, ["+ ", '+ [details."no. 2"]', "+ shell = 5"], id="a name with a point in it"
        ),
        pytest.param("running-gear.front.leaf-sprung", "true", ["+ leaf-sprung = true"], id="yes or no"),
        pytest.param("running-gear.drive", "belt", ['- drive = "shaft"     # counted twice',
                                                    '+ drive = "belt"     # counted twice'], id="a choice"),
    ],
)  # fmt: skip
def test_only_the_line_of_the_key_changes(key, value, lines):
    assert edit(TEXT, key, value) == lines
    assert [line.replace("+ ", "") for line in edit(TEXT.replace("\n", "\r\n"), key, value)] == [
        line.replace("+ ", "") for line in lines
    ]


def test_a_new_table_stays_clear_of_its_neighbours_comments():
    lines = with_entry(TEXT, "running-gear.rear.toe", 1).splitlines()

    assert lines[lines.index("[running-gear.rear]") + 3] == "# the body"
    assert lines[lines.index("[shell]") - 1] == "# the body"


def test_keys_with_dots_are_gone_on_with():
    text = 'running-gear.front.kind = "two-arm"\nrunning-gear.front.hub-face = [\n1,\n2,\n3]\n[shell]\n'

    assert edit(text, "running-gear.front.toe", 1) == ["+ running-gear.front.toe = 1"]
    assert tomllib.loads(with_entry(text, "running-gear.wheelbase", 267))["running-gear"]["wheelbase"] == 267


def test_a_whole_point_goes_where_its_coordinates_stand():
    text = "[running-gear.front]\nhub-face.x = 1\nhub-face.z = 3  # from the board\n"
    new = with_entry(text, "running-gear.front.hub-face", "[0, 63.50, ?]")

    assert tomllib.loads(new)["running-gear"]["front"]["hub-face"] == {"x": 0, "y": 63.5, "z": "?"}
    assert 'hub-face.z = "?"  # from the board' in new


def test_a_coordinate_goes_into_a_point_that_is_not_measured():
    text = '[running-gear.front]\nhub-face = "?"\n'
    assert edit(text, "running-gear.front.hub-face.y", 63) == ['- hub-face = "?"', '+ hub-face = ["?", 63, "?"]']
    assert not read_text(text, Path("b")).entry("running-gear.front.hub-face.y").known


def test_windows_line_ends_stay():
    new = with_entry("[shell]\r\nlength = 1\r\n\r\n[wheels]\r\n", "shell.front.top", 3)
    assert new.count("\n") == new.count("\r\n") == 7


@pytest.mark.parametrize("key", ["shell.lenght", "shell", "shell.length.x", "nowhere.at.all", ""])
def test_a_key_of_no_build_file_is_refused(key):
    with pytest.raises(KeyError):
        with_entry(TEXT, key, 1)


def test_every_key_can_be_put_into_the_blank_file_and_read_back():
    """In the place where it waits: not a line more, not a line less. The receiver alone, a load of everybody's that
    is listed under names, waits in none: it brings its heading, and a free line before and after.
    """
    blank = blank_file()
    entries = list(read_text(blank, Path("b")).entries())
    assert len(entries) > 500
    for entry in entries[::7]:
        new = with_entry(blank, entry.key, "12 ± 0.3" if entry.KIND.bare_unit else "0.5")
        more = 3 if entry.key.startswith("wiring.loads.receiver.") else 0
        assert len(new.splitlines()) == len(blank.splitlines()) + more, entry.key
        if not entry.KIND.whole:
            assert read_text(new, Path("b")).entry(entry.key).measured is not None, entry.key


def test_what_is_put_in_comes_back_out():
    text = TEXT
    for key, value in (("shell.wheelbase", "160"), ("wheels.front.inset", "-3 mm"), ("running-gear.front.toe", "1"),
                       ("running-gear.front.links.panhard.axle.x", "-5.5"), ("shell.wheelbase", "161")):  # fmt: skip
        text = with_entry(text, key, value)

    build = read_text(text, Path("b"))
    assert build.entry("shell.wheelbase").samples() == 161
    assert build.entry("wheels.front.inset").samples() == -3
    assert build.entry("running-gear.front.links.panhard.axle.x").samples() == -5.5


def test_unreadable_bytes_of_a_shell_are_refused():
    with pytest.raises(CoachworkError, match="not readable text"):
        with_entry(TEXT, "build.name", "Pr\udcfcfling")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "build.toml"
    path.write_bytes(TEXT.encode())
    return path


def test_writing_gives_the_build_that_is_in_the_file_now(file: Path):
    build = write(read(file), with_entry(TEXT, "shell.length", 270))

    assert build.entry("shell.length").samples() == 270
    assert read(file).text == build.text


def test_a_text_with_faults_is_not_written(file: Path):
    with pytest.raises(BuildRefused):
        write(read(file), with_entry(TEXT, "shell.length", "3 g"))
    assert file.read_text("utf-8") == TEXT


def test_somebody_else_s_edit_is_not_written_over(file: Path):
    build = read(file)
    file.write_text(TEXT + "\n# mine\n", "utf-8")

    with pytest.raises(EditedElsewhere, match="nothing was written"):
        write(build, with_entry(TEXT, "shell.length", 270))
    assert file.read_text("utf-8").endswith("# mine\n")


def test_a_byte_order_mark_stays(file: Path):
    file.write_bytes(b"\xef\xbb\xbf" + TEXT.encode())
    write(read(file), with_entry(TEXT, "shell.length", 270))

    assert file.read_bytes().startswith(b"\xef\xbb\xbf# top\n")


@pytest.mark.parametrize("step", ["fsync", "replace", "chmod"])
def test_a_crash_in_the_middle_leaves_the_old_file_and_no_litter(file: Path, monkeypatch, step: str):
    def crash(*_: object) -> None:
        raise OSError("power cut")

    monkeypatch.setattr(os, step, crash)
    with pytest.raises(OSError, match="power cut"):
        write_whole(file, "half a fi")

    assert file.read_text("utf-8") == TEXT
    assert os.listdir(file.parent) == ["build.toml"]


def test_the_new_file_is_whole_before_it_takes_the_old_one_s_name(file: Path, monkeypatch):
    """The rename is what makes it atomic, so at that moment the other file must hold all of it, on disk."""
    seen = {}
    replace, fsync = os.replace, os.fsync
    monkeypatch.setattr(os, "fsync", lambda handle: (seen.setdefault("synced", True), fsync(handle)))
    monkeypatch.setattr(os, "replace", lambda a, b: (seen.update(new=Path(a).read_text(), **seen), replace(a, b)))

    write_whole(file, "all of it")

    assert seen == {"synced": True, "new": "all of it"}


def test_rights_and_links_stay(file: Path):
    file.chmod(0o640)
    link = file.with_name("link.toml")
    link.symlink_to(file)

    write_whole(link, "new")

    assert link.is_symlink()
    assert file.read_text() == "new"
    assert file.stat().st_mode & 0o777 == 0o640


def test_a_new_file_has_the_rights_of_any_new_file(tmp_path: Path):
    (tmp_path / "other").write_text("")
    write_whole(tmp_path / "folder" / "build.toml", "x")
    assert (tmp_path / "folder" / "build.toml").stat().st_mode == (tmp_path / "other").stat().st_mode
