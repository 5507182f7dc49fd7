"""A curve of a study's result, to be drawn by whoever shows it: terminal, page or paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import Numbers

Variant = Literal["as bought", "as changed", "reference"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Line:
    """One line of a chart; x and y of equal length, NaN in y where there is no pose to plot."""

    name: str
    variant: Variant
    x: Numbers
    y: Numbers

    def __post_init__(self) -> None:
        for name in ("x", "y"):
            array = np.array(getattr(self, name), dtype=float)
            array.flags.writeable = False
            object.__setattr__(self, name, array)


@dataclass(frozen=True, kw_only=True, eq=False)
class Chart:
    """Lines over one pair of axes. Units stand in the axis labels; `band` is the span of y that would be right."""

    id: str  # "linkage.front.camber": also the file's name
    title: str
    x_label: str
    y_label: str
    lines: tuple[Line, ...]
    band: tuple[float, float] | None = None
    note: str = ""

    def label(self, line: Line) -> str:
        """What a legend calls a line: with its variant, but where there is no other variant to tell it from."""
        if any(one.variant == "as bought" for one in self.lines):
            named = line.variant in line.name or line.variant == "reference"
            return line.name if named else f"{line.name}, {line.variant}"
        bare = line.name.removesuffix("as changed").rstrip(", ")
        return bare or "this build"
