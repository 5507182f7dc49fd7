"""`[radio.channels]`: which control moves which receiver output, and how far."""

from __future__ import annotations

from typing import Annotated, Literal

from coachwork.build.entries import Ask, Count, Note, Pulse, Ratio
from coachwork.build.section import Section
from coachwork.quantity import Source

_CHOSEN = Source.CHOSEN  # settings of a transmitter are typed in, not measured


class Mix(Section):
    """A second control that moves the channel too; the table's name is the control's."""

    share: Annotated[
        Ratio,
        Ask(how="how much of this control is added, such as 30 %", sign="any", usual=(-1, 1), source=_CHOSEN),
    ] = Ratio()


class Channel(Section):
    """One channel: what moves it, and what its output does without a signal."""

    number: Annotated[Count, Ask(how="the receiver output's number", usual=(1, 18), source=Source.COUNTING)] = Count()
    control: Annotated[str, Note("the control that moves it")] = ""
    reverse: Annotated[bool, Note("whether the transmitter's reverse is set for it")] = False
    low_end: Annotated[
        Ratio,
        Ask(
            how="end point on the control's low side; left out: 100 %",
            sign="not negative",
            usual=(0.2, 1.5),
            source=_CHOSEN,
        ),
    ] = Ratio()
    high_end: Annotated[
        Ratio,
        Ask(
            how="end point on the control's high side; left out: 100 %",
            sign="not negative",
            usual=(0.2, 1.5),
            source=_CHOSEN,
        ),
    ] = Ratio()
    sub_trim: Annotated[
        Pulse,
        Ask(how="shift of the middle; left out: none", sign="any", usual=(-150, 150), source=_CHOSEN),
    ] = Pulse()
    rate: Annotated[
        Ratio, Ask(how="share of the control's travel that counts; left out: all", usual=(0.1, 1), source=_CHOSEN)
    ] = Ratio()
    expo: Annotated[
        Ratio,
        Ask(
            how="softer about the middle (positive) or sharper (negative); left out: straight",
            sign="any",
            usual=(-1, 1),
            source=_CHOSEN,
        ),
    ] = Ratio()
    full_throw: Annotated[
        Pulse,
        Ask(
            how="what an end point of 100 % adds to the middle's pulse; makers differ, from 400 to 512 us; "
            "left out: 500 us",
            usual=(300, 600),
            source=_CHOSEN,
        ),
    ] = Pulse()
    failsafe: Annotated[
        Literal["hold", "off", "preset"],
        Note("what the output does when the signal is lost: hold the last pulse, send none, or send a set one"),
    ] = "hold"
    failsafe_pulse: Annotated[
        Pulse, Ask(how="the pulse it sends then, where it is set", usual=(900, 2100), source=_CHOSEN)
    ] = Pulse()
    mixes: dict[str, Mix] = {}
