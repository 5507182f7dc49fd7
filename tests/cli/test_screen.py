"""Text for people: widths, colours, letters."""

from __future__ import annotations

import io

import pytest

from coachwork.cli.screen import NARROWEST, WIDEST, Screen


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def screen(stream: io.StringIO | None = None, **environment: str) -> Screen:
    return Screen.for_people(stream or Terminal(), {"LANG": "C.UTF-8", **environment})


def said(screen: Screen, *args: object, **kwargs: object) -> str:
    screen.say(*args, **kwargs)
    assert isinstance(screen.stream, io.StringIO)
    return screen.stream.getvalue()


@pytest.mark.parametrize(("columns", "width"), [("20", NARROWEST), ("77", 77), ("300", WIDEST)])
def test_lines_fit_the_terminal_within_reason(monkeypatch, columns, width):
    monkeypatch.setenv("COLUMNS", columns)
    lines = said(screen(), "a word " * 60).splitlines()

    assert width - 8 <= max(map(len, lines)) <= width


def test_the_second_line_begins_under_the_first_ones_words():
    lines = said(screen(), "word " * 40, mark="FAILS", indent=2, tone="bad").splitlines()
    assert lines[1].startswith(" " * 8 + "word")


def test_a_word_longer_than_the_line_stays_whole():
    path = "/somewhere/" + "x" * 150
    assert path in said(screen(), f"it is in {path} now").splitlines()


@pytest.mark.parametrize("text", ["267.0 mm", "± 0.30 mm", "5 %", "-3 deg"])
def test_a_number_is_never_parted_from_its_unit(text):
    for before in range(60, 100):
        found = said(screen(), f"{'x' * before} {text} and more words")
        assert text in found
        assert "\xa0" not in found


def test_colour_only_adds(monkeypatch):
    plain = said(screen(NO_COLOR="1"), "words", mark="FAILS", tone="bad")
    toned = said(screen(), "words", mark="FAILS", tone="bad")

    assert plain == "FAILS words\n"
    assert toned == "\x1b[1;31mFAILS\x1b[0m words\n"


@pytest.mark.parametrize("environment", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_no_colour_where_none_is_wanted(environment):
    assert "\x1b" not in said(screen(**environment), "words", tone="strong")


def test_no_colour_into_a_pipe():
    stream = io.StringIO()
    assert "\x1b" not in said(Screen.for_people(stream, {"LANG": "C.UTF-8"}), "words", tone="strong")


def test_an_empty_no_color_does_not_count():
    """no-color.org: "when present and not an empty string"."""
    assert "\x1b" in said(screen(NO_COLOR=""), "words", tone="strong")


@pytest.mark.parametrize("environment", [{"LC_ALL": "C"}, {"LC_ALL": "POSIX", "LANG": "C.UTF-8"}, {"LANG": ""}])
def test_an_ascii_locale_gets_ascii(environment):
    found = said(screen(**environment), "267 ± 0.3 mm at 5° → “Prüfling” № 2")
    assert found == '267 +/- 0.3 mm at 5 deg -> "Prufling" No 2\n'


def test_lc_all_goes_before_lang():
    assert "±" in said(screen(LC_ALL="de_DE.UTF-8", LANG="C"), "±")


def test_a_stream_that_cannot_encode_gets_what_it_can():
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding="ascii")
    Screen.for_people(stream, {"LANG": "C.UTF-8"}).raw("± Prüfling \udcfc")
    stream.flush()
    assert raw.getvalue().startswith(b"+/- Prufling")


def test_bytes_of_a_file_name_and_control_characters_do_no_harm():
    found = said(screen(), "van \udcfc \x1b[2J\x07")
    assert "\x1b" not in found
    assert found.encode("utf-8")
