"""`[heat]`: what stores heat and what lets it out. Every number has a usual one; measure those that matter."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Area, Ask, Length, Mass, Note, Temperature, ThermalResistance
from coachwork.build.section import Section
from coachwork.quantity import Source


class Heat(Section):
    """The shell over it all, its openings, and what lies under it."""

    TABLE: ClassVar[str] = "heat"
    ORDER: ClassVar[int] = 47

    shell: Annotated[
        Literal["closed", "open"], Note("closed: driven under its hard shell; open: on the bare chassis")
    ] = "closed"
    outside: Annotated[
        Temperature,
        Ask(how="air where you drive, on a warm day, by thermometer in the shade", sign="any", usual=(-15, 45),
            guess="24 ± 6 degC"),
    ] = Temperature()  # fmt: skip
    gaps: Annotated[
        Area,
        Ask(how="openings that any shell has: gaps over the tyres, under the sill, round the glass, all added up, by "
            "ruler", sign="not negative", usual=(0, 20000), guess="15 ± 8 cm^2", source=Source.RULER),
    ] = Area()  # fmt: skip
    vents: Annotated[
        Area,
        Ask(how="openings cut into it for air, low and high ones added up, by ruler; 0 where there are none",
            sign="not negative", usual=(0, 20000), guess="0 ± 0 cm^2", source=Source.RULER),
    ] = Area()  # fmt: skip
    opening_height: Annotated[
        Length,
        Ask(how="from the middle of the low openings up to the middle of the high ones; that of the wheel arches over "
            "the sill where there are no others; by ruler", usual=(2, 400), guess="35 ± 20 mm", source=Source.RULER),
    ] = Length()  # fmt: skip
    shell_mass: Annotated[
        Mass, Ask(how="the shell alone on a kitchen scale", usual=(40, 3000), guess="450 ± 180 g")
    ] = Mass()  # fmt: skip
    wall: Annotated[
        Length, Ask(how="thickness of its wall, by callipers at a wheel arch", usual=(0.4, 8), guess="2.2 ± 0.8 mm")
    ] = Length()  # fmt: skip
    controller_mass: Annotated[
        Mass, Ask(how="controller with its heat sink on a kitchen scale, less its leads", usual=(4, 400),
                  guess="45 ± 18 g"),
    ] = Mass()  # fmt: skip
    controller_to_air: Annotated[
        ThermalResistance,
        Ask(how="how much hotter the controller's case gets than still, open air for each watt in it: with a built-in "
            "linear regulator, its volts in less volts out times a known load for ten minutes, by thermometer on the "
            "case; about 1200 K/W over its surface in cm2", usual=(2, 120), guess="22 ± 8 K/W", source=Source.METER),
    ] = ThermalResistance()  # fmt: skip
    chip_to_case: Annotated[
        ThermalResistance,
        Ask(how="from a regulator's chip to its case or board, from its leaflet (junction to case, with the pad); else "
            "keep the usual one", usual=(0.3, 40), guess="4 ± 2 K/W", source=Source.LABEL),
    ] = ThermalResistance()  # fmt: skip
    pack_mass: Annotated[
        Mass, Ask(how="the pack on a kitchen scale", usual=(15, 1500), guess="270 ± 90 g")
    ] = Mass()  # fmt: skip
