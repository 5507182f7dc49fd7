"""`coachwork card`: the channel card, for the lid of the transmitter's case."""

from __future__ import annotations

import argparse
from pathlib import Path

from coachwork.build import Build, read, write_whole
from coachwork.build.sections.radio import Radio
from coachwork.cli.screen import Screen
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.radio.from_table import Read, read_setup

_TO_BEGIN_WITH = """to begin with, write into it such as:

[radio.controls]
bell-button = { kind = "button" }

[radio.channels]
bell = { number = 4, control = "bell-button", failsafe = "off" }

[radio.devices.delivery-bell]
kind = "switched"
channel = "bell"
switches-at = "1700 us"

and below [radio.wishes], what you mean it to do: quiet-start = "delivery-bell off at power-up".
`coachwork new --blank DIR` writes a file that explains every key there is."""


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Print the card, or write it as Markdown."""
    from coachwork.papers.channel_card import as_markdown, as_text, channel_card

    build = read(options.place)
    radio = radio_of(build)
    card = channel_card(build.name, radio.setup, tuple(radio.lacking))
    target: Path | None = options.markdown
    if target is None:
        screen.raw(as_text(card, screen.width))
    else:
        write_whole(target, as_markdown(card))
        screen.say(f"The channel card is in {target}.")
    return 0


def radio_of(build: Build) -> Read:
    """The build's radio as plain numbers. Raises CoachworkError where there is none."""
    if not build[Radio].devices:
        raise CoachworkError(f"{build.path}: there is no radio in this build yet; {_TO_BEGIN_WITH}")
    return read_setup(build[Radio], 0)
