"""From the build's tables to motor, supply, gears and vehicle, as bought and as changed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import Count, NotMeasured, Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.controller import Controller
from coachwork.build.sections.gearing import Gearing
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.motor import Motor as MotorTable
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wheels import Wheel, Wheels, fitted
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.driveline.drive import Supply
from coachwork.studies.driveline.duty import Aims
from coachwork.studies.driveline.gears import MM_PER_INCH, Gears, Mesh
from coachwork.studies.driveline.motor import RAD_S_PER_RPM, Motor
from coachwork.studies.driveline.road import Vehicle, rolling_radius_mm
from coachwork.studies.supply import nominal_v, pack_leads_ohm, switches_ohm

Driven = Literal["both", "front", "rear"]
State = Literal["as bought", "as changed"]

# Of the motor's mass and diameter: what turns, and its radius of equal mass. Our judgement, no source.
ROTOR_MASS_SHARE, ROTOR_RADIUS_SHARE = 0.35, 0.3
WINDING_MASS_SHARE = 0.15  # copper, of the motor's mass
COPPER_J_PER_G_K, STEEL_J_PER_G_K = 0.385, 0.46  # handbook values at 25 degC, from memory
FRONTAL_MM2 = 30000.0  # where the shell is not measured: 200 mm wide, 180 mm high, a little off for its corners
FRONTAL_SHARE = 0.85  # of width times height


def motor_of(table: MotorTable) -> Motor:
    """The motor; its rotor and what heat it stores follow from its mass and diameter. Raises NotMeasured."""
    require(table.speed_per_volt, table.resistance, table.no_load_current, table.mass, table.can_across)
    mass, radius = table.mass.g, ROTOR_RADIUS_SHARE * table.can_across.mm
    winding_g = WINDING_MASS_SHARE * mass
    return Motor(
        constant_v_s=1 / (table.speed_per_volt.rpm_per_v * RAD_S_PER_RPM),
        resistance_ohm=table.resistance.ohm,
        no_load_a=table.no_load_current.a,
        rotor_g_mm2=ROTOR_MASS_SHARE * mass * radius**2 / 2,
        winding_to_case_k_per_w=table.winding_to_case.k_per_w,
        case_to_air_k_per_w=table.case_to_air.k_per_w,
        winding_j_per_k=winding_g * COPPER_J_PER_G_K,
        case_j_per_k=(mass - winding_g) * STEEL_J_PER_G_K,
        hottest_degc=table.hottest.degc,
        surroundings_degc=table.surroundings.degc,
    )


def supply_of(pack: Pack, controller: Controller, wiring: Wiring) -> Supply:
    """The pack at its label's voltage; its own resistance, its leads' and the controller's. Raises NotMeasured."""
    return Supply(
        voltage_v=nominal_v(pack),
        resistance_ohm=pack.resistance.ohm + pack_leads_ohm(wiring) + switches_ohm(controller),
        limit_a=controller.current_limit.a,
    )


def gears_of(gearing: Gearing, changes: Changes, state: State) -> Gears:
    """Teeth as bought, or as changed where changes name others. Raises NotMeasured."""
    pinion, spur = _teeth(gearing, changes, state)
    require(pinion, spur, gearing.internal_ratio)
    return Gears(pinion_teeth=pinion.count, spur_teeth=spur.count, internal_ratio=gearing.internal_ratio.ratio)


def _teeth(gearing: Gearing, changes: Changes, state: State) -> tuple[Count, Count]:
    def pick(new: Count, old: Count) -> Count:
        return new if state == "as changed" and new.given else old

    return pick(changes.pinion_teeth, gearing.pinion_teeth), pick(changes.spur_teeth, gearing.spur_teeth)


def mesh_of(gearing: Gearing, changes: Changes) -> Mesh:
    """Centres and slot, as changed. Raises NotMeasured: whether gears meet is not judged on guessed teeth."""
    pinion, spur = _teeth(gearing, changes, "as changed")
    pitch = () if gearing.diametral_pitch.given else (gearing.module,)
    wanted = (pinion, spur, *pitch, gearing.slot_least, gearing.slot_most)
    if blank := [entry for entry in wanted if not entry.given]:
        raise NotMeasured(blank)
    return Mesh(
        module_mm=module_mm(gearing), pinion_teeth=pinion.count, spur_teeth=spur.count,
        least_mm=gearing.slot_least.mm, most_mm=gearing.slot_most.mm,
    )  # fmt: skip


def module_mm(gearing: Gearing) -> Numbers:
    """The spur's module, as marked or from its teeth to the inch. Raises NotMeasured asking for the module."""
    if gearing.diametral_pitch.given:
        return np.round(MM_PER_INCH / gearing.diametral_pitch.ratio, 6)
    return gearing.module.mm


def driven(gearing: Gearing, gear: RunningGear) -> Driven:
    """Which axles pull. Raises NotMeasured where nothing says so."""
    if gearing.driven is not None:
        return gearing.driven
    if gear.drive in ("shaft", "belt"):
        return "both"
    raise NotMeasured(["gearing.driven" if gear.drive == "none" else "running-gear.drive"])


@dataclass(frozen=True, kw_only=True, eq=False)
class Radii:
    """Rolling radii of both axles' tyres, mm, (samples,)."""

    front_mm: Numbers
    rear_mm: Numbers


def radii_of(gear: RunningGear, wheels: Wheels, state: State) -> Radii:
    """Raises NotMeasured naming every tyre that is not measured."""
    front, rear = _tyre(gear, wheels, state, "front"), _tyre(gear, wheels, state, "rear")
    require(front.tyre_diameter, front.tyre_squash, rear.tyre_diameter, rear.tyre_squash)
    return Radii(front_mm=_radius_mm(front), rear_mm=_radius_mm(rear))


def _driven_radius_mm(gear: RunningGear, wheels: Wheels, state: State, which: Driven) -> Numbers:
    """Of the driven tyres, the mean of both ends where both are; others are not asked for."""
    if which == "both":
        radii = radii_of(gear, wheels, state)
        return (radii.front_mm + radii.rear_mm) / 2
    return _radius_mm(_tyre(gear, wheels, state, which))


def _tyre(gear: RunningGear, wheels: Wheels, state: State, end: Literal["front", "rear"]) -> Wheel:
    bought: Wheel = getattr(gear, end).wheel
    planned: Wheel = getattr(wheels, end)
    return fitted(planned=planned, bought=bought) if state == "as changed" else bought


def _radius_mm(wheel: Wheel) -> Numbers:
    return rolling_radius_mm(diameter_mm=wheel.tyre_diameter.mm, squash_mm=wheel.tyre_squash.mm)


def vehicle_of(
    gear: RunningGear, gearing: Gearing, wheels: Wheels, loads: Loads, shell: Shell, state: State
) -> Vehicle:
    """As bought: the donor's mass and tyres on the same ground. Raises NotMeasured."""
    which = driven(gearing, gear)
    radius_mm = _driven_radius_mm(gear, wheels, state, which)
    mass = loads.mass if state == "as changed" else gear.mass
    share = np.ones(1)
    if which != "both":
        share = loads.front_share.ratio if which == "front" else 1 - loads.front_share.ratio
    measured = shell.width.given and shell.height.given
    frontal = FRONTAL_SHARE * shell.width.mm * shell.height.mm if measured else np.array([FRONTAL_MM2])
    return Vehicle(
        mass_g=mass.g, rolling=loads.rolling.ratio, grip=loads.grip.ratio, driven_share=share,
        drag_mm2=loads.drag.ratio * frontal, radius_mm=radius_mm,
    )  # fmt: skip


def aims_of(wanted: Wanted) -> Aims:
    """What is wanted; every line has a usual value."""
    return Aims(
        top_speed_mm_s=wanted.top_speed.mm_per_s, gradient=wanted.gradient.ratio, ramp_share=wanted.ramp_share.ratio,
        start_time_s=wanted.start_time.s, stop_every_s=wanted.stop_every.s,
    )  # fmt: skip
