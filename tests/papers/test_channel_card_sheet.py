"""The channel card on paper is the radio study's own map."""

from __future__ import annotations

import re

import pytest

from coachwork.build.sections.radio import Radio
from coachwork.papers.channel_card_sheet import channel_card_sheet
from coachwork.papers.sheet import Caution, Gap, Table
from coachwork.papers.subject import Subject
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Setup


def tables(of: Subject) -> dict[str, Table]:
    return {block.title: block for block in channel_card_sheet(of).blocks if isinstance(block, Table)}


@pytest.mark.parametrize("build", ["as_found", "as_finished", "many"])
def test_outputs_controls_and_what_hangs_on_them(build: str, request: pytest.FixtureRequest) -> None:
    """Each row read back word by word and held against the setup that the radio study explored."""
    subject: Subject = request.getfixturevalue(build)
    setup: Setup = subject.result("radio").setup
    rows = {str(row[0]): row for row in tables(subject)["Channels"].rows}

    assert list(rows) == [f"{c.number} {c.name}" for c in sorted(setup.channels, key=lambda c: c.number or 0)]
    for channel in setup.channels:
        _, control, pulses, _, lost, hangs = rows[f"{channel.number} {channel.name}"]
        assert [part.split(" (")[0] for part in str(control).split(" with ")] == list(channel.controls)
        told = [float(number) for number in re.findall(r"(\d+) us", str(pulses))]
        own = setup.control(channel.controls[0])
        at_rest = {name: setup.control(name).rest for name in channel.controls[1:]}
        sent = [float(pulse_us(channel, {own.name: position, **at_rest})[0]) for position in own.fixed]
        assert told == pytest.approx(sent, abs=0.5)
        assert (str(lost) == "holds the last pulse") == (channel.failsafe == "hold")
        for device in setup.devices:
            assert (device.channel == channel.name) == (f"{device.name}:" in str(hangs) or device.name == hangs)


def test_every_device_of_the_build_is_on_it(as_found: Subject) -> None:
    devices = tables(as_found)["Devices"]

    assert [row[0] for row in devices.rows] == list(as_found.build[Radio].devices)
    sign = next(row for row in devices.rows if row[0] == "mail-sign")
    assert sign[2] == "lit"  # the van's mail sign comes lit from its maker and stays so at every power-up


def test_without_a_radio_it_says_so_and_still_warns(five: Subject) -> None:
    blocks = channel_card_sheet(five).blocks

    assert any(isinstance(block, Gap) for block in blocks)
    assert any(isinstance(block, Caution) for block in blocks)
