"""`[pack]`: the battery."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Charge, Count, Note, Ratio, Resistance, Voltage
from coachwork.build.section import Section
from coachwork.quantity import Source

Chemistry = Literal["lithium polymer", "lithium ion", "lithium iron phosphate", "nickel metal hydride"]


class Pack(Section):
    """The battery. Lithium packs burn when shorted, pierced or over-charged: local rules and its leaflet come first."""

    TABLE: ClassVar[str] = "pack"
    ORDER: ClassVar[int] = 44

    chemistry: Annotated[Chemistry, Note("what its cells are, by its label")] = "lithium polymer"
    cells: Annotated[
        Count,
        Ask(
            how="cells in series: the number before S on its label; or the volts printed there over 3.7 (lithium), 3.2 "
            "(lithium iron phosphate) or 1.2 (nickel)",
            source=Source.LABEL,
            usual=(1, 12),
        ),
    ] = Count()
    capacity: Annotated[
        Charge,
        Ask(how="mAh on its label", source=Source.LABEL, usual=(150, 20000), guess="3000 ± 1500 mAh"),
    ] = Charge()
    resistance: Annotated[
        Resistance,
        Ask(
            how="all cells together, as the charger shows them; or by multimeter at its main plug: volts at rest less "
            "volts under a load, over that load's amperes",
            source=Source.LABEL,
            usual=(0.001, 0.5),
            guess="30 ± 20 mohm",
        ),
    ] = Resistance()
    discharge_rating: Annotated[
        Ratio,
        Ask(
            how="how many times its capacity it may give all the time: the number before C on its label, the smaller "
            "one where there are two",
            source=Source.LABEL,
            usual=(1, 150),
            guess="20 ± 10",
        ),
    ] = Ratio()
    voltage: Annotated[
        Voltage,
        Ask(how="its volts at rest, by multimeter at its main plug, nothing plugged in", usual=(1, 52)),
    ] = Voltage()
