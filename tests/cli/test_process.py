"""The program as it is called: status, streams, signals, pipes, locales, and what it loads."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from coachwork.cli import main

COACHWORK = [sys.executable, "-m", "coachwork"]


def run(*arguments: object, check: int | None = None, **environment: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [*COACHWORK, *map(str, arguments)], capture_output=True, text=True, encoding="utf-8", timeout=120,
        env={**os.environ, "COLUMNS": "80", "LC_ALL": "C.UTF-8", **environment}, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stderr
    if check is not None:
        assert done.returncode == check, done.stderr
    return done


@pytest.fixture
def inside(monkeypatch, capsys) -> Callable[..., tuple[str, str]]:
    """The same without a process of its own, where only the words count: (standard output, standard error)."""

    def told(*arguments: str, check: int, **environment: str) -> tuple[str, str]:
        for name, value in environment.items():
            monkeypatch.setenv(name, value)
        try:
            status = main(list(arguments))
        except SystemExit as end:
            status = end.code
        assert status == check
        out, err = capsys.readouterr()
        return out, err

    return told


@pytest.fixture
def five_numbers(tmp_path: Path) -> Path:
    """The least that a builder may begin with."""
    (tmp_path / "build.toml").write_text(
        '[build]\nscale = "1:10"\n[shell]\nlength = 410\nwheelbase = 240\n[prototype]\nwheelbase = 2400\n'
        "[running-gear]\nwheelbase = 257\n"
    )
    return tmp_path


def test_alone_it_says_what_to_do_first():
    out = run(check=0).stdout
    assert "coachwork demo" in out
    assert "coachwork new my-van" in out


def test_version_and_help(inside):
    from coachwork import __version__

    assert run("--version", check=0).stdout == f"coachwork {__version__}\n"
    told = run("--help", check=0).stdout
    assert told == inside("--help", check=0)[0]
    for command in ("new", "check", "enter", "measure", "plot", "demo", "schema"):
        assert command in told
        assert "usage: coachwork " + command in inside(command, "--help", check=0)[0]


@pytest.mark.parametrize("columns", [50, 60, 80, 100])
@pytest.mark.parametrize("command", [(), ("new",), ("enter",), ("rehearse",)])
def test_help_keeps_within_the_terminal(inside, columns, command):
    out, _ = inside(*command, "--help", check=0, COLUMNS=str(columns))
    assert [line for line in out.splitlines() if len(line) > columns] == []
    assert len({line.index("coachwork check") for line in out.splitlines() if "coachwork check" in line}) <= 1


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["chek"], "chek: there is no command of this name; did you mean check?\n"),
        (
            ["xyzzy"],
            "xyzzy: there is no command of this name; "
            "there are new, open, check, enter, measure, plot, trim, stow, make, strength, papers, rehearse, card, "
            "drive, log, why, demo and schema\n",
        ),
        (["check", "--colour"], "unrecognized arguments: --colour"),
        (["enter", "here"], "the following arguments are required: KEY, VALUE"),
        (["schema", "shell"], "invalid choice: 'shell'"),
        (["--wrong"], "unrecognized arguments: --wrong"),
    ],
)
def test_what_cannot_be_understood_is_status_2_with_a_word_on_it(inside, arguments, told):
    out, err = inside(*arguments, check=2)
    assert told in err
    assert out == ""


def test_what_cannot_be_understood_is_told_so_by_the_process_too(inside):
    done = run("chek", check=2)
    assert (done.stdout, done.stderr) == inside("chek", check=2)


def test_five_numbers_are_enough_for_an_answer(five_numbers):
    out = run("check", five_numbers).stdout
    assert "holds" in out
    assert "Measure next" in out


def test_json_is_the_same_bytes_in_every_locale(five_numbers):
    forms = {run("check", five_numbers, "--json", LC_ALL=locale).stdout for locale in ("C", "C.UTF-8")}
    assert len(forms) == 1


@pytest.mark.parametrize(
    "environment", [{"LC_ALL": "C"}, {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}]
)
def test_an_ascii_locale_gets_ascii(five_numbers, environment):
    file = five_numbers / "build.toml"
    file.write_text(file.read_text().replace("[build]", '[build]\nname = "Größe ⅓ № 1"'), encoding="utf-8")

    done = run("check", five_numbers, **environment)

    assert done.stdout.isascii()
    assert done.stdout.startswith("Gro?e 1?3 No 1\n")
    assert "+/-" in run("check", five_numbers, "--all", **environment).stdout


def test_a_reader_that_has_seen_enough_is_no_error(five_numbers):
    with subprocess.Popen([*COACHWORK, "schema", "build"], stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(60) in (0, 141)


def hear_sigint() -> None:
    """A shell's background job, such as a CI run, ignores Ctrl-C and hands that down to all it starts."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_ctrl_c_is_one_line_and_130(tmp_path):
    """Sent while the program waits for its build file, which here takes a minute to read."""
    script = "import coachwork.cli as c, coachwork.cli.check as k, time; k.read = lambda _: time.sleep(60); "
    script += "print('ready', flush=True); raise SystemExit(c.main(['check']))"
    with subprocess.Popen(
        [sys.executable, "-c", script], stdout=subprocess.PIPE, stderr=subprocess.PIPE, preexec_fn=hear_sigint
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"ready\n"
        time.sleep(1.0)  # not a measurement: from the word to the wait
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert (out, err) == (b"", b"\nStopped.\n")
    assert process.returncode == 130


def a_radio_too_large_to_look_at(wishes: int) -> str:
    """Ten cycling lamps, each on a switch of its own; each wish is about nine of them."""
    text = "[radio.controls]\n" + "".join(f's{i} = {{ kind = "three-position" }}\n' for i in range(10))
    text += "[radio.channels]\n" + "".join(f'c{i} = {{ number = {i + 1}, control = "s{i}" }}\n' for i in range(10))
    for i in range(10):
        text += (
            f'[radio.devices.d{i}]\nkind = "cycling"\nchannel = "c{i}"\nswitches-at = 1700\nmodes = "off, low, high"\n'
        )
    nine = [[f"d{i} off" for i in range(10) if i != left] for left in range(wishes)]
    return text + "[radio.wishes]\n" + "".join(f'w{i} = "always {" or ".join(off)}"\n' for i, off in enumerate(nine))


def test_ctrl_c_stops_a_long_exploration_that_has_told_how_far_it_is(tmp_path):
    """Sent as soon as the terminal shows states; the ten explorations together would take much longer than one."""
    (tmp_path / "build.toml").write_text(a_radio_too_large_to_look_at(10))
    ours, theirs = os.openpty()
    with subprocess.Popen(
        [*COACHWORK, "check", tmp_path], stdout=subprocess.PIPE, stderr=theirs, preexec_fn=hear_sigint
    ) as process:
        os.close(theirs)
        seen = ""
        while "actions deep" not in seen:
            seen += os.read(ours, 4096).decode()
        process.send_signal(signal.SIGINT)
        out, _ = process.communicate(timeout=60)
    while not seen.endswith("Stopped.\r\n"):
        seen += os.read(ours, 4096).decode()
    os.close(ours)
    assert "computing radio" in seen
    assert out == b""
    assert process.returncode == 130


def test_a_bad_file_is_status_2_and_goes_to_stderr(five_numbers):
    (five_numbers / "build.toml").write_bytes(b"\xff\xfe\x00")
    for command in (["check"], ["check", "--json"], ["plot"]):
        done = run(command[0], five_numbers, *command[1:], check=2)
        assert done.stdout == ""
        assert "this is not UTF-8 text" in done.stderr
