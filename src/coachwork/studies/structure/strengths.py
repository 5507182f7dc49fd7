"""What the study is supplied with: the made parts, and what finite elements have found of them so far."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.elasticity.flexibility import Kept
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.trials import Trial

FOLDER = "strength"  # under the build's own .coachwork
COMMAND = "coachwork strength"
WHAT_IF = f"{COMMAND} --what-if"


@dataclass(frozen=True, kw_only=True, eq=False)
class Strengths:
    """By the part's name; `kept` lacks those whose finite elements were not run on the solid as it is now.

    trials : changes of the chassis as it is now that were computed
    """

    parts: Mapping[str, PartSolid] = field(default_factory=dict)
    kept: Mapping[str, Kept] = field(default_factory=dict)
    trials: tuple[Trial, ...] = ()
