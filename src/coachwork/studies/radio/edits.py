"""All changes that could matter to some devices, and what of them cannot be tried."""

from __future__ import annotations

from collections.abc import Iterable

from coachwork.studies.radio.edit import Edit
from coachwork.studies.radio.edits_of_channels import edits_of_channel
from coachwork.studies.radio.edits_of_devices import edits_of_device
from coachwork.studies.radio.edits_of_wiring import edits_of_wiring
from coachwork.studies.radio.setup import Setup


def edits_near(setup: Setup, devices: Iterable[str], *, outputs: int | None) -> list[Edit]:
    """The changes that could matter to some devices, cheapest first.

    outputs : how many the receiver has, where that is known: one that no channel uses can take a device
    """
    part = setup.part(devices)
    found: list[Edit] = []
    for channel in part.channels:
        found += edits_of_channel(setup, channel)
    for device in part.devices:
        found += [*edits_of_device(setup, device), *edits_of_wiring(setup, device, outputs)]
    return sorted({edit.words: edit for edit in found}.values(), key=lambda edit: edit.cost)
