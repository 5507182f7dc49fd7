"""`[wiring.light-strings]`: light-emitting diodes in series and parallel behind their resistors."""

from __future__ import annotations

from typing import Annotated

from coachwork.build.entries import Ask, Count, Current, Note, Power, Resistance, Voltage
from coachwork.build.section import Section
from coachwork.quantity import Source


class LightString(Section):
    """Diodes in series with one resistor; or several such strings side by side."""

    lit_by: Annotated[str, Note("the device of the radio's table that lights it; left out: always lit")] = ""
    fed_by: Annotated[
        str, Note("what feeds it; left out: where its own lead ends, else where the device that lights it hangs")
    ] = ""
    leds: Annotated[
        Count, Ask(how="count the diodes one behind the other in a string", source=Source.COUNTING, usual=(1, 8))
    ] = Count()  # fmt: skip
    strings: Annotated[
        Count, Ask(how="count the strings side by side; left out: one", source=Source.COUNTING, usual=(1, 30))
    ] = Count()  # fmt: skip
    one_resistor: Annotated[
        bool, Note("whether all strings share one resistor; false: each has its own, which is better")
    ] = False
    resistor: Annotated[
        Resistance,
        Ask(how="by its colour rings or by multimeter; blank: the preferred value that suits is told",
            source=Source.LABEL, sign="not negative", usual=(0, 20000)),
    ] = Resistance()  # fmt: skip
    resistor_power: Annotated[
        Power,
        Ask(how="watts the resistor stands: by its seller, or its length without wires: 3.2 mm 0.125 W, 6.3 mm 0.25 W, "
            "9 mm 0.5 W", source=Source.LABEL, usual=(0.05, 10), guess="0.25 ± 0.1 W"),
    ] = Power()  # fmt: skip
    forward_voltage: Annotated[
        Voltage,
        Ask(how="volts across one diode at its rated current, from its leaflet or by multimeter while it is lit: red "
            "and amber about 2, green, blue and white about 3", source=Source.LABEL, usual=(1.2, 4.2),
            guess="2.6 ± 0.7 V"),
    ] = Voltage()  # fmt: skip
    matching: Annotated[
        Voltage,
        Ask(how="how far two diodes of one bag differ in that: a few by multimeter, all on one resistor",
            source=Source.METER, sign="not negative", usual=(0, 0.8), guess="0.15 ± 0.1 V"),
    ] = Voltage()  # fmt: skip
    rated_current: Annotated[
        Current,
        Ask(how="what one diode may carry all the time, from its leaflet; 20 mA for most of 3 and 5 mm",
            source=Source.LABEL, usual=(0.001, 1.5), guess="20 ± 5 mA"),
    ] = Current()  # fmt: skip
    wanted_current: Annotated[
        Current,
        Ask(how="what one diode should carry for the light you want, under what its leaflet rates; left out: "
            "three quarters of its rated current",
            source=Source.CHOSEN, usual=(0.0005, 1.5)),
    ] = Current()  # fmt: skip
