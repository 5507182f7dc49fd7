"""What the study answers: for each thing that moves, how near everything else comes, where, and in which pose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from coachwork.build.sections.corner import EndName
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.corners import Pose
from coachwork.studies.clearance.scene import Scene
from coachwork.studies.clearance.search import Spot
from coachwork.studies.parts import Part
from coachwork.studies.result import Result
from coachwork.studies.solids import Nearby

QUESTIONS = ("tyre-shell", "tyre-parts", "rim-inside", "shaft", "damper", "links", "steering", "anti-roll-bar", "parts")


@dataclass(frozen=True, eq=False, kw_only=True)
class Contact(Result):
    """Two things at their nearest, or deepest, over all poses."""

    moving: str  # in the builder's words
    other: str
    distance_mm: Array  # (samples,), negative: how deep one is inside the other
    depth_of: str  # whose deepest point a negative distance is about; the shortest way out for that point alone
    moving_at_mm: Array  # (3,), chassis frame
    other_at_mm: Array  # (3,)
    pose: Pose | None  # None: nothing moves
    spot: Spot = field(metadata={"json": False})


@dataclass(frozen=True, eq=False, kw_only=True)
class Closest(Result):
    """All pairs of one question, the nearest first."""

    contacts: tuple[Contact, ...]

    @property
    def distance_mm(self) -> Array:
        """The least, (samples,)."""
        return np.asarray(np.min(np.broadcast_arrays(*(one.distance_mm for one in self.contacts)), axis=0))

    @property
    def worst(self) -> Contact:
        """The nearest pair by the plain numbers."""
        return self.contacts[0]

    @property
    def touching(self) -> tuple[Contact, ...]:
        """All that touch."""
        return tuple(one for one in self.contacts if float(one.distance_mm.flat[0]) < 0)


@dataclass(frozen=True, eq=False, kw_only=True)
class EndClearance(Result):
    """One end. A question that does not arise there is not in the table."""

    name: EndName
    closest: Mapping[str, Part[Closest]]  # by question, of QUESTIONS


@dataclass(frozen=True, eq=False, kw_only=True)
class ClearanceResult(Result):
    """Both ends, the shell over the boxes where it was scanned, and the gap that is wanted."""

    front: EndClearance
    rear: EndClearance
    underside: Part[Closest] | None  # None: no scan to look at
    gap_mm: Array  # (samples,)
    no_scan: str  # why a scan that was named is not what the tyres were held against; empty: none was, or it is
    made_near: Part[tuple[Nearby, ...]] | None = None  # made parts to the scanned shell, the nearest first
    scene: Scene = field(metadata={"json": False})  # for whoever draws curves, trims or sweeps
