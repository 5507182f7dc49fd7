"""`[regulators]`: what makes the receiver's 5 to 7 V, or another steady voltage, out of the pack's."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Current, Note, Ratio, Resistance, Temperature, ThermalResistance, Voltage
from coachwork.build.section import Section
from coachwork.quantity import Source

_LABEL = Source.LABEL


class Regulator(Section):
    """One regulator: the controller's built-in one, or one of its own."""

    kind: Annotated[
        Literal["linear", "switching"],
        Note(
            "linear turns the volts it takes off into heat, as most of those built into small controllers do; "
            "switching hardly does, and its leaflet says so (switch mode, buck, a coil can be seen)"
        ),
    ]
    fed_by: Annotated[str, Note("pack, controller, or where a lead ends")] = "pack"
    used: Annotated[
        bool, Note("false: its plus wire is taken out of its plug and covered, so that it feeds nothing")
    ] = True
    voltage: Annotated[
        Voltage,
        Ask(how="volts it gives, from its label, or by multimeter between the outer pins of a free receiver output",
            source=_LABEL, usual=(2.5, 13), guess="5.6 ± 0.6 V"),
    ] = Voltage()  # fmt: skip
    current_limit: Annotated[
        Current,
        Ask(how="amperes it gives all the time, from its label, or from the controller's leaflet (BEC); left out, "
            "where it is the only one used: radio.receiver.supply-limit",
            source=_LABEL, usual=(0.1, 30), guess="3.0 ± 1.5 A"),
    ] = Current()  # fmt: skip
    peak_limit: Annotated[
        Current,
        Ask(how="amperes it gives for a second or two (peak, burst), from its label; left out: half as much again",
            source=_LABEL, usual=(0.1, 60)),
    ] = Current()  # fmt: skip
    drop_out: Annotated[
        Voltage,
        Ask(how="how many volts more it needs than it gives: its least input on the leaflet less its output",
            source=_LABEL, sign="not negative", usual=(0, 4), guess="1.0 ± 0.6 V"),
    ] = Voltage()  # fmt: skip
    resistance: Annotated[
        Resistance,
        Ask(how="by multimeter at a receiver output: volts without load less volts under a load, over its amperes",
            source=_LABEL, usual=(0.001, 1), guess="40 ± 25 mohm"),
    ] = Resistance()  # fmt: skip
    efficiency: Annotated[
        Ratio,
        Ask(how="of a switching one: watts out over watts in, from its leaflet", source=_LABEL, usual=(0.5, 0.99),
            guess="0.86 ± 0.07"),
    ] = Ratio()  # fmt: skip
    own_current: Annotated[
        Current,
        Ask(how="what it draws with nothing plugged in, by multimeter in its plus lead", sign="not negative",
            usual=(0, 0.3), guess="15 ± 10 mA"),
    ] = Current()  # fmt: skip
    trips_at: Annotated[
        Temperature,
        Ask(how="how hot it lets itself get before it shuts off, from its leaflet; chips stop at 125 to 150 degC, "
            "controllers that speak of over-heat protection about 100", source=_LABEL, usual=(60, 180),
            guess="120 ± 20 degC"),
    ] = Temperature()  # fmt: skip
    heat_resistance: Annotated[
        ThermalResistance,
        Ask(how="how much hotter it gets than still, open air for each watt it turns into heat: by thermometer on its "
            "heat sink after ten minutes at a known load", source=_LABEL, usual=(2, 150), guess="25 ± 12 K/W"),
    ] = ThermalResistance()  # fmt: skip
    after_trip: Annotated[
        Literal["comes back when cool", "stays off until switched off"],
        Note("what it does after it has shut off for heat, from its leaflet"),
    ] = "comes back when cool"


class Regulators(Section):
    """The regulators, under names of your own."""

    TABLE: ClassVar[str] = "regulators"
    ORDER: ClassVar[int] = 46
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, Regulator] = {}
