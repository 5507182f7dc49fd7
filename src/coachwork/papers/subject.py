"""What every paper is written from: the report on a build, and how its builder likes it told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from coachwork.build import Build
from coachwork.build.sections.boxes import Box, Boxes
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.confidence import Report
from coachwork.papers.sheet import PaperSize
from coachwork.papers.told import MILLIMETRES, Units


@dataclass(frozen=True, kw_only=True)
class Subject:
    """One build with all its answers."""

    report: Report
    units: Units = MILLIMETRES
    paper: PaperSize = "a4"

    @property
    def build(self) -> Build:
        """Its build file as read."""
        return self.report.build

    @property
    def name(self) -> str:
        """What the builder calls it."""
        return self.build.name.strip() or "Unnamed build"

    def result(self, study: str) -> Any:
        """What a study found out, by the study's name."""
        return self.report.answers[study].result

    def build_boxes(self) -> Mapping[str, Box]:
        """The boxes to stow."""
        return self.build[Boxes].each

    def box_is_fixed(self, name: str) -> bool:
        """Whether a box stays where it is."""
        place = self.build[BoxPlaces].each.get(name)
        return place is not None and place.keep
