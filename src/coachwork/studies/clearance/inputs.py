"""The tables behind a scene, and what every part of it asks of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.envelopes import Envelopes
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.shapes import Bodies


@dataclass(frozen=True, kw_only=True)
class Sections:
    """The tables behind a scene."""

    shell: Shell
    gear: RunningGear
    wheels: Wheels
    changes: Changes
    envelopes: Envelopes
    samples: int


def still(samples: int, shift: Array, *, right: bool = False) -> Bodies:
    """Bodies that stand in the chassis."""
    motion = Motion(np.eye(3)[None], np.zeros((1, 3)))
    return Bodies(motions={"chassis": motion, "shell": motion}, count=samples, right=right, shift=shift)


def shift(of: Sections, end: EndName) -> Array:
    """Chassis frame from the end's, (samples or 1, 3). Raises NotMeasured."""
    if end == "front":
        return np.zeros((1, 3))
    require(of.gear.wheelbase)
    longer = of.changes.stretch.mm if of.changes.stretch.given else 0.0
    return np.stack([-(of.gear.wheelbase.mm + longer), *np.zeros((2, of.samples))], axis=-1)
