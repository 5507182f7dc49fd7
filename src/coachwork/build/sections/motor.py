"""`[motor]`: the motor that drives the finished vehicle, as its label tells or a meter reads."""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import (
    Ask,
    Current,
    Length,
    Mass,
    MotorConstant,
    Resistance,
    Temperature,
    ThermalResistance,
)
from coachwork.build.section import Section


class Motor(Section):
    """A brushed motor, or a brushless one, which with its controller is the direct-current motor of the same numbers.

    After a hard run its can burns fingers. Lift the driven wheels off the ground before you plug the pack in, and keep
    fingers, hair and leads out of turning gears.
    """

    TABLE: ClassVar[str] = "motor"
    ORDER: ClassVar[int] = 37

    speed_per_volt: Annotated[
        MotorConstant,
        Ask(
            how="the label's rpm/V (Kv); or its no-load speed divided by its voltage; of a brushed one of 36 mm with "
            "nothing but its turns on the label about 70000 over these; without a label, run it free and divide a rev "
            "counter's reading by a voltmeter's at its terminals",
            usual=(200, 12000),
            guess="2300 ± 1200 rpm/V",
        ),
    ] = MotorConstant()
    resistance: Annotated[
        Resistance,
        Ask(
            how="terminal to terminal, cold: 1 to 2 A through the held rotor from a bench supply, millivolts over "
            "milliamperes, the middle of several rotor positions (brushless: any two of its wires). A multimeter on "
            "ohms reads its leads as well",
            usual=(0.003, 3),
            guess="0.09 ± 0.06 ohm",
        ),
    ] = Resistance()
    no_load_current: Annotated[
        Current,
        Ask(
            how="the label's, or an ammeter in one lead with the motor running free at about the pack's voltage",
            usual=(0.1, 8),
            guess="1.3 ± 0.7 A",
        ),
    ] = Current()
    mass: Annotated[Mass, Ask(how="the motor alone on a kitchen scale", usual=(15, 800), guess="165 ± 40 g")] = Mass()
    can_across: Annotated[
        Length, Ask(how="outside diameter of the motor's can, by callipers", usual=(12, 60), guess="36 ± 4 mm")
    ] = Length()
    case_to_air: Annotated[
        ThermalResistance,
        Ask(
            how="how many degrees the can warms for each watt of heat: run it free for 15 min, rise by thermometer "
            "divided by volts x amperes",
            usual=(0.8, 30),
            guess="5.0 ± 2.5 K/W",
        ),
    ] = ThermalResistance()
    winding_to_case: Annotated[
        ThermalResistance,
        Ask(
            how="how many degrees the winding is hotter than the can for each watt in it, from a data sheet; else keep "
            "the usual one",
            usual=(0.2, 15),
            guess="2.5 ± 1.5 K/W",
        ),
    ] = ThermalResistance()
    hottest: Annotated[
        Temperature,
        Ask(
            how="highest temperature of the can that its maker allows, from the data sheet or label",
            sign="any",
            usual=(50, 130),
            guess="80 ± 5 degC",
        ),
    ] = Temperature()
    surroundings: Annotated[
        Temperature,
        Ask(
            how="air round the motor on a warm day's drive: thermometer beside it, body on, after 15 min",
            sign="any",
            usual=(0, 60),
            guess="28 ± 8 degC",
        ),
    ] = Temperature()
