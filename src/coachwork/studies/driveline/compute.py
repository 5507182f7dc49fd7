"""From tables to what the motor does with the vehicle, and the ground with both."""

from __future__ import annotations

from coachwork.build import Numbers
from coachwork.build.sections.about import About
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.controller import Controller
from coachwork.build.sections.gearing import Gearing
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.motor import Motor as MotorTable
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wheels import Wheels
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.alike import once_each
from coachwork.studies.driveline import gather
from coachwork.studies.driveline.against import against_bought
from coachwork.studies.driveline.drive import Drive, Run, run_up
from coachwork.studies.driveline.duty import round_of
from coachwork.studies.driveline.gather import State
from coachwork.studies.driveline.motor import RAD_S_PER_RPM, no_load_rad_s, seconds_to_burn
from coachwork.studies.driveline.pinions import pinions
from coachwork.studies.driveline.result import DrivelineResult, Ramp, Speed
from coachwork.studies.driveline.road import gradient_for, gradient_of_grip
from coachwork.studies.parts import CannotBe, attempt, need, need_all


def pull(
    about: About, shell: Shell, gear: RunningGear, gearing: Gearing, motor: MotorTable, pack: Pack,
    controller: Controller, wiring: Wiring, wheels: Wheels, loads: Loads, changes: Changes, wanted: Wanted,
) -> DrivelineResult:  # fmt: skip
    """Everything about the drive. All arrays (samples,)."""
    aims = gather.aims_of(wanted)
    motor_ = attempt(gather.motor_of, motor)
    supply = attempt(gather.supply_of, pack, controller, wiring)

    def drive(state: State) -> Drive:
        gears = attempt(gather.gears_of, gearing, changes, state)
        vehicle = attempt(gather.vehicle_of, gear, gearing, wheels, loads, shell, state)
        (teeth, running), (machine, fed) = need_all(
            attempt(lambda: need_all(gears, vehicle)), attempt(lambda: need_all(motor_, supply))
        )
        return Drive(motor=machine, supply=fed, gears=teeth, vehicle=running, efficiency=gearing.efficiency.ratio)

    changed, bought = attempt(drive, "as changed"), attempt(drive, "as bought")
    mesh = attempt(gather.mesh_of, gearing, changes)
    against = attempt(lambda: against_bought(need(changed), need(bought)))
    return DrivelineResult(
        aims=aims,
        motor=motor_,
        driven=attempt(gather.driven, gearing, gear),
        radii=attempt(gather.radii_of, gear, wheels, "as changed"),
        mesh=mesh,
        module_mm=attempt(gather.module_mm, gearing),
        pinion_module_mm=attempt(lambda: gearing.pinion_module.mm),
        changed=changed,
        bought=bought,
        speed=attempt(lambda: _speed(need(changed))),
        speed_bought=attempt(lambda: _speed(need(bought))),
        ramp=attempt(lambda: _ramp(need(changed))),
        run=attempt(lambda: _run_up(_moving(need(changed)), aims.top_speed_mm_s)),
        round=attempt(lambda: round_of(_moving(need(changed)), aims)),
        pinions=attempt(
            lambda: once_each(
                aims.top_speed_mm_s.size, (need(changed), aims, mesh, against), lambda some: pinions(*some)
            )
        ),
        against=against,
        scale=about.scale.ratio if about.scale.given else None,
    )


def _run_up(drive: Drive, to_mm_s: Numbers) -> Run:
    return once_each(to_mm_s.size, (drive, to_mm_s), lambda some: run_up(some[0], to_mm_s=some[1]))


def _moving(drive: Drive) -> Drive:
    """The same drive. Raises CannotBe where it cannot even roll on the level."""
    if not (drive.top_speed_mm_s() > 0).any():
        pull_n, needs = float(drive.standing_pull_n().flat[0]), float(drive.vehicle.rolling_n.flat[0])
        raise CannotBe(f"it does not move: {pull_n:.1f} N of pull against {needs:.1f} N of rolling resistance")
    return drive


def _speed(drive: Drive) -> Speed:
    top = drive.top_speed_mm_s()
    free = no_load_rad_s(
        drive.motor, voltage_v=drive.supply.voltage_v - drive.motor.no_load_a * drive.supply.resistance_ohm
    )
    point = drive.full_throttle(top)
    return Speed(
        top_mm_s=top,
        current_a=point.current_a,
        motor_rpm=top * drive.rad_per_mm / RAD_S_PER_RPM,
        no_load_rpm=free / RAD_S_PER_RPM,
    )


def _ramp(drive: Drive) -> Ramp:
    pull_n = drive.standing_pull_n()
    return Ramp(
        by_motor=gradient_for(drive.vehicle, force_n=pull_n),
        by_grip=gradient_of_grip(drive.vehicle),
        motor_pull_n=pull_n,
        current_a=drive.standing_a(),
        burns_s=seconds_to_burn(drive.motor, current_a=drive.standing_a()),
        grip_n=drive.vehicle.grip_n,
    )
