"""One axle's inputs, gathered from the tables they stand in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Length, Numbers
from coachwork.build.sections.changes import ChangedEnd, Changes
from coachwork.build.sections.corner import End, EndName
from coachwork.build.sections.outline import Arch, Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wheels import Wheel, Wheels, fitted

ENDS: tuple[EndName, EndName] = ("front", "rear")


@dataclass(frozen=True, kw_only=True)
class Axle:
    """What is known of one axle and the arches over it."""

    name: EndName
    gear: End
    wheel: Wheel
    wheel_planned: bool  # else the wheel is the one bought with the running gear
    changed: ChangedEnd
    arch: Arch
    opening: Length
    tuck: Length
    prototype_track: Length


def axle(name: EndName, prototype: Prototype, shell: Shell, gear: RunningGear, wheels: Wheels, changes: Changes,
         wanted: Wanted) -> Axle:  # fmt: skip
    """One end's share of every table."""
    end: End = getattr(gear, name)
    planned: Wheel = getattr(wheels, name)
    wheel = fitted(planned=planned, bought=end.wheel)
    return Axle(
        name=name, gear=end, wheel=wheel, wheel_planned=wheel is planned, changed=getattr(changes, name),
        arch=getattr(shell, name), opening=getattr(shell, f"arch_opening_{name}"), tuck=getattr(wanted, name).tuck,
        prototype_track=getattr(prototype, f"track_{name}"),
    )  # fmt: skip


def or_nothing(change: Length) -> Numbers:
    """A change in mm, (samples,); nought where the line is left out, which means as bought."""
    return change.mm if change.given else np.zeros(1)
