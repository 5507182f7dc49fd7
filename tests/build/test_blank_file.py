"""The file that `coachwork new --blank` writes: all keys, nothing known, and every line right once it is filled in."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from coachwork.build import read_text
from coachwork.build.blank_file import WIDTH, blank_file
from coachwork.build.fields import NAME, file_tables

FIELDS = [field for outer in file_tables() for table in outer.walk() for field in table.fields]


def test_it_holds_nothing():
    build = read_text(blank_file(), Path("b"))

    assert [entry.key for entry in build.entries() if entry.measured is not None] == []
    assert build.doubts == ()


def test_every_key_is_there_with_what_to_measure():
    text = " ".join(line.lstrip("# ") for line in blank_file().splitlines())
    for field in FIELDS:
        assert f" {field.name} = " in text, field.key
        if field.ask is not None:
            assert field.ask.how[1:] in text, field.key


def test_taking_the_hash_off_every_line_gives_a_file_that_reads():
    """Question marks stay question marks; choices and texts get one that is allowed."""
    lines = []
    for line in blank_file().splitlines():
        bare = re.sub(r"^#( {3})?( ?)(?=\[?[a-z-]+(\.[A-Za-z-]+)*(\]| = ))", "", line)
        choice = re.match(r'([a-z-]+) = "\?"  # ("[^"]+"|true|text)', bare)
        lines.append(f"{choice[1]} = {choice[2].replace('text', repr('a'))}" if choice else bare)
    text = "\n".join(lines)

    raw = tomllib.loads(text)
    assert "NAME" in raw["details"]
    assert "NAME" in raw["running-gear"]["front"]["links"]
    build = read_text(text, Path("b"))
    keys = {entry.key for entry in build.entries()}
    for field in FIELDS:
        if field.holds in ("number", "point"):
            key = field.key.replace(NAME, "NAME")
            assert key in keys or f"{key}.x" in keys


def test_lines_fit_a_narrow_editor_and_nothing_trails():
    for line in blank_file().splitlines():
        assert len(line) <= WIDTH + 30, line  # a key, its unit and its stand-in stay on one line
        assert line == line.rstrip()


def test_most_useful_first():
    text = blank_file()
    places = [text.index(f"\n[{table}]") for table in ("build", "shell", "running-gear", "changes", "measuring")]
    assert places == sorted(places)
