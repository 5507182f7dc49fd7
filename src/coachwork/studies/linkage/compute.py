"""From the build's sections to both ends of the vehicle."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.about import About
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.outline import Prototype
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted as WantedSection
from coachwork.build.sections.wheels import Wheels
from coachwork.studies.linkage.axle import AxleResult, axle_result
from coachwork.studies.linkage.end import end_result
from coachwork.studies.linkage.result import EndResult, LinkageResult
from coachwork.studies.memory import Memory
from coachwork.studies.parts import CannotBe, attempt, need
from coachwork.studies.stance.along import CentreShaft
from coachwork.studies.stance.result import StanceResult


def linkage(
    about: About,
    prototype: Prototype,
    running_gear: RunningGear,
    wheels: Wheels,
    changes: Changes,
    wanted: WantedSection,
    loads: Loads,
    stance: StanceResult,
    memory: Memory,
) -> LinkageResult:
    """Both ends of the vehicle, each as bought and as changed; stance says where the tyres stand in their arches.

    Remembered are each end, what was bought of it, and what is solved for: a change of one end leaves the other alone.
    """

    def shaft_off() -> Numbers:
        drive = need(stance.drive)
        if not isinstance(drive, CentreShaft):
            raise CannotBe("no centre shaft drives it")
        return drive.off_mm

    def circle() -> Numbers:
        if wanted.turning_circle.given:
            return wanted.turning_circle.mm
        require(prototype.turning_circle, about.scale)
        return np.asarray(prototype.turning_circle.mm * about.scale.ratio)

    def end(name: EndName) -> EndResult | AxleResult:
        planned, change = getattr(wheels, name), getattr(changes, name)
        if getattr(running_gear, name).kind == "live-axle":
            return axle_result(name, running_gear, planned, change, shaft_off_mm=attempt(shaft_off))
        gap, wide = attempt(lambda: need(stance.ends[name].fore_aft).gap_mm), attempt(circle)
        return memory.once_reading(
            name, (gap, wide),
            lambda: end_result(
                name, running_gear, planned, changes, getattr(wanted, name), loads, memory, gap_mm=gap,
                circle_wanted_mm=wide,
            ),
        )  # fmt: skip

    return LinkageResult(front=end("front"), rear=end("rear"))
