"""`[wiring.loads]`: what draws current. Devices of the radio's table are loads by themselves, by their names there."""

from __future__ import annotations

from typing import Annotated, Literal

from coachwork.build.entries import Ask, Current, Note, Voltage
from coachwork.build.section import Section
from coachwork.quantity import Source


class Load(Section):
    """One load; of a device of the radio's table (or of `receiver`), what that table does not ask."""

    fed_by: Annotated[
        str,
        Note("receiver, a regulator, pack, tap 1, controller, or where a lead ends; left out: where its own lead ends, "
             "else as the radio's table says"),
    ] = ""  # fmt: skip
    idle: Annotated[
        Current,
        Ask(how="amperes while it does nothing, by multimeter in its plus lead; left out: current-quiet of its device",
            sign="not negative", usual=(0, 5)),
    ] = Current()  # fmt: skip
    typical: Annotated[
        Current,
        Ask(how="amperes on average while you drive, by multimeter in its plus lead; left out: a quarter of a servo's "
            "current-on, all of any other device's; a load that is no device of the radio's needs it",
            sign="not negative", usual=(0, 30)),
    ] = Current()  # fmt: skip
    peak: Annotated[
        Current,
        Ask(how="amperes at most in use, by multimeter in its plus lead; left out: current-on of its device",
            sign="not negative", usual=(0, 60)),
    ] = Current()  # fmt: skip
    stall: Annotated[
        Current,
        Ask(how="of a servo: amperes when it is held fast, from its leaflet; left out: two and a half times the "
            "current-on of a proportional device, while no other can be held",
            source=Source.LABEL, usual=(0.1, 15)),
    ] = Current()  # fmt: skip
    least_voltage: Annotated[
        Voltage,
        Ask(how='volts it needs to work: the lower of the two on its label ("4.8-6 V"); of the receiver those below '
            "which it starts anew (until then 3.8 ± 0.5 V), from its leaflet or with a bench supply turned down slowly",
            source=Source.LABEL, usual=(1.5, 25), guess="4.3 ± 0.6 V"),
    ] = Voltage()  # fmt: skip
    most_voltage: Annotated[
        Voltage,
        Ask(how='volts it stands: the higher of the two on its label ("4.8-6 V")', source=Source.LABEL,
            usual=(2, 52), guess="6.6 ± 0.6 V"),
    ] = Voltage()  # fmt: skip
    takes: Annotated[
        Literal["steady current", "current by voltage"],
        Note("whether it draws the same at any voltage, as electronics nearly do, or as a resistor does, like a bulb"),
    ] = "steady current"


class ReceiverLoad(Load):
    """The receiver's own; every build has one."""

    def guess_for(self, name: str, usual: str | None) -> str | None:
        """Receivers stay awake below what servos need."""
        return "3.8 ± 0.5 V" if name == "least_voltage" else usual
