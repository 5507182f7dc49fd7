"""Small radios, written as a builder would, and what each wish of theirs comes to."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import read_text
from coachwork.build.sections.radio import Radio
from coachwork.studies.radio.from_table import read_setup
from coachwork.studies.radio.judge import judged

QUIET_RECEIVER = '[radio.receiver]\nnoise = "0 us"\n'


def radio_of(text: str, wish: str = "") -> Radio:
    """The table of a build's text, noiseless unless the text says otherwise."""
    head = "" if "[radio.receiver]" in text else QUIET_RECEIVER
    tail = f'\n[radio.wishes]\nw = "{wish}"\n' if wish else ""
    return read_text(head + text + tail, Path("build.toml"))[Radio]


@pytest.fixture
def setup_of():
    """A text's plain numbers."""
    return lambda text: read_setup(radio_of(text), 0).setup


@pytest.fixture
def judge():
    """What a wish comes to on a text's radio."""

    def answer(text: str, wish: str, **options):
        radio = radio_of(text, wish)
        return judged(read_setup(radio, 0).setup, radio.wished()["w"], **options)

    return answer
