"""Builds to print: both demonstration builds, one of five numbers, one of sixty boxes and wires."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from coachwork.build import read, read_text
from coachwork.confidence import Report, examine
from coachwork.papers.binder import papers_of
from coachwork.papers.subject import Subject

sys.path.insert(0, str(Path(__file__).parent))  # for pdf_reader

VAN = Path(__file__).parents[2] / "examples" / "harbour-mail-van"

FIVE = """\
[build]
name = "Five numbers"
[prototype]
wheelbase = 2720
width = 1740
[shell]
wheelbase = 272.1
width = 182.9
[running-gear]
wheelbase = 257.0
"""


def sixty() -> str:
    """A build of sixty boxes on one deck, sixty devices on ten outputs, and a lead to each."""
    lines = [
        "[build]",
        'name = "Sixty boxes and wires, one of which has quite a long name of its own"',
        'scale = "1:10"',
        "[pack]",
        "cells = 3",
        'capacity = "5000 mAh"',
        "discharge-rating = 25",
        "voltage = 12.4",
        "[controller]",
        "most-cells = 4",
        "[regulators.separate]",
        'kind = "switching"',
        'fed-by = "pack"',
        'current-limit = "10 A"',
        "[decks.main]",
        "height = 4.0",
        "thickness = 3.0",
        "[decks.main.outline]",
        "a = { x = 40, y = 120 }",
        "b = { x = 40, y = -120 }",
        "c = { x = -420, y = -120 }",
        "d = { x = -420, y = 120 }",
    ]
    names = [f"lamp-{n}" if n % 7 else f"remarkably-long-name-of-an-accessory-number-{n}" for n in range(60)]
    for n, name in enumerate(names):
        lines += [
            f"[boxes.{name}]",
            f"length = {20 + n % 5 * 6}",
            f"width = {12 + n % 3 * 5}",
            "height = 12",
            f'held-by = "{"tray" if n % 4 == 0 else "tape"}"',
            f"[places.{name}]",
            'on = "main"',
            f"x = {10 - 44 * (n % 10)}",
            f"y = {95 - 38 * (n // 10)}",
        ]
    lines += ["[radio.receiver]", "outputs = 10", "[radio.controls]", "dial = { kind = 'dial' }"]
    lines += ["[radio.channels]", *(f'out-{n} = {{ number = {n + 1}, control = "dial" }}' for n in range(10))]
    for n, name in enumerate(names[:30]):
        lines += [
            f"[radio.devices.{name}]",
            'kind = "switched"',
            f'channel = "out-{n % 10}"',
            'switches-at = "1600 us"',
            'hysteresis = "20 us"',
            'current-quiet = "1 mA"',
            f'current-on = "{20 + n} mA"',
        ]
    lines += ["[wiring.loads]", *(f'{name} = {{ peak = "{30 + n} mA" }}' for n, name in enumerate(names) if n >= 30)]
    lines += ["[wiring.leads]", 'feed = { begins = "separate", ends = "receiver", area = 1.0, length = 200 }']
    for n, name in enumerate(names):
        feeder = "receiver" if n % 3 else "pack" if n % 2 else "board"
        extra = ['plug = "servo plug"', 'colour = "red, brown"'] if n % 2 else ['colour = "a very pale blue, black"']
        lines.append(
            f'lead-{n} = {{ begins = "{feeder}", ends = "{name}", area = 0.25, length = {100 + 7 * n}, '
            f"{', '.join(extra)} }}"
        )
    lines.append('board-lead = { begins = "receiver", ends = "board", area = 0.5, length = 90 }')
    return "\n".join(lines) + "\n"


def _report(text: str, folder: str) -> Report:
    return examine(read_text(text, Path(folder) / "build.toml"))


@pytest.fixture(scope="session")
def as_found() -> Subject:
    """The demonstration van with its mistakes."""
    return Subject(report=examine(read(VAN / "as-found")))


@pytest.fixture(scope="session")
def as_finished() -> Subject:
    """The demonstration van, mended."""
    return Subject(report=examine(read(VAN / "as-finished")))


@pytest.fixture(scope="session")
def five() -> Subject:
    """What a builder has after the first evening."""
    return Subject(report=_report(FIVE, "five"))


@pytest.fixture(scope="session")
def many() -> Subject:
    """Sixty of everything."""
    return Subject(report=_report(sixty(), "sixty"))


@pytest.fixture(scope="session")
def printed(request: pytest.FixtureRequest) -> Callable[[str, str], dict[str, bytes]]:
    """A paper's files by build, one of the above, and paper: printed once for all that is asked of it."""

    @cache
    def files(build: str, name: str) -> dict[str, bytes]:
        subject: Subject = request.getfixturevalue(build)
        return papers_of(subject.report, only=[name])

    return files


@pytest.fixture(scope="session")
def subject_of() -> Callable[[str], Subject]:
    """A build file's text as a subject."""
    return lambda text: Subject(report=_report(text, "made-up"))
