"""Curves: pull and what the road asks, current, efficiency, the run up to speed, the pinions."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.chart import Chart, Line, Variant
from coachwork.studies.driveline.drive import Drive, Run, widened
from coachwork.studies.driveline.duty import Aims
from coachwork.studies.driveline.pinions import Pinions
from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.parts import is_missing
from coachwork.studies.wording import first

POINTS = 121
KMH = 0.0036  # for each mm/s
SPEED = "speed (km/h)"


def charts(result: DrivelineResult) -> Iterator[Chart]:
    """What there is numbers for."""
    states: tuple[tuple[Variant, object], ...] = (("as bought", result.bought), ("as changed", result.changed))
    drives = {variant: drive for variant, drive in states if isinstance(drive, Drive)}
    if drives:
        yield _pull(drives, result.aims)
        yield _current(drives, result.aims)
        yield _efficiency(drives)
    if not is_missing(result.run):
        yield _run(result.run)
    if not is_missing(result.pinions) and not is_missing(result.changed):
        yield _pinions(result.pinions, result.changed, result.aims)


def _speeds(drive: Drive) -> Numbers:
    """From standstill to the top speed, (1, speeds), mm/s."""
    return np.linspace(0.0, max(first(drive.top_speed_mm_s()), 1.0), POINTS)[None, :]


def _pull(drives: dict[Variant, Drive], aims: Aims) -> Chart:
    lines = []
    for variant, drive in drives.items():
        speed = _speeds(drive)
        pull = widened(drive).motor_pull_n(speed)
        lines.append(Line(name=variant, variant=variant, x=speed[0] * KMH, y=pull[0]))
    latest = list(drives.values())[-1]
    speed, wide = _speeds(latest), widened(latest)
    gradient = first(aims.gradient)
    for name, gradient_ in (("needed on the level", 0.0), (f"needed on {100 * gradient:.0f} %", gradient)):
        needed = wide.vehicle.resistance_n(speed_mm_s=speed, gradient=gradient_)
        lines.append(Line(name=name, variant="reference", x=speed[0] * KMH, y=needed[0]))
    grip = np.full_like(speed, first(latest.vehicle.grip_n))
    lines.append(Line(name="tyres slip above", variant="reference", x=speed[0] * KMH, y=grip[0]))
    return Chart(
        id="driveline.pull", title="Pull at the tyres, trigger pulled", x_label=SPEED, y_label="pull (N)",
        lines=tuple(lines), note="Pull and need cross at the top speed. A flat beginning is the controller's limit.",
    )  # fmt: skip


def _current(drives: dict[Variant, Drive], aims: Aims) -> Chart:
    lines = []
    for variant, drive in drives.items():
        speed = _speeds(drive)
        amps = widened(drive).full_throttle(speed).current_a
        lines.append(Line(name=variant, variant=variant, x=speed[0] * KMH, y=amps[0]))
    if (changed := drives.get("as changed")) is not None:
        speed, wide = _speeds(changed), widened(changed)
        for name, gradient in (
            ("held on the level", 0.0),
            (f"held on {100 * first(aims.gradient):.0f} %", first(aims.gradient)),
        ):
            force = wide.vehicle.resistance_n(speed_mm_s=speed, gradient=gradient)
            amps = np.where(
                wide.motor_pull_n(speed) >= force * (1 - 1e-9), wide.steady(speed, force_n=force).current_a, np.nan
            )
            lines.append(Line(name=name, variant="reference", x=speed[0] * KMH, y=amps[0]))
    return Chart(
        id="driveline.current", title="Motor current, trigger pulled and holding a speed", x_label=SPEED,
        y_label="current (A)", lines=tuple(lines),
        note="The motor's: a controller at part throttle draws less than that from the pack.",
    )  # fmt: skip


def _efficiency(drives: dict[Variant, Drive]) -> Chart:
    lines = []
    for variant, drive in drives.items():
        speed, wide = _speeds(drive), widened(drive)
        force = wide.vehicle.resistance_n(speed_mm_s=speed)
        lines.append(
            Line(name=f"on the level, {variant}", variant=variant, x=speed[0] * KMH,
                 y=100 * np.broadcast_to(wide.steady(speed, force_n=force).efficiency, speed.shape)[0])
        )  # fmt: skip
    if (changed := drives.get("as changed")) is not None:
        speed = _speeds(changed)
        lines.append(
            Line(name="trigger pulled", variant="reference", x=speed[0] * KMH,
                 y=100 * np.broadcast_to(widened(changed).full_throttle(speed).efficiency, speed.shape)[0])
        )  # fmt: skip
    return Chart(
        id="driveline.efficiency", title="Efficiency of the motor", x_label=SPEED,
        y_label="shaft power over electrical power (%)", lines=tuple(lines),
    )  # fmt: skip


def _run(run: Run) -> Chart:
    return Chart(
        id="driveline.run", title="The run up to the wanted speed, trigger pulled", x_label="time (s)", y_label=SPEED,
        lines=(Line(name="as changed", variant="as changed", x=run.time_s[0], y=run.speed_mm_s[0] * KMH),),
    )  # fmt: skip


def _pinions(table: Pinions, drive: Drive, aims: Aims) -> Chart:
    teeth, hot = table.teeth[0], np.full(table.teeth.shape[1], first(drive.motor.hottest_degc))
    fits = np.where(table.fits[0] > 0, table.case_degc[0], np.nan)
    return Chart(
        id="driveline.pinions", title="Motor temperature on a round, for each pinion", x_label="teeth of the pinion",
        y_label="can of the motor (degC)",
        lines=(
            Line(name="fast, cool and in reach", variant="as changed", x=teeth, y=fits),
            Line(name="any pinion", variant="reference", x=teeth, y=table.case_degc[0]),
            Line(name="hottest allowed", variant="reference", x=teeth, y=hot),
        ),
        note=f"Fitted: {first(table.fitted_teeth):.0f} teeth. Wanted: {first(aims.top_speed_mm_s) * KMH:.0f} km/h",
    )  # fmt: skip
