"""The table `[parts]` itself."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Annotated, ClassVar

from coachwork.build.entries import BLANKS, Note
from coachwork.build.places import Steps
from coachwork.build.section import Section
from coachwork.build.sections.parts.chassis import Chassis
from coachwork.build.sections.parts.small import Arms, BatteryDoor, Carriers, HubSpacer, Jigs, LightHousing, Post
from coachwork.quantity import Source

KINDS = (
    "chassis", "battery-door", "posts", "front-arms", "rear-arms", "rear-carriers", "front-hub-spacer",
    "rear-hub-spacer", "light-housings", "jigs",
)  # fmt: skip


class Parts(Section):
    """What is made. A measure left out is taken from the rest of the build, or a usual one is."""

    TABLE: ClassVar[str] = "parts"
    ORDER: ClassVar[int] = 62
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    make: Annotated[str, Note(f"what to make, with commas between: {', '.join(KINDS)}")] = ""
    chassis: Chassis = Chassis()
    battery_door: BatteryDoor = BatteryDoor()
    posts: dict[str, Post] = {}
    front_arms: Arms = Arms()
    rear_arms: Arms = Arms()
    rear_carriers: Carriers = Carriers()
    front_hub_spacer: HubSpacer = HubSpacer()
    rear_hub_spacer: HubSpacer = HubSpacer()
    light_housings: dict[str, LightHousing] = {}
    jigs: Jigs = Jigs()

    @property
    def made(self) -> tuple[str, ...]:
        """What is to be made, in the table's own order."""
        words = {word.strip() for word in self.make.split(",")}
        return tuple(kind for kind in KINDS if kind in words)

    def own_faults(self) -> Iterator[tuple[Steps, str, str]]:
        """Kinds of part that there are none of."""
        for word in (word.strip() for word in self.make.split(",")):
            if word not in (*BLANKS, *KINDS):
                near = difflib.get_close_matches(word, KINDS, n=1, cutoff=0.5)
                yield (
                    ("make",), f'read "{word}", which is no part',
                    f"did you mean {near[0]}?" if near else f"there are {', '.join(KINDS)}",
                )  # fmt: skip
