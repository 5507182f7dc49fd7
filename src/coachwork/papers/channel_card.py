"""The channel card: which control, which output, which pulses, what it does, at power-up and without a signal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np

from coachwork.build.sections.radio.devices import OWN_PACK, RECEIVER
from coachwork.studies.radio.compile import compiled
from coachwork.studies.radio.events import Event
from coachwork.studies.radio.fields import SIGNAL
from coachwork.studies.radio.judge import space_of
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Channel, Control, Device, Setup
from coachwork.studies.radio.traces import DARK, mode_told

LOSS = Event("signal")
MOST_STATES = 60_000  # of what one device hangs on; a card is printed at once
SAFETY = (
    "Try the failsafe on the bench with the wheels off the ground: switch the transmitter off and see what the "
    "throttle does. Where you run it, local rules on failsafes and frequencies come first."
)


@dataclass(frozen=True)
class Table:
    """One table of the card."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Card:
    """The whole card."""

    title: str
    tables: tuple[Table, ...]
    notes: tuple[str, ...]


def channel_card(name: str, setup: Setup, left_out: tuple[str, ...] = ()) -> Card:
    """The card of a build's radio; devices that lack a number are left out and named."""
    notes = [SAFETY]
    if left_out:
        notes.insert(0, f"Not on this card, since numbers of theirs are not measured yet: {', '.join(left_out)}.")
    return Card(f"Channel card: {name}", (_channels(setup), _devices(setup)), tuple(notes))


def as_markdown(card: Card) -> str:
    """The card in Markdown (CommonMark with tables)."""
    lines = [f"# {card.title}", ""]
    for table in card.tables:
        lines += [f"## {table.title}", "", f"| {' | '.join(table.heads)} |", f"|{'---|' * len(table.heads)}"]
        lines += [f"| {' | '.join(_cell(cell) for cell in row)} |" for row in table.rows]
        lines.append("")
    return "\n".join([*lines, *(f"{note}\n" for note in card.notes)])


def as_text(card: Card, width: int) -> str:
    """The card for a terminal; each row is a block, for a table would not fit."""
    lines = [card.title]
    for table in card.tables:
        lines += ["", table.title]
        label = max(len(head) for head in table.heads[1:])
        for row in table.rows:
            lines += ["", f"  {row[0]}"]
            for head, cell in zip_longest(table.heads[1:], row[1:], fillvalue=""):
                if cell:
                    lead = f"    {head:<{label}}  "
                    behind = " " * len(lead)
                    lines += textwrap.wrap(
                        cell, width, initial_indent=lead, subsequent_indent=behind, break_on_hyphens=False
                    )
    for note in card.notes:
        lines += ["", *textwrap.wrap(note, width)]
    return "\n".join(lines)


def _cell(text: str) -> str:
    return text.replace("|", "\\|") or " "


def _channels(setup: Setup) -> Table:
    heads = ("output", "control", "pulses", "set in the transmitter", "signal lost", "what hangs on it")
    numbered = sorted(setup.channels, key=lambda one: (one.number is None, one.number or 0))
    return Table("Channels", heads, tuple(_channel(setup, channel) for channel in numbered))


def _channel(setup: Setup, channel: Channel) -> tuple[str, ...]:
    controls = [setup.control(name) for name in channel.controls]
    number = "?" if channel.number is None else str(channel.number)
    return (
        f"{number} {channel.name}",
        " with ".join(f"{one.name} ({one.kind})" for one in controls) or "none",
        "; ".join(_pulses(channel, controls)),
        ", ".join(_settings(channel)) or "nothing",
        _failsafe(channel),
        "; ".join(_does(one) for one in setup.devices if one.channel == channel.name) or "nothing",
    )


def _pulses(channel: Channel, controls: list[Control]) -> Iterator[str]:
    """At the positions of its own control, the mixed ones at rest."""
    if not controls:
        yield f"{float(pulse_us(channel, {})[0]):.0f} us always"
        return
    own, *others = controls
    for position in own.fixed:
        at = {own.name: position, **{one.name: one.rest for one in others}}
        yield f"{own.told(position)} {float(pulse_us(channel, at)[0]):.0f} us"


def _settings(channel: Channel) -> Iterator[str]:
    if channel.reverse:
        yield "reversed"
    if (channel.low_end, channel.high_end) != (1.0, 1.0):
        yield f"end points {100 * channel.low_end:.0f} and {100 * channel.high_end:.0f} %"
    if channel.sub_trim_us:
        yield f"sub-trim {channel.sub_trim_us:+z.0f} us"
    if channel.rate != 1:
        yield f"rate {100 * channel.rate:.0f} %"
    if channel.expo:
        yield f"expo {100 * channel.expo:.0f} %"
    for name, share in channel.mixes:
        yield f"{name} mixed in by {100 * share:.0f} %"


def _failsafe(channel: Channel) -> str:
    if channel.failsafe == "preset":
        return f"{channel.failsafe_us:.0f} us"
    return "holds the last pulse" if channel.failsafe == "hold" else "no pulse"


def _does(device: Device) -> str:
    """What a device makes of the pulse, in a phrase."""
    low, high = device.cuts_us or (0.0, 0.0)
    quiet = device.modes[device.quiet]
    side, at = ("below", low) if device.below else ("above", high)
    match device.kind:
        case "proportional":
            return (
                f"{device.name}: {device.modes[0]} below {low:.0f}, {device.modes[2]} above {high:.0f} us, else {quiet}"
            )
        case "switched":
            return f"{device.name}: {device.modes[1]} {side} {at:.0f} us, else {quiet}"
        case "cycling":
            long = (
                "" if device.hold_s is None else f"; {device.modes[device.held_mode]} when held for {device.hold_s:g} s"
            )
            return f"{device.name}: each press {side} {at:.0f} us goes on through {', '.join(device.modes)}{long}"
        case "held":
            return (
                f"{device.name}: {side} {at:.0f} us for {device.hold_s:g} s goes on through {', '.join(device.modes)}"
            )
        case "plain":
            return device.name


def _devices(setup: Setup) -> Table:
    """What each does at power-up with all controls at rest, when the signal is lost, and when power comes back.

    Each by what decides its own states: those of all devices together may be more than can be counted.
    """
    rows = []
    for device in setup.devices:
        product = compiled(setup.part([device.name]))
        at_rest = mode_told(product, device.name, int(product.start_columns[device.name][0]))
        lost = _without_signal(setup, device, at_rest)
        rows.append((device.name, _power(setup, device), at_rest, lost, _power_back(device)))
    return Table("Devices", ("device", "power from", "at power-up", "signal lost", "power off and on"), tuple(rows))


def _power(setup: Setup, device: Device) -> str:
    if not device.powered_when:
        return "the receiver" if device.powered_by == RECEIVER else device.powered_by
    fed = next((one.modes for one in setup.devices if one.name == device.powered_by), None)
    names = setup.control(device.powered_by).positions if fed is None else fed
    return f"{device.powered_by}, when {' or '.join(names[i] for i in device.powered_when)}"


def _without_signal(setup: Setup, device: Device, at_rest: str) -> str:
    """What the loss of the signal does to a device, from every state in which that can happen."""
    space = space_of(setup.part([device.name]), most_states=MOST_STATES)
    product, columns = space.product, space.columns
    if LOSS not in product.events:
        return "the same"
    if not space.explored.complete:
        return f"{at_rest} at rest; too many states to look at all"
    (after,) = product.after(columns, LOSS)
    table, there = product.tables[device.name], columns[SIGNAL] == 0
    shown = np.where(table.lit, table.mode, -1)  # one number for what it shows, dark included
    was, comes = shown[columns[device.name]][there], shown[after[device.name]][there]
    if (was == comes).all():
        return "goes on with what it did"
    modes = [DARK if which < 0 else device.modes[which] for which in np.unique(comes)]
    modes.sort(key=lambda mode: mode == DARK)
    return " or ".join(modes)


def _power_back(device: Device) -> str:
    """What the receiver's main switch does to it."""
    if device.powered_by == OWN_PACK:
        return "goes on, from its own pack"
    if device.kind in ("cycling", "held"):
        return "its mode is kept" if device.keeps_memory else f"wakes up {device.modes[device.starts]}"
    if device.kind == "plain":
        return f"{device.modes[1]} whenever it is fed"
    return "obeys its pulse once that was at neutral" if device.waits_for_neutral else "obeys its pulse"
