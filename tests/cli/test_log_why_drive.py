"""`coachwork log`, `why` and `drive`, as a builder by the roadside meets them."""

import shutil
import sys

import pytest

from coachwork.build.run_log import add_run, choices_of, how_to, read_log, run_keys
from coachwork.cli import main
from coachwork.errors import BuildRefused, EditedElsewhere

STOP = ("minutes=22 min", "steers=no", "lights=off", "motor=dead", "volts-after=8.15")


@pytest.fixture
def van(examples, tmp_path):
    shutil.copytree(examples / "as-found", tmp_path / "van")
    return tmp_path / "van"


def told(capsys, *arguments, status=0):
    assert main([str(one) for one in arguments]) == status
    out = capsys.readouterr()
    return " ".join((out.out + out.err).split())


def test_a_stop_is_logged_and_explained(van, capsys):
    assert "5 lines added" in told(capsys, "log", van, *STOP)
    out = told(capsys, "why", van)

    assert "Most likely the regulator got too hot and shut off" in out or "does not separate" in out
    assert "lights off" in out
    assert "Next: " in out
    assert "local rules and its leaflet come first" in out


def test_the_log_only_grows_and_keeps_comments(van, capsys):
    path = van / "log.toml"
    path.write_bytes(b"# mine\r\n[[run]]\r\nnote = 'by hand'   # kept\r\n")
    before = path.read_bytes()
    told(capsys, "log", van, *STOP)
    told(capsys, "log", van, "minutes=3 min", 'note=a "quoted" word')

    after = path.read_bytes()
    assert after.startswith(before)
    assert b"\n" not in after.replace(b"\r\n", b"")
    runs = read_log(path)
    assert [run.note for run in runs] == ["by hand", "", 'a "quoted" word']
    assert runs[1].minutes.s[0] == 22 * 60


@pytest.mark.parametrize("read", ["22", "22 min", "1320 s", "22 ± 1"])
def test_a_bare_number_of_minutes_is_minutes(van, capsys, read):
    """As the sheet beside the track has it, "min" printed behind its box."""
    told(capsys, "log", van, f"minutes={read}")

    assert read_log(van / "log.toml")[0].minutes.s[0] == 22 * 60


def test_what_cannot_be_read_is_told_and_nothing_is_written(van, capsys):
    out = told(capsys, "log", van, "steers=sideways", status=2)
    assert '"yes", "no", "twitches"' in out
    assert not (van / "log.toml").exists()
    assert "did you mean steers" in told(capsys, "log", van, "steer=no", status=2)
    assert "KEY=VALUE is wanted" in told(capsys, "log", van, "steers", status=2)
    assert "told twice" in told(capsys, "log", van, "steers=no", "steers=yes", status=2)


def test_a_log_spoilt_by_hand_is_told_with_its_line(van, capsys):
    (van / "log.toml").write_text("[[run]]\nminutes = '5 min'\n[[run]]\nlights = 'blue'\n", encoding="utf-8")
    assert 'line 4: run[2].lights: read "blue"' in told(capsys, "why", van, status=2)
    with pytest.raises(BuildRefused):
        add_run(van / "log.toml", {"steers": "no"})


def test_a_log_written_elsewhere_meanwhile_is_not_lost(van, monkeypatch):
    path = van / "log.toml"
    add_run(path, {"steers": "no"})
    from coachwork.build import run_log

    real = run_log._runs

    def meanwhile(text, where):
        if text.count("[[run]]") == 2:
            path.write_text("[[run]]\nnote = 'another window'\n", encoding="utf-8")
        return real(text, where)

    monkeypatch.setattr(run_log, "_runs", meanwhile)
    with pytest.raises(EditedElsewhere):
        add_run(path, {"steers": "yes"})
    assert "another window" in path.read_text(encoding="utf-8")


def test_answers_are_asked_for_and_asked_again(van, capsys, monkeypatch):
    answers = {"minutes": iter(["many", "22 min"]), "steers": iter(["no"]), "lights": iter(["off"]),
               "note": iter(['it said "click" \\ twice'])}  # fmt: skip

    def reply(prompt):
        return next(answers.get(prompt.strip().split()[0], iter([""])), "")

    monkeypatch.setattr("builtins.input", reply)
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    out = told(capsys, "log", van)
    assert "unplug the pack" in out
    (run,) = read_log(van / "log.toml")
    assert run.steers == "no"
    assert run.note == 'it said "click" \\ twice', "what a note says is nobody else's business"


def test_answers_come_through_a_pipe(van, capsys, monkeypatch):
    import io

    monkeypatch.setattr(sys, "stdin", io.StringIO("steers=no\n\nlights=off\n"))
    assert "2 lines added" in told(capsys, "log", van)


def test_without_a_log_why_says_how_to_make_one(van, capsys):
    assert "coachwork log" in told(capsys, "why", van, status=2)
    told(capsys, "log", van, "stopped=false", "minutes=30 min")
    assert "no run in the log stopped" in told(capsys, "why", van, status=2)
    assert "runs 1 to 1" in told(capsys, "why", van, "--run", 7, status=2)


def test_a_bare_build_is_answered_by_signs_alone(tmp_path, capsys):
    (tmp_path / "build.toml").write_text("[build]\nname = 'New'\n", encoding="utf-8")
    told(capsys, "log", tmp_path, "motor=spins", "heard=grinding")
    out = told(capsys, "why", tmp_path)
    assert "Only signs are weighed" in out
    assert "Most likely something between motor and ground slips" in out


def test_drives_over_the_spread_tell_how_likely_each_stop_is(van, capsys):
    out = told(capsys, "drive", van, "--samples", 40)
    assert "40 drives of 30 min" in out
    assert "the regulator shuts off for its heat" in out
    assert "Nine in ten lie between" in out
    assert "20 to 5000 are wanted" in told(capsys, "drive", van, "--samples", 3, status=2)


def test_every_key_of_a_run_says_how_to_take_it():
    for key in run_keys():
        assert len(how_to(key)) > 10
    assert choices_of("steers") == ("yes", "no", "twitches")
    assert choices_of("minutes") == ()


def test_sampling_reports_progress_and_can_be_stopped(van):
    import numpy as np

    from coachwork.build import read
    from coachwork.confidence.sampling import run_samples, sampled_view
    from coachwork.plan import Cancelled, Plan

    build, plan, seen = read(van), Plan(), []
    view = sampled_view(build, plan, "power", samples=130, rng=np.random.default_rng(0))
    assert view.columns
    for key, column in view.columns.items():
        held = build.entry(key).best
        assert held.low <= column.min()
        assert column.max() <= held.high
        assert column[0] == held.value
    with pytest.raises(Cancelled):
        run_samples(build, plan, "power", view, progress=lambda *one: seen.append(one), cancelled=lambda: len(seen) > 1)
    assert [done for _, done, _ in seen] == [0, 1]
    assert seen[0][2] == 3
