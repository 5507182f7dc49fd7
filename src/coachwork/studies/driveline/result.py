"""What the driveline study answers; arrays (samples,) unless a part says otherwise."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build import Numbers
from coachwork.studies.driveline.against import Against
from coachwork.studies.driveline.drive import Drive, Run
from coachwork.studies.driveline.duty import Aims, Round
from coachwork.studies.driveline.gather import Driven, Radii
from coachwork.studies.driveline.gears import Mesh
from coachwork.studies.driveline.motor import Motor
from coachwork.studies.driveline.pinions import Pinions
from coachwork.studies.parts import Part
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class Speed(Result):
    """The top speed on the level.

    no_load_rpm : the motor's, wheels off the ground; motor_rpm : at top speed
    """

    top_mm_s: Numbers
    current_a: Numbers
    motor_rpm: Numbers
    no_load_rpm: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Ramp(Result):
    """The steepest ramp it starts on, as tangents, and the pull behind it.

    current_a : the motor's, wheels held; burns_s : how soon that heats its winding beyond its insulation
    """

    by_motor: Numbers
    by_grip: Numbers
    motor_pull_n: Numbers
    current_a: Numbers
    burns_s: Numbers
    grip_n: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class DrivelineResult:
    """Each part on its own, so that a blank number costs only what needs it.

    radii        : of both axles' tyres, as changed
    changed      : all numbers the drive is computed from; bought : the same for the donor with this motor and pack
    module_mm, pinion_module_mm : the spur's and the pinion's own
    scale        : model over full size, where the builder states one
    """

    aims: Aims
    motor: Part[Motor]
    driven: Part[Driven]
    radii: Part[Radii]
    mesh: Part[Mesh]
    module_mm: Part[Numbers]
    pinion_module_mm: Part[Numbers]
    changed: Part[Drive]
    bought: Part[Drive]
    speed: Part[Speed]
    speed_bought: Part[Speed]
    ramp: Part[Ramp]
    run: Part[Run]
    round: Part[Round]
    pinions: Part[Pinions]
    against: Part[Against]
    scale: Numbers | None
