r"""`spring` and `damper`: the tables of an end that say what it stands on and what calms it.

eye o----[=== body ===]--rod--o eye        damper out: eye to eye with the rod pulled right out
        |/\/\/\/\/\/\/\/\/|                spring fitted: between its two seats then, squeezed a little by the collar
      collar             lower seat
"""

from __future__ import annotations

from typing import Annotated

from coachwork.build.entries import Ask, Count, Entry, Length, SpringRate, Viscosity
from coachwork.build.section import Section


class Spring(Section):
    """The coil spring on one damper; both of an axle are alike."""

    rate: Annotated[
        SpringRate,
        Ask(
            how="press the bare spring onto a kitchen scale until it is 10 mm shorter: the reading in grams times "
            '0.00098 is its rate in N/mm; or write the reading over the ten as "45 g/mm"',
            usual=(0.01, 20),
        ),
    ] = SpringRate()
    free_length: Annotated[Length, Ask(how="the bare spring, end to end", usual=(8, 150))] = Length()
    fitted_length: Annotated[
        Length,
        Ask(how="spring on its damper, rod right out: collar to lower seat, as the collar is set", usual=(8, 150)),
    ] = Length()


class Damper(Section):
    """One damper; both of an axle are alike."""

    length_out: Annotated[Length, Ask(how="damper eye to eye, rod right out", usual=(20, 250))] = Length()
    bore: Annotated[Length, Ask(how="inside diameter of the damper's body", usual=(4, 30), guess="11 ± 2 mm")] = (
        Length()
    )
    rod: Annotated[Length, Ask(how="diameter of the damper's rod", usual=(1, 8), guess="3 ± 0.3 mm")] = Length()
    piston_holes: Annotated[Count, Ask(how="holes through the damper's piston", usual=(1, 8), guess="2 ± 1")] = Count()
    hole_diameter: Annotated[
        Length,
        Ask(how="diameter of the piston's holes: the drill that just passes", usual=(0.5, 3), guess="1.3 ± 0.2 mm"),
    ] = Length()
    piston_thickness: Annotated[
        Length,
        Ask(how="thickness of the piston, which is how long its holes are", usual=(0.8, 8), guess="2.5 ± 0.5 mm"),
    ] = Length()
    piston_gap: Annotated[
        Length,
        Ask(
            how="gap all round the piston: half of bore less piston diameter",
            sign="not negative",
            usual=(0, 0.5),
            guess="0.05 ± 0.04 mm",
        ),
    ] = Length()
    oil: Annotated[
        Viscosity, Ask(how="viscosity on the oil's bottle, in cSt", usual=(20, 100000), guess="350 ± 150 cSt")
    ] = Viscosity()


class PlannedDamper(Section):
    """What is changed on the dampers; nothing is guessed here, for a line left out means: as bought."""

    length_out: Annotated[Length, Ask(how="new damper eye to eye, rod right out", usual=(20, 250))] = Length()
    bore: Annotated[Length, Ask(how="new damper: inside diameter of its body", usual=(4, 30))] = Length()
    rod: Annotated[Length, Ask(how="new damper: diameter of its rod", usual=(1, 8))] = Length()
    piston_holes: Annotated[Count, Ask(how="new piston: holes through it", usual=(1, 8))] = Count()
    hole_diameter: Annotated[Length, Ask(how="new piston: diameter of its holes", usual=(0.5, 3))] = Length()
    piston_thickness: Annotated[Length, Ask(how="new piston: its thickness", usual=(0.8, 8))] = Length()
    piston_gap: Annotated[
        Length, Ask(how="new piston: gap all round it in its body", sign="not negative", usual=(0, 0.5))
    ] = Length()
    oil: Annotated[Viscosity, Ask(how="viscosity on the new oil's bottle, in cSt", usual=(20, 100000))] = Viscosity()


def fitted_spring(*, planned: Spring, bought: Spring) -> Spring:
    """Number by number: the planned one where given, else as bought."""
    return bought.model_copy(update=_given(planned))


def fitted_damper(*, planned: PlannedDamper, bought: Damper) -> Damper:
    """Number by number: the planned one where given, else as bought."""
    return bought.model_copy(update=_given(planned))


def _given(planned: Section) -> dict[str, Entry]:
    entries = ((name, getattr(planned, name)) for name in type(planned).model_fields)
    return {name: entry for name, entry in entries if entry.given}
