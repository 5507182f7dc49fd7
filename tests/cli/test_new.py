"""`coachwork new`: questions at a terminal, a file to fill in elsewhere, and nothing ever lost."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

from coachwork.build import read
from coachwork.build.blank_file import blank_file
from coachwork.build.starters import FIRST_FIVE
from coachwork.cli import main
from coachwork.cli.new import QUESTIONS


@pytest.fixture
def at_a_terminal(monkeypatch, tiny):
    """Run the command with prepared answers; an exception among them is raised in place of an answer."""

    def run(place: Path, answers: Iterable[str | BaseException]) -> int:
        waiting = iter(answers)

        def answer(_: str) -> str:
            given = next(waiting, "")
            if isinstance(given, BaseException):
                raise given
            return given

        monkeypatch.setattr("builtins.input", answer)
        for stream in (sys.stdin, sys.stdout):
            monkeypatch.setattr(stream, "isatty", lambda: True)
        monkeypatch.setenv("NO_COLOR", "1")
        return main(["new", str(place)], plan=tiny.plan())

    return run


def test_without_a_terminal_it_writes_the_file_to_fill_in(tmp_path, capsys):
    assert main(["new", str(tmp_path / "van")]) == 0
    assert (tmp_path / "van" / "build.toml").read_text("utf-8") == blank_file()
    assert "ready to fill in" in capsys.readouterr().out


def test_it_never_writes_over_a_build(tmp_path, capsys):
    (tmp_path / "build.toml").write_text("mine")
    for options in ([], ["--blank"]):
        assert main(["new", str(tmp_path), *options]) == 2
        assert "is there already and was left as it is" in capsys.readouterr().err
    assert (tmp_path / "build.toml").read_text() == "mine"


def test_answers_stand_where_the_file_waits_for_them(tmp_path, at_a_terminal, capsys):
    answers = ["Post van", "1:10", "", "1660", "~ 240", "6 1/2 in", "257"]
    assert at_a_terminal(tmp_path, answers) == 0

    build = read(tmp_path)
    assert build.name == "Post van"
    assert build.entry("shell.width").samples() == pytest.approx(165.1)
    assert not build.entry("prototype.wheelbase").known
    assert len(build.text.splitlines()) == len(blank_file().splitlines())
    out = " ".join(capsys.readouterr().out.split())
    assert "6 answers written" in out
    assert "Measure next" in out
    assert "shell.length" in out


def test_a_bad_answer_is_explained_and_asked_again(tmp_path, at_a_terminal, capsys):
    assert at_a_terminal(tmp_path, ["", "1:ten", "", "2,400", "35 g", "2400"]) == 0

    out = " ".join(capsys.readouterr().out.split())
    assert "ten does not start with a readable number" in out
    assert "2,400 can be 2400 or 2.400" in out
    assert "35 g is a mass" in out
    build = read(tmp_path)
    assert not build.entry("build.scale").known
    assert build.entry("prototype.wheelbase").samples() == 2400


def test_an_odd_answer_can_be_kept_or_typed_again(tmp_path, at_a_terminal, capsys):
    at_a_terminal(tmp_path, ["", "1:100", "1:10"])
    assert "is unusual: most are" in capsys.readouterr().out
    assert read(tmp_path).entry("build.scale").samples() == pytest.approx(0.1)

    at_a_terminal(tmp_path / "odd", ["", "1:100", ""])
    assert read(tmp_path / "odd").entry("build.scale").samples() == pytest.approx(0.01)


@pytest.mark.parametrize(("end", "status"), [(KeyboardInterrupt(), 130), (EOFError(), 0)])
def test_stopping_in_the_middle_keeps_what_was_answered(tmp_path, at_a_terminal, capsys, end, status):
    assert at_a_terminal(tmp_path, ["Post van", "1:10", end]) == status

    assert read(tmp_path).name == "Post van"
    assert read(tmp_path).entry("build.scale").known
    assert "2 answers written" in capsys.readouterr().out


def test_an_odd_answer_is_kept_when_stopped_while_asked_about_it(tmp_path, at_a_terminal):
    at_a_terminal(tmp_path, ["Post van", "1:100", KeyboardInterrupt()])
    assert read(tmp_path).entry("build.scale").known


@pytest.mark.parametrize("answers", [[], [KeyboardInterrupt()], ["", EOFError()]])
def test_no_answer_writes_no_file(tmp_path, at_a_terminal, capsys, answers):
    at_a_terminal(tmp_path / "van", answers)

    assert not (tmp_path / "van").exists()
    assert "Nothing was answered and nothing written" in " ".join(capsys.readouterr().out.split())


def test_every_first_number_is_a_key_of_the_file(tmp_path, at_a_terminal):
    answers = ["Post van", "1:10", "2400", "1660", "240", "166", "257"]
    assert len(answers) == len(QUESTIONS)
    at_a_terminal(tmp_path, answers)

    build = read(tmp_path)
    assert all(build.entry(key).known for key in QUESTIONS if key != "build.name")


def test_the_five_numbers_of_the_measuring_guide_are_asked_for():
    guide = (Path(__file__).parents[2] / "docs" / "measure-your-first-build.md").read_text("utf-8")
    table = guide.partition("## First: five numbers")[2].partition("##")[0]

    assert tuple(re.findall(r"^\| `([a-z.-]+)`", table, re.MULTILINE)) == FIRST_FIVE
    assert ("build.name", "build.scale", *FIRST_FIVE) == QUESTIONS


def test_back_returns_to_the_question_before_and_enter_keeps_what_stood_there(tmp_path, at_a_terminal, capsys):
    answers = ["Post van", "1:12", "back", "1:10", "2400", "BACK", "", "1660", "back", "back", "", "1670"]
    assert at_a_terminal(tmp_path, answers) == 0

    build = read(tmp_path)
    assert build.entry("build.scale").samples() == pytest.approx(0.1)
    assert build.entry("prototype.wheelbase").samples() == 2400
    assert build.entry("prototype.width").samples() == 1670
    assert "back returns to the one before" in " ".join(capsys.readouterr().out.split())


def test_back_from_an_objection_and_from_the_first_question(tmp_path, at_a_terminal):
    assert at_a_terminal(tmp_path, ["back", "Post van", "1:ten", "back", "Mail van", "1:10"]) == 0
    assert read(tmp_path).name == "Mail van"
    assert read(tmp_path).entry("build.scale").known


def test_a_stopped_interview_is_resumed_with_what_is_left(tmp_path, at_a_terminal, capsys):
    at_a_terminal(tmp_path, ["Post van", "1:10", "", KeyboardInterrupt()])
    assert f"coachwork new {tmp_path} goes on with the questions that are left" in " ".join(
        capsys.readouterr().out.split()
    )
    file = tmp_path / "build.toml"
    file.write_text(file.read_text("utf-8") + "# mine\n", encoding="utf-8")

    assert at_a_terminal(tmp_path, ["2400", "1660", "240", "166", "257"]) == 0
    build = read(tmp_path)
    assert (build.name, build.text.endswith("# mine\n")) == ("Post van", True)
    assert all(build.entry(key).known for key in FIRST_FIVE)
    out = " ".join(capsys.readouterr().out.split())
    assert "is there already; 5 questions are left" in out

    assert at_a_terminal(tmp_path, ["never asked"]) == 2
    assert "left as it is" in capsys.readouterr().err


def test_each_answer_is_in_the_file_before_the_next_is_asked_for(tmp_path, at_a_terminal):
    """A terminal that is closed, or a machine that stops, takes nothing along."""

    class Pulled(BaseException):
        """The plug."""

    with pytest.raises(Pulled):
        at_a_terminal(tmp_path, ["Post van", "1:10", Pulled()])
    assert read(tmp_path).entry("build.scale").known


def test_an_edit_made_meanwhile_stays(tmp_path, at_a_terminal, monkeypatch):
    """The builder has the file open in an editor beside the questions, and saves it there."""
    file = tmp_path / "build.toml"

    class Saving(str):
        def strip(self, *_: object) -> str:
            file.write_text(file.read_text("utf-8").replace('# note = "?"', 'note = "mine"'), encoding="utf-8")
            return "1:10"

    assert at_a_terminal(tmp_path, ["Post van", Saving(), "2400"]) == 0
    build = read(tmp_path)
    assert 'note = "mine"' in build.text
    assert build.entry("build.scale").known
    assert build.entry("prototype.wheelbase").known


@pytest.mark.parametrize(
    ("name", "like"), [("1/10", "scale"), ("1:10", "scale"), ("272 mm", "number"), ("410", "number")]
)
def test_a_name_that_looks_like_another_answer_is_doubted(tmp_path, at_a_terminal, capsys, name, like):
    at_a_terminal(tmp_path, [name, "Post van"])
    assert f"looks like a {like}" in capsys.readouterr().out
    assert read(tmp_path).name == "Post van"

    at_a_terminal(tmp_path / "kept", [name, ""])
    assert read(tmp_path / "kept").name == name


@pytest.mark.parametrize("name", ["Post van", "1960s van", "Unit 7", "No. 5"])
def test_a_name_with_digits_in_it_is_a_name(tmp_path, at_a_terminal, capsys, name):
    at_a_terminal(tmp_path, [name])
    assert "looks like" not in capsys.readouterr().out


def piped(place: Path, text: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "coachwork", "new", str(place)], input=text, capture_output=True, encoding="utf-8",
        env={**os.environ, "LC_ALL": "C.UTF-8", "COLUMNS": "80"}, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    return " ".join(done.stdout.split())


def test_answers_through_a_pipe_are_taken_and_lines_too_many_are_told(tmp_path):
    out = piped(tmp_path, "Post van\n1:10\n2400\n\n2,4,0\n166\n257\n66\n67\n")

    build = read(tmp_path)
    assert (build.name, build.entry("running-gear.wheelbase").known) == ("Post van", True)
    assert not build.entry("shell.wheelbase").known
    assert "shell.wheelbase: 2,4,0 looks like a list" in out
    assert "5 answers written" in out
    assert "2 lines were not read: only 7 are asked for" in out


def test_an_empty_pipe_gets_the_file_to_fill_in(tmp_path):
    assert "ready to fill in" in piped(tmp_path, "")
    assert (tmp_path / "build.toml").read_text("utf-8") == blank_file()


def hear_sigint() -> None:
    """A shell's background job, such as a CI run, ignores Ctrl-C and hands that down to all it starts."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_a_real_terminal_and_a_real_ctrl_c(tmp_path):
    """The same through a pseudo-terminal, as the builder has it: typed answers, then Ctrl-C."""
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "coachwork", "new", str(tmp_path)], stdin=theirs, stdout=theirs, stderr=theirs,
        env={**os.environ, "TERM": "xterm", "LC_ALL": "C.UTF-8"}, start_new_session=True,
        preexec_fn=hear_sigint,
    )  # fmt: skip
    os.close(theirs)
    seen = ""

    def until(words: str) -> None:
        nonlocal seen
        while words not in seen:
            assert select.select([ours], [], [], 60)[0], f"waited for {words!r} behind {seen!r}"
            seen += os.read(ours, 4096).decode("utf-8", "replace")

    try:
        until("build.name = ")
        os.write(ours, b"Post van\n")
        until("build.scale = ")
        os.write(ours, b"1:10\n")
        until("prototype.wheelbase = ")
        while not select.select([ours], [], [], 0.5)[0]:  # between prompt and wait Python takes no signal: press again
            process.send_signal(signal.SIGINT)
        until("Stopped.")
    finally:
        if "Stopped." not in seen:
            process.kill()
        status = process.wait(60)
        os.close(ours)

    assert status == 130
    assert "Traceback" not in seen
    assert read(tmp_path).name == "Post van"
