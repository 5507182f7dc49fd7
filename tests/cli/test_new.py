"""`coachwork new`: questions at a terminal, a file to fill in elsewhere, and nothing ever lost."""

from __future__ import annotations

import os
import pty
import select
import signal
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

from coachwork.build import read
from coachwork.build.blank_file import blank_file
from coachwork.cli import main
from coachwork.cli.new import FIRST_NUMBERS


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
    answers = ["Post van", "1:10", "4100", "", "410", "6 1/2 in", "~ 240"]
    assert at_a_terminal(tmp_path, answers) == 0

    build = read(tmp_path)
    assert build.name == "Post van"
    assert build.entry("shell.width").samples() == pytest.approx(165.1)
    assert not build.entry("prototype.wheelbase").known
    assert len(build.text.splitlines()) == len(blank_file().splitlines())
    out = " ".join(capsys.readouterr().out.split())
    assert "6 answers written" in out
    assert "Measure next" in out
    for key in ("shell.wheelbase", "prototype.width"):
        assert key in out


def test_a_bad_answer_is_explained_and_asked_again(tmp_path, at_a_terminal, capsys):
    assert at_a_terminal(tmp_path, ["", "1:ten", "", "4,100", "35 g", "4100"]) == 0

    out = " ".join(capsys.readouterr().out.split())
    assert "ten does not start with a readable number" in out
    assert "4,100 can be 4100 or 4.100" in out
    assert "35 g is a mass" in out
    build = read(tmp_path)
    assert not build.entry("build.scale").known
    assert build.entry("prototype.length").samples() == 4100


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
    answers = ["Post van", "1:10", "4100", "2400", "410", "166", "240", "257", "66"]
    assert len(answers) == len(FIRST_NUMBERS)
    at_a_terminal(tmp_path, answers)

    build = read(tmp_path)
    assert all(build.entry(key).known for key in FIRST_NUMBERS if key != "build.name")


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
        until("prototype.length = ")
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
