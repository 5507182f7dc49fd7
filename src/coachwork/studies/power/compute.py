"""From tables to a drive, and to the same drive otherwise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace

import numpy as np

from coachwork.build import Numbers
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
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels
from coachwork.build.sections.wiring import Wiring
from coachwork.studies.parts import attempt
from coachwork.studies.power.alike import once_each
from coachwork.studies.power.drive import drive
from coachwork.studies.power.driven import Drive
from coachwork.studies.power.duty import stretches
from coachwork.studies.power.guards import Guard, watching
from coachwork.studies.power.heat import network
from coachwork.studies.power.result import Answer, Compared, Met, PowerResult
from coachwork.studies.power.setup import Setup, built_in_instead, opened, separated, setup_of, vented
from coachwork.studies.power.tables import Tables
from coachwork.studies.power.vehicle import Flags, Vehicle, stacked, taken

MORE_VENTS_M2 = 30e-4  # cut into floor and roof, what a builder would try: two rows of slots of 15 cm2
SEPARATE_EFFICIENCY, SEPARATE_K_W = 0.86, 30.0  # of a small switching regulator; makers' sheets, from memory
NEW_VENTS, OPEN, SEPARATE = "with 30 cm2 of vents, low and high", "without the shell", "with a separate regulator"
BUILT_IN = "with the built-in regulator"


def stops(
    shell: Shell, gear: RunningGear, gearing: Gearing, motor: Motor, pack: Pack, controller: Controller,
    regulators: Regulators, wheels: Wheels, loads: Loads, changes: Changes, radio: Radio, wiring: Wiring, heat: Heat,
    cut_outs: CutOuts, duty: Duty,
) -> PowerResult:  # fmt: skip
    """Drive it. What would be otherwise, and what the driver meets, is told of the plain answer alone."""
    tables = Tables(
        shell=shell, gear=gear, gearing=gearing, motor=motor, pack=pack, controller=controller, regulators=regulators,
        wheels=wheels, loads=loads, changes=changes, radio=radio, wiring=wiring, heat=heat, cut_outs=cut_outs,
        duty=duty,
    )  # fmt: skip
    return PowerResult(answer=attempt(lambda: answer(setup_of(tables), built_in=built_in_instead(tables))))


def answer(setup: Setup, *, built_in: Setup | None = None) -> Answer:
    """The drive of a setup. built_in : the same vehicle fed by the controller's own regulator, where it is spare."""
    if setup.samples > 1:
        watched = once_each(setup, lambda some: driven([some], acting=[False]))
        return Answer(setup=setup, watched=watched, run_time_s=run_time_s(setup, watched), met=(), others={})
    height = np.maximum(setup.body.opening_m, 0.5 * setup.body.room_m3 / (0.13 * setup.body.shell_m2))
    others = {OPEN: opened(setup), NEW_VENTS: vented(setup, by_m2=MORE_VENTS_M2, height_m=height)}
    if setup.vehicle.regulator.linear[0] or setup.body.built_in[0]:
        others[SEPARATE] = separated(setup, efficiency=SEPARATE_EFFICIENCY, sink_k_w=SEPARATE_K_W)
    if built_in is not None:
        others[BUILT_IN] = built_in
    whole = driven([setup, setup, *others.values()], acting=[False, True] + [False] * len(others))
    watched = _one(whole, 0)
    return Answer(
        setup=setup,
        watched=watched,
        run_time_s=run_time_s(setup, watched),
        met=tuple(
            Met(second=one.second, trip=one.trip, resets=one.resets) for one in whole.happenings if one.sample == 1
        ),
        others={
            name: Compared(
                what=name,
                hottest_degc=whole.hottest_degc[i],
                first_s={trip: float(first[i]) for trip, first in whole.first_s.items()},
            )
            for i, name in enumerate(others, start=2)
        },
    )


def driven(setups: Sequence[Setup], *, acting: Sequence[bool], seconds: float | None = None) -> Drive:
    """Several setups of one duty side by side, each with its guards free to act or only watching."""
    setup = setups[0]
    free = np.repeat(np.array(acting), [one.samples for one in setups])
    whole = stacked_setup(setups)
    guards = tuple(
        guard
        for tied, flags in ((False, free), (True, ~free))
        if flags.any()
        for guard in _fitted(watching(whole.guards) if tied else whole.guards, flags)
    )
    return drive(
        whole.vehicle, network(whole.body), guards, stretches(setup.legs), rail_a=whole.rail_a,
        seconds=setup.seconds if seconds is None else seconds, keep_trace=setup.samples == 1,
    )  # fmt: skip


def _fitted(guards: Sequence[Guard], flags: Flags) -> tuple[Guard, ...]:
    return tuple(replace(guard, fitted=guard.fitted & flags) for guard in guards)


def stacked_setup(setups: Sequence[Setup]) -> Setup:
    """Setups of one duty one behind the other along the samples."""
    vehicle = Vehicle(**{f.name: stacked([getattr(s.vehicle, f.name) for s in setups]) for f in fields(Vehicle)})
    return replace(
        setups[0],
        vehicle=vehicle,
        body=stacked([setup.body for setup in setups]),
        guards=tuple(stacked(list(alike)) for alike in zip(*(setup.guards for setup in setups), strict=True)),
        rail_a={state: np.concatenate([s.rail_a[state] for s in setups]) for state in setups[0].rail_a},
        hottest_degc=np.concatenate([setup.hottest_degc for setup in setups]),
    )


def _one(whole: Drive, sample: int) -> Drive:
    """The drive of one sample alone."""
    trace = whole.trace
    index = np.array([sample])
    if trace is not None:
        many = {f.name: getattr(trace, f.name) for f in fields(trace) if f.name != "seconds"}
        trace = replace(trace, **{name: array[:, index] for name, array in many.items()})
    bare = replace(whole, trace=None, happenings=())
    return replace(
        taken(bare, index),
        happenings=tuple(replace(one, sample=0) for one in whole.happenings if one.sample == sample),
        trace=trace,
    )


def run_time_s(setup: Setup, watched: Drive) -> Numbers:
    """Until the pack is cut off or empty; where it outlasts the drive, at the drive's mean current."""
    ends = np.minimum(watched.first_s["cell cut-off"], watched.first_s["empty"])
    used = np.maximum(setup.vehicle.pack.share - watched.share, 1e-6)
    return np.where(np.isfinite(ends), ends, watched.seconds * setup.vehicle.pack.share / used)
