"""What the study is supplied with: the made parts, and what finite elements have found of them so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.elasticity.flexibility import Kept
from coachwork.studies.makeability.asked import Latched, Posted
from coachwork.studies.parts import Part
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.trials import Trial

FOLDER = "strength"  # under the build's own .coachwork
COMMAND = "coachwork strength"
WHAT_IF = f"{COMMAND} --what-if"


@dataclass(frozen=True, kw_only=True, eq=False)
class Strengths:
    """By the part's name.

    kept    : lacks those whose finite elements were not run on the solid as it is now
    latched : the latches that the build asks for, of parts made or not; by themselves they need no solid
    posted  : the body posts that it asks for, alike
    trials  : changes of the chassis as it is now that were computed
    """

    parts: Mapping[str, PartSolid] = field(default_factory=dict)
    kept: Mapping[str, Kept] = field(default_factory=dict)
    trials: tuple[Trial, ...] = ()
    latched: tuple[Latched, ...] = ()
    posted: Part[tuple[Posted, ...]] = ()

    @property
    def latches(self) -> Mapping[str, Latched]:
        """All of them by part and name: as the build asks for them now, else as they were made."""
        made = [
            Latched(part=part.name, process=part.process, material=part.material, latch=latch)
            for part in self.parts.values()
            for latch in part.latches
        ]
        return {f"{each.part}.{each.latch.name}": each for each in (*made, *self.latched)}
