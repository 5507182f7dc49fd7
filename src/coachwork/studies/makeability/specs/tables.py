"""The tables that parts are drawn from."""

from __future__ import annotations

from dataclasses import dataclass, fields

from coachwork.build import Build, Section
from coachwork.build.sections.boxes import Boxes
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.keep_outs import KeepOuts
from coachwork.build.sections.making import Making
from coachwork.build.sections.masses import Masses
from coachwork.build.sections.parts import Parts
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.studies.makeability.specs.plain import by_plain_numbers
from coachwork.studies.stowage.placed import Placing

_SECTIONS: dict[str, type[Section]] = {
    "parts": Parts, "making": Making, "gear": RunningGear, "changes": Changes, "decks": Decks, "boxes": Boxes,
    "places": BoxPlaces, "keep_outs": KeepOuts, "masses": Masses,
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class PartTables:
    """By their plain numbers."""

    parts: Parts
    making: Making
    gear: RunningGear
    changes: Changes
    decks: Decks
    boxes: Boxes
    places: BoxPlaces
    keep_outs: KeepOuts
    masses: Masses

    @classmethod
    def of(cls, build: Build) -> PartTables:
        """Of a build as read."""
        held = {field.name: by_plain_numbers(build[_SECTIONS[field.name]]) for field in fields(cls)}
        return cls(**held)  # type: ignore[arg-type]

    @property
    def placing(self) -> Placing:
        """What says where a box is."""
        return Placing(boxes=self.boxes, decks=self.decks, places=self.places)
