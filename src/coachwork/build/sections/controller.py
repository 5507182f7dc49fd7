"""`[controller]`: the speed controller between pack and motor; a regulator built into it stands in `[regulators]`."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Count, Current, Voltage
from coachwork.build.section import Section
from coachwork.quantity import Source


class Controller(Section):
    """The speed controller: what it takes, when it stops the motor, and what the motor draws through it."""

    TABLE: ClassVar[str] = "controller"
    ORDER: ClassVar[int] = 45

    most_cells: Annotated[
        Count,
        Ask(how='cells in series it takes at most, from its label: 3 where it says "2-3S"', source=Source.LABEL,
            usual=(1, 12)),
    ] = Count()  # fmt: skip
    cut_off: Annotated[
        Voltage,
        Ask(
            how="volts of the whole pack at which it stops the motor: those for each cell in its leaflet, times the "
            "cells it is set for; 0 where it has no such protection",
            source=Source.LABEL,
            sign="not negative",
            usual=(0, 45),
        ),
    ] = Voltage()
    current_limit: Annotated[
        Current,
        Ask(how="continuous amperes on its label", source=Source.LABEL, usual=(3, 250), guess="40 ± 20 A"),
    ] = Current()
    motor_drive: Annotated[
        Current,
        Ask(
            how="what the motor draws in ordinary driving, by a wattmeter between pack and controller; left out, what "
            "the driveline study has it draw on its round, once it can",
            sign="not negative",
            usual=(0, 60),
            guess="5 ± 3 A",
        ),
    ] = Current()
    motor_start: Annotated[
        Current,
        Ask(
            how="the most the motor draws, pulling away or on a slope: the peak the wattmeter keeps; left out, what "
            "the driveline study has it draw with the trigger pulled until the tyres slip, once it can",
            sign="not negative",
            usual=(0, 250),
            guess="25 ± 12 A",
        ),
    ] = Current()
