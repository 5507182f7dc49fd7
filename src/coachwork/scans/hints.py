"""What the finder may be told beforehand: from the build file, or by the builder's own pointing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from coachwork.scans.mesh import Numbers
from coachwork.scans.seated import WHEELS

ARCH_MARKS = tuple(f"{wheel.replace(' ', '-')}-arch" for wheel in WHEELS)
MARKS = ("nose", "tail", "roof", *ARCH_MARKS)
"""Names of landmarks: a point at the nose, at the tail, on the roof, inside an arch's opening."""


@dataclass(frozen=True, kw_only=True)
class Hints:
    """All optional.

    length_mm, front_overhang_mm, rear_overhang_mm : what the shell should measure, roughly
    told  : where those come from, for the sentence that says why
    marks : {name: (3,)}, points in the file's own coordinates
    """

    length_mm: float | None = None
    front_overhang_mm: float | None = None
    rear_overhang_mm: float | None = None
    told: str = "the build file"
    marks: Mapping[str, Numbers] = field(default_factory=dict)
