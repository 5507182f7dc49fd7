"""`[parts.chassis]`: measures of the part that joins both ends."""

from __future__ import annotations

from typing import Annotated, Literal

from coachwork.build.entries import Ask, Length, Note
from coachwork.build.section import Section
from coachwork.build.sections.parts.own import Drawn


class Bolt(Section):
    """One bolt of a pattern, under a name of your own."""

    x: Annotated[Length, Ask(how="the bolt ahead of its axle line; negative behind", sign="any",
                             usual=(-120, 120))] = Length()  # fmt: skip
    y: Annotated[Length, Ask(how="the bolt to the left of the centreline; negative to the right", sign="any",
                             usual=(-80, 80))] = Length()  # fmt: skip


class Chassis(Drawn):
    """A floor with side walls, a battery bay open below, and a tub at either end that the donor's ends bolt to."""

    deck: Annotated[str, Note("the deck that is its floor")] = "main"
    wall: Annotated[Length, Ask(how="thickness of its walls", usual=(0.8, 8), guess="2.4 ± 0 mm")] = Length()
    wall_height: Annotated[
        Length, Ask(how="walls over the floor", usual=(2, 60), guess="14 ± 0 mm")
    ] = Length()  # fmt: skip
    lip: Annotated[
        Length, Ask(how="how far the battery door reaches under or over the floor's edge", usual=(2, 12),
                    guess="6 ± 0 mm")
    ] = Length()  # fmt: skip
    rim: Annotated[Length, Ask(how="thickness of the rim round the battery bay", usual=(0.8, 6),
                               guess="2.0 ± 0 mm")] = Length()  # fmt: skip
    rim_height: Annotated[Length, Ask(how="that rim over the floor", usual=(1, 40), guess="8 ± 0 mm")] = Length()
    rib_height: Annotated[
        Length, Ask(how="ribs along the necks and from the coaming to the walls, over the floor, lower under a "
                    "bell-crank; left out: none",
                    usual=(2, 60))
    ] = Length()  # fmt: skip
    box_width: Annotated[
        Length, Ask(how="width of the boxes along the deck's sides, between wall and wall; left out: none",
                    usual=(2, 40))
    ] = Length()  # fmt: skip
    neck_floor: Annotated[
        Length, Ask(how="thickness of the floor between the deck and the donor's ends; left out: as the deck's",
                    usual=(1, 30))
    ] = Length()  # fmt: skip
    ahead: Annotated[
        Length, Ask(how="floor ahead of the front axle line", usual=(5, 120), guess="28 ± 0 mm")
    ] = Length()  # fmt: skip
    behind: Annotated[
        Length, Ask(how="floor behind the rear axle line", usual=(5, 120), guess="28 ± 0 mm")
    ] = Length()  # fmt: skip
    tower: Annotated[
        Length, Ask(how="thickness of the plates that hold the dampers' tops", usual=(2, 12), guess="5 ± 0 mm")
    ] = Length()  # fmt: skip
    boss: Annotated[
        Length, Ask(how="diameter of the bosses that screws cut their thread in", usual=(3, 16), guess="8 ± 0 mm")
    ] = Length()  # fmt: skip
    corner: Annotated[
        Length, Ask(how="radius of inside corners where walls and towers meet the floor", usual=(0.3, 6),
                    guess="2 ± 0 mm")
    ] = Length()  # fmt: skip
    land_depth: Annotated[
        Length, Ask(how="how deep the places of taped boxes are let into the floor", usual=(0.2, 2),
                    guess="0.4 ± 0 mm")
    ] = Length()  # fmt: skip
    servo_body: Annotated[
        Length, Ask(how="steering servo's case between its lugs, front to rear of the box", usual=(10, 60))
    ] = Length()  # fmt: skip
    servo_lugs: Annotated[
        Length, Ask(how="underside of the servo's lugs over its bottom", usual=(4, 50))
    ] = Length()  # fmt: skip
    crank_bosses: Annotated[
        Literal["both", "left", "right", "none"], Note("which bell-cranks turn on bosses of the chassis")
    ] = "both"
    bolt_screw: Annotated[str, Note("the screw of both ends' bolts")] = "M3"
    front_bolts: Annotated[dict[str, Bolt], Note("bolts that hold the front end to the floor")] = {}
    rear_bolts: Annotated[dict[str, Bolt], Note("bolts that hold the rear end to the floor")] = {}
