"""`[cut-outs]`: what switches something off by itself, and what brings it back."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Note, Temperature, Time, Voltage
from coachwork.build.section import Section
from coachwork.quantity import Source

_LABEL = Source.LABEL
Resets = Literal["when cool", "off and on"]


class CutOuts(Section):
    """Protections of controller, motor and receiver; the regulator's own stand in `[regulators]`, the volts at which
    the receiver starts anew in `[wiring.loads]`.
    """

    TABLE: ClassVar[str] = "cut-outs"
    ORDER: ClassVar[int] = 48

    controller: Annotated[
        Temperature,
        Ask(how="how hot the controller lets itself get before it stops the motor, from its leaflet (over-heat or "
            "thermal protection)", usual=(60, 140), source=_LABEL, guess="105 ± 12 degC"),
    ] = Temperature()  # fmt: skip
    controller_resets: Annotated[Resets, Note("what lets the motor run again after that")] = "when cool"
    motor: Annotated[
        Temperature,
        Ask(how="where the controller stops for the motor's heat, from the controller's leaflet; only with a sensor in "
            "the motor, or a thermal switch on it, whose label says it. Left out: nothing stops it", usual=(50, 150),
            source=_LABEL),
    ] = Temperature()  # fmt: skip
    motor_resets: Annotated[Resets, Note("what lets the motor run again after that")] = "when cool"
    cell: Annotated[
        Voltage,
        Ask(how="volts for each cell at which the controller stops the motor, from its leaflet; where it says nothing, "
            "keep the usual one; controller.cut-off, where given, goes before it", usual=(0.7, 3.8), source=_LABEL,
            guess="3.1 ± 0.2 V"),
    ] = Voltage()  # fmt: skip
    receiver_back: Annotated[
        Time, Ask(how="how long it takes until it listens again: switch it off and on and count", usual=(0.1, 20),
                  guess="1.5 ± 1.0 s"),
    ] = Time()  # fmt: skip
    idle: Annotated[
        Time,
        Ask(how="after how long standing still something switches itself off until switched off and on, from the "
            "leaflets of controller, power switch and sound unit; left out: nothing does", usual=(30, 7200),
            source=_LABEL),
    ] = Time()  # fmt: skip
