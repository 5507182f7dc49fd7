"""The tables that a drive comes from, and which of the regulators feeds the receiver."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build.sections.changes import Changes
from coachwork.build.sections.controller import Controller
from coachwork.build.sections.cut_outs import CutOuts
from coachwork.build.sections.duty import Duty
from coachwork.build.sections.gearing import Gearing
from coachwork.build.sections.heat import Heat
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.motor import Motor
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.regulators import Regulator, Regulators
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.parts import CannotBe


@dataclass(frozen=True, kw_only=True, eq=False)
class Tables:
    """All of them."""

    shell: Shell
    gear: RunningGear
    gearing: Gearing
    motor: Motor
    pack: Pack
    controller: Controller
    regulators: Regulators
    wheels: Wheels
    loads: Loads
    changes: Changes
    radio: Radio
    wiring: Wiring
    heat: Heat
    cut_outs: CutOuts
    duty: Duty


def receivers_regulator(regulators: Regulators, wiring: Wiring) -> tuple[str, Regulator]:
    """Of those used: the one that a lead joins to the receiver, else the built-in, else the first. Raises CannotBe."""
    used = {name: one for name, one in regulators.each.items() if one.used}
    if not used:
        raise CannotBe(
            "nothing feeds the receiver yet: write the controller's built-in regulator, or your own, in [regulators]"
        )
    for lead in wiring.leads.values():
        if lead.ends.strip() == "receiver" and lead.begins.strip() in used:
            return lead.begins.strip(), used[lead.begins.strip()]
    name = next(iter([*(name for name, one in used.items() if is_built_in(one)), *used]))
    return name, used[name]


def is_built_in(regulator: Regulator) -> bool:
    """Whether it sits on the controller's board."""
    return regulator.fed_by.strip() == "controller"
