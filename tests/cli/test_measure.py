"""`coachwork measure` as a builder uses it: first look, acceptance, what is kept, inches, landmarks, drawings."""

from __future__ import annotations

import io
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from coachwork.build import read
from coachwork.build.sections.outline import Shell
from coachwork.cli import main

BUILD = """\
# My van.
[build]
scale = "1:10"

[prototype]
length = 4480
wheelbase = 2720
front-overhang = 820
rear-overhang = 940

[shell]
length = 447.2   # measured twice
sill-height = 31
"""


@pytest.fixture
def folder(tmp_path: Path, coarse_stl: Path) -> Path:
    """A build that names no mesh yet, and the scan beside it."""
    (tmp_path / "build.toml").write_text(BUILD, encoding="utf-8")
    shutil.copy(coarse_stl, tmp_path / "scan.stl")
    return tmp_path


def measure(capsys, *arguments: object, status: int = 0) -> str:
    assert main(["measure", *map(str, arguments)]) == status
    out, err = capsys.readouterr()
    if status < 2:
        assert err == ""
        return out
    assert out == ""
    return err


def squeezed(text: str) -> str:
    return " ".join(text.split())


def test_a_first_look_shows_the_dimensions_with_spreads_and_writes_nothing(capsys, folder):
    out = measure(capsys, folder / "scan.stl")
    assert re.search(r"length, foremost to rearmost +448\.\d+ ± 0\.\d+ mm\n", out)
    assert re.search(r"wheelbase, arch to arch +272\.\d+ ± 0\.\d+ mm\n", out)
    assert re.search(r"front left +82\.\d+ ± 0\.\d+ +3\.\d+ ± 0\.\d+ +43\.\d+ ± 0\.\d+ +2\.\d+ ± 0\.\d+\n", out)
    assert "Unit: mm (then it is about 448 mm long, and" in squeezed(out)
    assert "overhangs of 82 and 94 mm match the 82 (front) and 94 mm (rear)" in squeezed(out)
    assert '! shell.length = "448.' in out  # 1.2 mm from the builder's own
    assert 'shell.mesh = "scan.stl"' in out
    assert (folder / "build.toml").read_text(encoding="utf-8") == BUILD


def test_accepting_all_writes_what_was_blank_and_keeps_what_was_measured(capsys, folder):
    out = measure(capsys, folder / "scan.stl", "--accept")
    assert "Kept as you have it: shell.length (447.2 ± 0.1 mm by callipers)" in squeezed(out)
    assert "verdicts change" in out
    text = (folder / "build.toml").read_text(encoding="utf-8")
    assert text.startswith(BUILD)  # every character that was there
    shell = read(folder)[Shell]
    assert (shell.mesh, shell.mesh_units) == ("scan.stl", "mm")
    assert shell.wheelbase.mm == pytest.approx(272.1, abs=0.4)
    assert shell.height.mm == pytest.approx(31 + 182.6, abs=0.5)
    assert shell.front.from_nose_left.mm == pytest.approx(82.1, abs=0.7)
    assert shell.rear.top.mm == pytest.approx(46.6, abs=0.5)
    assert shell.wheelbase.measured.source.value == "from scan"


def test_accepting_again_changes_nothing(capsys, folder):
    measure(capsys, folder / "scan.stl", "--accept")
    before = (folder / "build.toml").read_bytes()
    out = measure(capsys, folder, "--accept")  # the build names its mesh now
    assert "Nothing was written." in out
    assert "stands there" in out
    assert (folder / "build.toml").read_bytes() == before


def test_one_entry_can_be_accepted_alone(capsys, folder):
    measure(capsys, folder / "scan.stl", "--accept", "shell.width", "--accept", "shell.front.lip, shell.mesh")
    text = (folder / "build.toml").read_text(encoding="utf-8")
    added = set(text.splitlines()) - set(BUILD.splitlines())
    assert {line.partition(" ")[0] for line in added} == {"width", "mesh", "lip", "[shell.front]"}


def test_an_entry_of_the_builder_s_own_is_replaced_when_told_to(capsys, folder):
    measure(capsys, folder / "scan.stl", "--accept", "shell.length", "--replace")
    text = (folder / "build.toml").read_text(encoding="utf-8")
    assert re.search(r'^length = "448\.\d+ ± 0\.\d+ mm from scan"   # measured twice$', text, re.MULTILINE)


@pytest.mark.parametrize(
    ("answers", "replaced"),
    [(["y"], {"length"}), (["n"], set()), ([""], set()), (["all"], {"length"}), (["none"], set()), ([], set())],
)
def test_at_a_terminal_it_asks_before_it_writes_over_a_number(capsys, folder, monkeypatch, answers, replaced):
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(sys, "stdin", Terminal("".join(f"{answer}\n" for answer in answers)))
    monkeypatch.setattr(type(sys.stdout), "isatty", lambda _: True, raising=False)
    assert main(["measure", str(folder / "scan.stl"), "--accept"]) == 0
    asked = squeezed(capsys.readouterr().out)
    assert "shell.length: you have 447.2 ± 0.1 mm by callipers, the scan says 448." in asked
    from_scan = read(folder)[Shell].length.measured.source.value == "from scan"
    assert from_scan == ("length" in replaced)


def test_a_key_that_the_scan_does_not_propose_is_named_before_anything_is_written(capsys, folder):
    with_error = measure_error(capsys, folder / "scan.stl", "--accept", "shell.lenght")
    assert "--accept shell.lenght: the scan proposes nothing of this name; did you mean shell.length?" in with_error
    assert (folder / "build.toml").read_text(encoding="utf-8") == BUILD


def measure_error(capsys, *arguments: object) -> str:
    assert main(["measure", *map(str, arguments)]) == 2
    return squeezed(capsys.readouterr().err)


def test_a_scan_in_inches_ends_as_the_same_shell(capsys, folder, make_shell):
    made = make_shell.make(step=5.0)
    make_shell.write_stl(folder / "scan.stl", made.vertices / 25.4, made.faces)
    out = measure(capsys, folder / "scan.stl", "--show-in", "in", "--accept")
    assert re.search(r"length, foremost to rearmost +17\.6\d+ ± 0\.0\d+ in\n", out)
    assert "Unit: in (then it is about 448 mm long" in squeezed(out)
    text = (folder / "build.toml").read_text(encoding="utf-8")
    assert re.search(r'^wheelbase = "10\.71\d* ± 0\.0\d+ in from scan"$', text, re.MULTILINE)
    shell = read(folder)[Shell]
    assert shell.mesh_units == "in"
    assert shell.wheelbase.mm == pytest.approx(272.1, abs=0.4)


def test_alone_it_does_not_guess_an_inch_file_and_names_the_option(capsys, tmp_path, make_shell, monkeypatch):
    monkeypatch.chdir(tmp_path)
    made = make_shell.make(step=5.0)
    make_shell.write_stl(tmp_path / "scan.stl", made.vertices / 25.4, made.faces)
    assert "it could be cm or in. Say which: --units mm" in measure_error(capsys, "scan.stl")
    out = measure(capsys, "scan.stl", "--units", "in", status=1)
    assert "Unit: in (as told)" in out


def test_without_a_build_it_says_what_it_guesses_and_where_to_write(capsys, tmp_path, coarse_stl, monkeypatch):
    monkeypatch.chdir(tmp_path)
    out = squeezed(measure(capsys, coarse_stl, status=1))
    assert "Not sure about ? Which end is the nose: a guess" in out
    assert "? Only when named: which end is the nose is a guess" in out
    assert "--build DIR" in out
    assert f'shell.mesh = "{coarse_stl.resolve().as_posix()}"' in out.replace("\n", "")
    assert "no build.toml to write to" in measure_error(capsys, coarse_stl, "--accept")


def test_what_is_doubted_is_not_written_with_the_rest(capsys, tmp_path, coarse_stl):
    (tmp_path / "build.toml").write_text("[build]\n", encoding="utf-8")
    measure(capsys, coarse_stl, "--build", tmp_path, "--accept", status=1)
    shell = read(tmp_path)[Shell]
    assert shell.length.measured is not None
    assert shell.front_overhang.measured is None
    assert shell.front.from_nose_left.measured is None


def test_a_landmark_settles_the_nose_and_goes_into_the_file_with_the_rest(capsys, tmp_path, coarse_stl, make_shell):
    (tmp_path / "build.toml").write_text("[build]\n", encoding="utf-8")
    made = make_shell.make(step=5.0)
    nose = made.vertices[0] * 0 + [row[0] * 80 + row[2] * 20 + row[3] for row in made.truth["file_from_shell"]]
    measure(capsys, coarse_stl, "--build", tmp_path, "--landmark", "nose=" + ",".join(map(str, nose)), "--accept")
    shell = read(tmp_path)[Shell]
    assert shell.landmarks.nose.mm[0] == pytest.approx(nose)
    assert shell.front_overhang.mm == pytest.approx(82.1, abs=0.7)
    again = measure(capsys, tmp_path)  # by the file alone
    assert "Not sure" not in again
    assert "landmarks: nose" in squeezed(again)


@pytest.mark.parametrize(
    ("landmark", "told"),
    [("bonnet=1,2,3", "a landmark is one of nose, tail, roof, front-left-arch"),
     ("nose=1,2", "write a point of the mesh, such as nose=12.5,0,-3"),
     ("nose=1,2,nan", "write a point of the mesh")],
)  # fmt: skip
def test_a_landmark_that_is_none_is_refused(capsys, folder, landmark, told):
    assert told in measure_error(capsys, folder / "scan.stl", "--landmark", landmark)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [(["none.stl"], "none.stl: there is no such file"), (["."], "names no mesh yet; name the file"),
     (["build.toml"], "names no mesh yet"), (["scan.txt"], "a mesh file is one of 3MF, GLB, OBJ, PLY, STEP, STL, STP"),
     (["text.stl"], "text.stl is no STL"), (["scan.stl", "--plot", "scan.jpg"], "a drawing is an .svg or a .png file"),
     (["scan.stl", "--build", "nowhere"], "no build.toml there")],
)  # fmt: skip
def test_what_cannot_be_done_is_told_in_a_sentence(capsys, folder, monkeypatch, arguments, told):
    monkeypatch.chdir(folder)
    (folder / "scan.txt").write_text("not a mesh", encoding="utf-8")
    (folder / "text.stl").write_text("not a mesh either\n" * 20, encoding="utf-8")
    assert told in measure_error(capsys, *arguments)


@pytest.mark.parametrize(("name", "begins"), [("shell.svg", b"<?xml"), ("shell.png", b"\x89PNG")])
def test_the_drawing_is_written_and_the_same_every_time(capsys, folder, name, begins):
    out = measure(capsys, folder / "scan.stl", "--plot", folder / "drawings" / name)
    assert "Drawn in" in out
    first = (folder / "drawings" / name).read_bytes()
    assert first.startswith(begins)
    measure(capsys, folder / "scan.stl", "--plot", folder / "drawings" / name)
    assert (folder / "drawings" / name).read_bytes() == first
    if name.endswith("svg"):
        for told in ("left side", "front left", "radius 43.1", "room over the deck", "length 448."):
            assert told in first.decode()


def test_how_it_sits_is_told_where_the_build_says_enough(capsys, examples, tmp_path, coarse_stl):
    shutil.copytree(examples / "as-finished", tmp_path / "van")
    out = measure(capsys, coarse_stl, "--build", tmp_path / "van")
    assert "Held by mount heights. Arch centre against wheel centre at ride height:" in squeezed(out)
    assert len(re.findall(r"(?:front|rear) (?:left|right) +\d+\.\d mm (?:ahead|behind)", out)) == 4


def test_an_edit_made_meanwhile_is_not_written_over(capsys, folder, monkeypatch):
    from coachwork.cli import accept

    examine = accept.examine

    def edited(*arguments: object, **options: object) -> object:
        (folder / "build.toml").write_text(BUILD + "width = 170\n", encoding="utf-8")
        return examine(*arguments, **options)

    monkeypatch.setattr(accept, "examine", edited)
    assert main(["measure", str(folder / "scan.stl"), "--accept"]) == 2
    assert "changed by another program" in squeezed(capsys.readouterr().err)
    assert (folder / "build.toml").read_text(encoding="utf-8") == BUILD + "width = 170\n"


def test_ctrl_c_stops_it_with_a_word_and_leaves_the_file_alone(folder):
    before = (folder / "build.toml").read_bytes()
    done = subprocess.Popen(
        [sys.executable, "-m", "coachwork", "measure", str(folder / "scan.stl"), "--accept"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "LC_ALL": "C.UTF-8"},
    )  # fmt: skip
    time.sleep(1.5)  # somewhere in loading or finding, as a builder's hand would be
    done.send_signal(signal.SIGINT)
    _, err = done.communicate(timeout=60)
    assert "Traceback" not in err
    if done.returncode == 130:  # a machine quick enough may have been done
        assert err.endswith("Stopped.\n")
        assert (folder / "build.toml").read_bytes() == before
