"""`[making]`: how the parts are made, on which machine, and at which rates."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from coachwork.build.entries import Ask, Length, Note, Ratio
from coachwork.build.section import Section
from coachwork.quantity import Source

Process = Literal["powder-bed nylon", "filament", "resin", "cut sheet"]


class Making(Section):
    """One process for all parts that do not name another."""

    TABLE: ClassVar[str] = "making"
    ORDER: ClassVar[int] = 61
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    process: Annotated[Process, Note("how the parts are made, where a part does not say otherwise")] = (
        "powder-bed nylon"
    )
    material: Annotated[
        str,
        Note('what of: "PA12", "PA12 glass-filled", "PETG", "ASA", "resin"; left out: the usual one of the process'),
    ] = ""
    room_x: Annotated[
        Length, Ask(how="the printer's build volume or the sheet, its longest side, from its leaflet",
                    usual=(80, 1200), source=Source.LABEL)
    ] = Length()  # fmt: skip
    room_y: Annotated[
        Length, Ask(how="the build volume's second side", usual=(80, 1200), source=Source.LABEL)
    ] = Length()  # fmt: skip
    room_z: Annotated[
        Length, Ask(how="the build volume's height, or the sheet's thickness", usual=(0.3, 1200), source=Source.LABEL)
    ] = Length()  # fmt: skip
    hole_shrinks: Annotated[
        Length,
        Ask(how="how much smaller than drawn a 3 mm hole comes out, drill shanks tried in a test piece; holes are "
            "drawn so much larger", sign="any", usual=(-0.3, 0.8), guess="0.15 ± 0.15 mm"),
    ] = Length()  # fmt: skip
    fit_gap: Annotated[
        Length,
        Ask(how="gap all round between parts that go together by hand, tried in a test piece",
            usual=(0.05, 1.0), guess="0.25 ± 0.15 mm"),
    ] = Length()  # fmt: skip
    seats: Annotated[
        Literal["reamed", "as made"],
        Note("bearings' seats: drawn too small and reamed to size by hand, or used as they come out"),
    ] = "reamed"
    rate_per_cm3: Annotated[
        Ratio, Ask(how="what a cubic centimetre of the part costs, in your money, from the print shop's offer or the "
                   "price of your material", usual=(0.005, 50))
    ] = Ratio()  # fmt: skip
    rate_per_part: Annotated[
        Ratio, Ask(how="what each part costs besides, in your money", sign="not negative", usual=(0, 500))
    ] = Ratio()  # fmt: skip
    most_price: Annotated[Ratio, Ask(how="what all parts together may cost, in your money", usual=(1, 50000))] = Ratio()
    driver_diameter: Annotated[
        Length, Ask(how="thickest part of the screwdriver or hex key that reaches the screws", usual=(2, 30),
                    guess="6 ± 1 mm", source=Source.CALLIPERS)
    ] = Length()  # fmt: skip
    driver_length: Annotated[
        Length, Ask(how="how much of it is straight, from tip to handle", usual=(15, 300), guess="80 ± 20 mm",
                    source=Source.CALLIPERS)
    ] = Length()  # fmt: skip
    number: Annotated[str, Note("what part numbers begin with; embossed on each part")] = "P"
    revision: Annotated[str, Note("embossed behind the number; change it with every order")] = "A"
