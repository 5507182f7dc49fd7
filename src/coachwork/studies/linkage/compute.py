"""From the build's sections to both ends of the vehicle."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.about import About
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted as WantedSection
from coachwork.build.sections.wheels import Wheels, fitted
from coachwork.studies.linkage.axle import AxleResult, axle_result
from coachwork.studies.linkage.end import end_result
from coachwork.studies.linkage.hardpoints import EndName
from coachwork.studies.linkage.result import EndResult, LinkageResult
from coachwork.studies.parts import attempt


def linkage(
    about: About,
    prototype: Prototype,
    shell: Shell,
    running_gear: RunningGear,
    wheels: Wheels,
    changes: Changes,
    wanted: WantedSection,
    loads: Loads,
) -> LinkageResult:
    """Both ends of the vehicle, each as bought and as changed."""

    def gap(name: str) -> Numbers:
        """Fore-aft room between the tyre and its arch, the wheel in the arch's middle."""
        wheel = fitted(planned=getattr(wheels, name), bought=getattr(running_gear, name).wheel)
        opening = getattr(shell, f"arch_opening_{name}")
        require(opening, wheel.tyre_diameter)
        return np.asarray((opening.mm - wheel.tyre_diameter.mm) / 2)

    def circle() -> Numbers:
        if wanted.turning_circle.given:
            return wanted.turning_circle.mm
        require(prototype.turning_circle, about.scale)
        return np.asarray(prototype.turning_circle.mm * about.scale.ratio)

    def end(name: EndName) -> EndResult | AxleResult:
        planned, change = getattr(wheels, name), getattr(changes, name)
        if getattr(running_gear, name).kind == "live-axle":
            return axle_result(name, running_gear, planned, change)
        return end_result(
            name,
            running_gear,
            planned,
            changes,
            getattr(wanted, name),
            loads,
            gap_mm=attempt(gap, name),
            circle_wanted_mm=attempt(circle),
        )

    return LinkageResult(front=end("front"), rear=end("rear"))
