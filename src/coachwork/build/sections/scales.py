"""`[scales]`: the finished vehicle weighed wheel by wheel on one kitchen scale, and once more with its tail raised.

Put blocks as high as the scale under the other three wheels, roll the vehicle to and fro, then read. For the height of
the centre of gravity block the suspension (cable ties), put both front wheels on the scale, and raise the rear wheels.
"""

from __future__ import annotations

from typing import Annotated, ClassVar

from coachwork.build.entries import Ask, Length, Mass
from coachwork.build.section import Section


def _wheel(where: str) -> Ask:
    return Ask(how=f"scale under the {where} wheel, blocks as high under the other three", usual=(30, 6000))


class Scales(Section):
    """Readings; all of them with everything on board, pack and shell too."""

    TABLE: ClassVar[str] = "scales"
    ORDER: ClassVar[int] = 37

    front_left: Annotated[Mass, _wheel("front left")] = Mass()
    front_right: Annotated[Mass, _wheel("front right")] = Mass()
    rear_left: Annotated[Mass, _wheel("rear left")] = Mass()
    rear_right: Annotated[Mass, _wheel("rear right")] = Mass()
    raised_by: Annotated[
        Length,
        Ask(how="blocks under the rear wheels, over the height of the scale's plate: a third of the wheelbase or more",
            usual=(20, 300)),
    ] = Length()  # fmt: skip
    raised_front: Annotated[
        Mass, Ask(how="both front wheels on the scale, rear wheels raised, suspension blocked", usual=(60, 12000))
    ] = Mass()
