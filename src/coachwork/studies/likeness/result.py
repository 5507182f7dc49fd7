"""What likeness finds out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from coachwork.build import Numbers
from coachwork.build.sections.outline import Along
from coachwork.studies.likeness.fit import ScaleFit
from coachwork.studies.parts import Part
from coachwork.studies.result import Result

Work = Literal["cut", "pack out", "move", "remake", "leave"]
Reference = Literal[
    "axis", "all", "declared"
]  # the scale a dimension was compared with: its axis's fit, the fit of all


@dataclass(frozen=True, kw_only=True, eq=False)
class Dimension(Result):
    """One dimension on both vehicles; arrays (samples,), mm.

    ratio, ratio_sigma : shell / prototype and its standard deviation from the two readings
    error_mm           : shell - prototype x the scale of the build: how wrong it is in all
    reference          : what `own_error_mm` is measured from, see docs/theory/likeness.md
    own_error_mm       : shell - prototype x reference: how wrong this dimension is among its like
    visible_mm         : the error the eye can just see
    """

    name: str
    told: str
    along: Along
    prototype_mm: Numbers
    shell_mm: Numbers
    ratio: Numbers
    ratio_sigma: Numbers
    error_mm: Numbers
    error_percent: Numbers
    reference: Reference
    reference_ratio: Numbers
    own_error_mm: Numbers
    visible_mm: Numbers


@dataclass(frozen=True, kw_only=True)
class Job:
    """One line of the worklist.

    seen : error over the least the eye sees; below 1 the job is to leave it
    """

    finding: str
    told: str
    work: Work
    amount_mm: float
    seen: float
    text: str


@dataclass(frozen=True, kw_only=True, eq=False)
class LikenessResult(Result):
    """The shell against the prototype.

    declared   : the scale the builder states, shell / prototype
    scale      : the scale of the build: as declared, else the best fit of all dimensions
    overall    : best fit of all dimensions         axes : best fit of each axis's
    dimensions : by the end of the finding's id ("front-overhang", "detail.beacon")
    worklist   : most visible first
    """

    declared: Part[Numbers]
    scale: Part[Numbers]
    overall: Part[ScaleFit]
    axes: Mapping[Along, Part[ScaleFit]]
    dimensions: Mapping[str, Part[Dimension]]
    told: Mapping[str, str]
    worklist: tuple[Job, ...]

    def along(self, axis: Along) -> tuple[Dimension, ...]:
        """The measured dimensions of an axis."""
        known = (part for part in self.dimensions.values() if isinstance(part, Dimension))
        return tuple(part for part in known if part.along == axis)
