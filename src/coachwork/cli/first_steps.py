"""`coachwork` alone: what to do first."""

from __future__ import annotations

import argparse

from coachwork.cli.screen import Screen
from coachwork.plan import Plan


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Print the page."""
    from coachwork.build import FILE_NAME

    screen.say("Coachwork: a scale hard body on running gear from a donor. Will it fit, move, pull and obey?")
    screen.gap()
    steps = (
        ("coachwork demo", "Look at an example first: a harbour mail van as found, with its faults, and as finished."),
        ("coachwork new my-van", "Start a build. A handful of calliper readings is enough."),
        ("coachwork check my-van", "What fails and what to do about it; what is worth measuring next."),
        ("coachwork open my-van", "The same on a page of the browser, the vehicle drawn, every number to edit."),
        ("coachwork make my-van", "The parts as files to print, and the papers that go to the bench with them."),
    )
    for command, what in steps:
        screen.say(command, indent=2, tone="strong")
        screen.say(what, indent=4)
    screen.gap()
    screen.say(
        f"All numbers live in one text file, {FILE_NAME}, that explains itself. coachwork --help lists the rest."
    )
    return 0
