"""The channel card on paper, for the lid of the transmitter's case."""

from __future__ import annotations

from coachwork.build.sections.radio import Radio
from coachwork.papers import cautions
from coachwork.papers.channel_card import Card, channel_card
from coachwork.papers.channel_card import Table as CardTable
from coachwork.papers.sheet import Block, Caution, Gap, Sheet, Table, Words
from coachwork.papers.subject import Subject
from coachwork.studies.radio.from_table import read_setup

# Shares of the page for each table's columns, by what stands in them.
_WIDTHS = {
    "output": 1.7, "control": 2.0, "pulses": 3.2, "set in the transmitter": 2.2, "signal lost": 2.2,
    "what hangs on it": 5.2, "device": 2.0, "power from": 2.0, "at power-up": 1.4, "power off and on": 2.4,
}  # fmt: skip


def channel_card_sheet(of: Subject) -> Sheet:
    """The card that `coachwork card` prints, set in type."""
    blocks: list[Block] = []
    if of.build[Radio].devices:
        card = card_of(of)
        blocks += [_table(table) for table in card.tables]
        blocks += [Words(note) for note in card.notes[:-1]]  # the last is about safety, and framed
        blocks += [Caution(card.notes[-1])]
    else:
        blocks.append(
            Gap(
                "There is no radio in this build yet.",
                "Name its controls, channels and devices under [radio] in the build file; docs/radio.md shows how.",
            )
        )
        blocks.append(Caution(cautions.FAST))
    return Sheet(
        name="channel-card", title=f"Channel card: {of.name}",
        about="Which control sends what, what it does, and what happens at power-up and without a signal.",
        blocks=tuple(blocks), landscape=True,
    )  # fmt: skip


def card_of(of: Subject) -> Card:
    """The card's plain tables. Devices that lack a number are named in its notes."""
    radio = read_setup(of.build[Radio], 0)
    return channel_card(of.name, radio.setup, tuple(radio.lacking))


def _table(table: CardTable) -> Table:
    widths = tuple(_WIDTHS.get(head, 2.0) for head in table.heads)
    return Table(title=table.title, heads=table.heads, rows=table.rows, widths=widths)
