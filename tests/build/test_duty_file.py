"""A round of driving as CSV: read as meant, and every slip told with its line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwork.build import read_text
from coachwork.build.duty_file import legs_of, read_duty
from coachwork.build.sections.duty import Duty

GOOD = "seconds, speed m/s, gradient %, loads, what\n30, 0.5, 0, usual, quay\n10, 0, , heavy,\n14, 0.6, 20\n"


def test_legs_are_read_with_what_is_left_out():
    rows, slips = legs_of(GOOD)
    assert slips == ()
    assert [(r.seconds, r.speed_m_s, r.gradient, r.loads, r.what) for r in rows] == [
        (30, 0.5, 0.0, "usual", "quay"), (10, 0.0, 0.0, "heavy", ""), (14, 0.6, 0.2, "usual", ""),
    ]  # fmt: skip


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_other_separators_and_units(mark):
    rows, slips = legs_of(f"Minutes{mark}Speed (km/h)\n0.5{mark}3.6\n\n# a comment\n1{mark}0\n")
    assert slips == ()
    assert [(r.seconds, round(r.speed_m_s, 9)) for r in rows] == [(30, 1.0), (60, 0.0)]


BAD = {
    "seconds\n5\n": "0 columns of speed",
    "seconds, speed m/s, seconds\n5, 1, 5\n": "two columns",
    "seconds, speed\n5, 1\n": 'read "speed", which is no column',
    "seconds, speed m/s\n5, fast\n": 'read "fast" under speed m/s',
    "seconds; speed m/s\n5; 0,8\n": 'read "0,8"',
    "seconds, speed m/s\n5, 0, 8\n": "3 cells under 2 columns",
    "seconds, speed m/s\n0, 1\n": "read 0 under seconds",
    "seconds, speed m/s\n-5, 1\n": "read -5 under seconds",
    "seconds, speed m/s\n5, nan\n": "read nan under speed",
    "seconds, speed m/s\n5, 99\n": "read 99 under speed",
    "seconds, speed m/s\n5\n": "nothing under speed m/s",
    "seconds, speed m/s, loads\n5, 1, loud\n": 'read "loud" under loads',
    "seconds, speed m/s\n5, 0\n": "never moves",
    "seconds, speed m/s\n": "no legs",
    "": "empty",
    "\0": "not text",
}


@pytest.mark.parametrize(("text", "read"), BAD.items(), ids=range(len(BAD)))
def test_every_slip_is_told_with_what_is_wanted(text, read):
    rows, slips = legs_of(text)
    assert rows == ()
    assert any(read in slip.read for slip in slips), slips
    assert all(slip.wanted for slip in slips)


def test_all_slips_at_once_with_their_lines():
    _, slips = legs_of("seconds, speed m/s\n5, 1\nx, 1\n5, y\n")
    assert [slip.line for slip in slips] == [3, 4]


@given(st.text(max_size=200))
def test_no_text_brings_it_down(text):
    rows, slips = legs_of(text)
    assert bool(rows) != bool(slips)


def test_a_decimal_comma_is_told_what_to_write():
    assert legs_of("seconds; speed m/s\n5; 0,8\n")[1][0].wanted == "write decimals with a point: 0.8"


def test_a_missing_file_and_a_foreign_one(tmp_path):
    assert "cannot be read" in read_duty(tmp_path / "none.csv")[1][0].read
    (tmp_path / "a.csv").write_bytes(b"\xff\xfe\x00")
    assert "not UTF-8" in read_duty(tmp_path / "a.csv")[1][0].read


def test_the_round_decides_whether_an_answer_is_reused(tmp_path):
    def settings(text):
        (tmp_path / "round.csv").write_text(text, encoding="utf-8")
        return read_text('[duty]\nfile = "round.csv"\n', tmp_path / "build.toml")[Duty].settings()

    assert settings(GOOD) == settings(GOOD)
    assert settings(GOOD) != settings(GOOD + "5, 1\n")
