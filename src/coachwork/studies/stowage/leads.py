"""Where leads leave their boxes, where they go, and how long they are."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from coachwork.build import Numbers
from coachwork.build.entries import BLANKS, Length
from coachwork.build.sections.boxes import Box, BoxLead
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.parts import CannotBe
from coachwork.studies.stowage.turns import exit_point

MIDDLE = ""  # the exit of a box that names none


def exit_of(box: Box, name: str, own: Numbers) -> Numbers:
    """An exit from the box's middle in its own directions, (samples, 3)."""
    if name == MIDDLE:
        return np.zeros_like(own)
    exit = box.exits[name]
    return exit_point(exit.face, own, across_mm=_or_0(exit.across), up_mm=_or_0(exit.up))


def _or_0(entry: Length) -> Numbers:
    return entry.mm if entry.given else np.zeros(1)


def ends_of(name: str, lead: BoxLead, boxes: Mapping[str, Box]) -> tuple[tuple[str, str], tuple[str, str]]:
    """Box and exit at both ends of a lead. Raises CannotBe where it does not say where it goes."""
    if lead.to.strip() in BLANKS:
        raise CannotBe("it does not say where it goes")
    leaves = lead.leaves.strip()
    begins = (name, leaves if leaves not in BLANKS else _only(boxes[name]))
    to, _, exit = lead.to.strip().partition(".")
    return begins, (to, exit or _only(boxes[to]))


def _only(box: Box) -> str:
    return next(iter(box.exits)) if len(box.exits) == 1 else MIDDLE


def length_of(name: str, lead: BoxLead, wiring: Wiring) -> Numbers:
    """How long the lead is, mm. Raises NotMeasured."""
    if not lead.length.given and name in wiring.leads:
        return wiring.leads[name].length.mm
    return lead.length.mm
