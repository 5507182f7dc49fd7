"""One change a builder could make to a radio, and what it costs.

Efforts are ours: 1 a setting in the transmitter's or receiver's menus; 2 a plug moved, or a setting made on a device; 3
something to solder, or a Y-lead as well; 6 another device to buy. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Literal

from coachwork.studies.radio.setup import Device, Setup

MENU, PLUG, SOLDER, BUY = 1, 2, 3, 6
NOT_KNOWN_TO_GO = 1  # more, where nobody said that the thing can be set so
OTHERS_USE_IT = 1  # more, for a control that moves something else already

Kind = Literal[
    "failsafes",
    "other controls",
    "mixes",
    "reversed channels",
    "buttons that latch",
    "names of modes",
    "start modes",
    "memories",
    "settings without a pulse",
    "what counts as a press",
    "the side and pulse of switching",
    "other outputs",
    "free outputs",
    "wiring to another device's output",
    "feeding through a switch or device, or direct",
    "another unit",
]


@dataclass(frozen=True)
class Edit:
    """One change, in words, with its effort; `made` gives the changed setup. What is cheapest is tried first."""

    kind: Kind
    words: str
    effort: int
    made: Callable[[Setup], Setup]
    more: int = 0

    @property
    def cost(self) -> int:
        """Its effort, and what speaks against it besides."""
        return self.effort + self.more

    @property
    def effort_told(self) -> str:
        """Its effort in words."""
        plug = self.kind in ("other outputs", "free outputs")
        if self.effort == MENU:
            return "a look on the bench" if self.kind == "names of modes" else "a setting in a menu"
        if self.effort == PLUG:
            return "a plug to move" if plug else "a setting on the device"
        if self.effort == SOLDER:
            return "a Y-lead" if plug else "something to solder"
        return "another unit to buy"


def on_channel(name: str, **changed: Any) -> Callable[[Setup], Setup]:
    """Changes fields of a channel."""

    def made(setup: Setup) -> Setup:
        return setup.with_channel(replace(setup.channel(name), **changed))

    return made


def on_device(name: str, **changed: Any) -> Callable[[Setup], Setup]:
    """Changes fields of a device."""

    def made(setup: Setup) -> Setup:
        return setup.with_device(replace(setup.device(name), **changed))

    return made


def drives(device: Device) -> bool:
    """Whether it steers or drives: its stick, its plug and its power stay what they are, whatever is wished."""
    return device.kind == "proportional" and not device.accessory
