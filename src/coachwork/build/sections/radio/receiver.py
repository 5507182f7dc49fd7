"""`[radio.receiver]`: the receiver and what feeds it."""

from __future__ import annotations

from typing import Annotated

from coachwork.build.entries import Ask, Count, Current, Pulse
from coachwork.build.section import Section
from coachwork.quantity import Source


class Receiver(Section):
    """The receiver's outputs, its noise and its supply."""

    outputs: Annotated[Count, Ask(how="how many outputs it has", usual=(2, 18), source=Source.COUNTING)] = Count()
    noise: Annotated[
        Pulse,
        Ask(how="how far a pulse jitters to either side while nothing is touched", sign="not negative", usual=(0, 20),
            guess="4 ± 2 us"),
    ] = Pulse()  # fmt: skip
    current: Annotated[
        Current,
        Ask(how="what the receiver itself draws, by multimeter in its supply's plus lead, nothing else plugged in",
            usual=(0.005, 0.5), guess="60 ± 40 mA"),
    ] = Current()  # fmt: skip
    supply_limit: Annotated[
        Current,
        Ask(how="amperes that the regulator which feeds receiver and accessories gives all the time, from its label, "
            "or from the controller's leaflet where it is built in (BEC)",
            source=Source.LABEL, usual=(0.5, 30), guess="3.0 ± 1.5 A"),
    ] = Current()  # fmt: skip
