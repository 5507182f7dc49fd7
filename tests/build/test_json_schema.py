"""The schema for editors accepts what the reader accepts and marks the commonest slips."""

from __future__ import annotations

import tomllib
from pathlib import Path

import jsonschema
import pytest

from coachwork.build import read
from coachwork.build.blank_file import blank_file
from coachwork.build.json_schema import build_schema

VALIDATOR = jsonschema.Draft202012Validator(build_schema())


def valid(text: str) -> bool:
    return VALIDATOR.is_valid(tomllib.loads(text))


def test_it_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(build_schema())


def test_it_accepts_the_examples(examples: Path):
    files = list(examples.glob("*/build.toml"))
    assert len(files) >= 2
    for file in files:
        assert list(VALIDATOR.iter_errors(tomllib.loads(file.read_text("utf-8")))) == [], file
        assert read(file)


@pytest.mark.parametrize(
    "text",
    [
        blank_file(),
        '[shell]\nlength = "10 1/2 in"\nwidth = 166',
        '[running-gear.front]\nhub-face = [1, "?", -3]\nwheel = { inset = -3 }\nkind = "two-arm"',
        "[running-gear.front.hub-face]\nx = 1",
        '[details."rain gutter"]\nalong = "length"\nshell = 3',
        "[running-gear.front.links.panhard]\naxle = [1, 2, 3]",
        "[candidates.first]\nwheelbase = 257",
        "[changes]\nbelt-teeth = 96\nstretch = -12.5",
    ],
)
def test_it_accepts_what_is_right(text: str):
    assert valid(text)


@pytest.mark.parametrize(
    "text",
    [
        "[shel]\nlength = 1",
        "[shell]\nlenght = 1",
        "[shell]\nlength = -1",
        "[shell]\nlength = true",
        "[running-gear.front]\nhub-face = [1, 2]",
        '[running-gear.front]\nkind = "three-arm"',
        '[details."rain gutter"]\nshell = 3',
        "[changes]\nbelt-teeth = 96.5",
        "[build]\nname = 3",
    ],
)
def test_it_marks_what_is_wrong(text: str):
    assert not valid(text)


def test_every_key_says_how_to_take_it():
    how = VALIDATOR.schema["properties"]["shell"]["properties"]["length"]["description"]
    assert how == "Foremost to rearmost point of the body, bumpers included. A bare number is in mm."
