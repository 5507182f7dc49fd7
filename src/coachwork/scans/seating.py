"""Where a found shell sits on the chassis: by mount heights, by its arches, or as given. Pure; arrays over samples.

Shell frame: x forward from the front arches' centre, z up from the sill. Chassis frame: x forward from the front axle
line, z up from the underside. Both are symmetric about y = 0, so that three numbers are left: a shift along, a shift
up, and the pitch, positive nose down (ISO 8855).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import NotMeasured, Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.seating import Seating
from coachwork.build.sections.wheels import Wheels, fitted
from coachwork.errors import Unsure
from coachwork.geometry.rigid import Motion
from coachwork.scans.found import FoundShell
from coachwork.scans.seated import WHEELS, Residual, SeatedBy, Wheel

ENDS = ("front", "rear")


@dataclass(frozen=True, kw_only=True)
class Held:
    """The tables that say how the shell is held."""

    seating: Seating
    changes: Changes
    gear: RunningGear
    wheels: Wheels


@dataclass(frozen=True, eq=False, kw_only=True)
class Seat:
    """Carries the shell frame to the chassis frame: (samples,) each."""

    by: SeatedBy
    x_mm: Numbers
    z_mm: Numbers
    pitch_rad: Numbers

    @property
    def chassis_from_shell(self) -> Motion:
        """Rotation (samples, 3, 3), shift (samples, 3)."""
        x, z, pitch = np.broadcast_arrays(self.x_mm, self.z_mm, self.pitch_rad)
        turn = Motion.about(np.zeros(3), np.array([0.0, 1.0, 0.0]), pitch)
        return Motion.by(np.stack([x, np.zeros_like(x), z], axis=-1)) @ turn


def seat(found: FoundShell, held: Held) -> Seat:
    """The seat asked for, or the first that the numbers allow.

    Raises NotMeasured for numbers the seat needs, Unsure where the arches it needs were not found.
    """
    by = held.seating.by or ("mount-heights" if held.changes.sill_above_underside.given else "arches")
    if by == "given":
        return _given(found, held)
    return _by_mounts(found, held) if by == "mount-heights" else _by_arches(found, held)


def _level(front_mm: Numbers, rear_mm: Numbers, apart_mm: Numbers) -> tuple[Numbers, Numbers]:
    """Pitch, nose down positive, and height at the front axle line, of a sill at these heights at both axles."""
    return np.arctan2(rear_mm - front_mm, apart_mm), front_mm


def _axles_apart(held: Held) -> Numbers:
    stretch = held.changes.stretch
    return held.gear.wheelbase.mm + (stretch.mm if stretch.given else 0.0)


def _given(found: FoundShell, held: Held) -> Seat:
    own = held.seating
    require(own.nose_ahead, own.sill_front, own.sill_rear, held.gear.wheelbase)
    pitch, height = _level(own.sill_front.mm, own.sill_rear.mm, _axles_apart(held))
    # The nose is the foremost point, so it moves a little when the shell is turned: to first order by its height.
    x = own.nose_ahead.mm - found.nose.value * np.cos(pitch)
    return Seat(by="given", x_mm=x, z_mm=height + x * np.tan(pitch), pitch_rad=pitch)


def _by_mounts(found: FoundShell, held: Held) -> Seat:
    own, changes = held.seating, held.changes
    pair = found.pair("front")
    if pair is None:
        raise Unsure("the shell cannot be set over the front axle: its front arches were not found in the mesh")
    if own.sill_front.given and own.sill_rear.given:
        pitch, height = _level(own.sill_front.mm, own.sill_rear.mm, _axles_apart(held))
    else:
        height, pitch = changes.sill_above_underside.mm, np.zeros(1)
    centre = (pair[0].z + pair[1].z) / 2
    # The arch's centre, `centre` over the sill, comes to lie `front_arch_from_axle` ahead of the axle line.
    x = changes.front_arch_from_axle.mm - centre * np.sin(pitch)
    return Seat(by="mount heights", x_mm=x, z_mm=height + x * np.tan(pitch), pitch_rad=pitch)


def _by_arches(found: FoundShell, held: Held) -> Seat:
    """Least squares over the arches found: a turn and a shift in the side view (Kabsch 1976, in two dimensions)."""
    centres = wheel_centres(held)
    lacking = [gap for gap in centres.values() if isinstance(gap, NotMeasured)]
    if lacking:
        raise NotMeasured([key for gap in lacking for key in gap.keys])
    wheels = [wheel for wheel in WHEELS if wheel in found.arches]
    if {wheel.split()[0] for wheel in wheels} != set(ENDS):
        raise Unsure("the shell cannot be laid over the wheels: arches were not found in the mesh at both ends")
    arch = np.array([[found.arches[wheel].x, found.arches[wheel].z] for wheel in wheels])
    wheel_points = np.stack([np.stack(np.broadcast_arrays(*_point(centres, wheel)), axis=-1) for wheel in wheels])
    wheel_points = np.moveaxis(wheel_points, 0, -2)  # (samples, wheels, 2)
    a, w = arch - arch.mean(axis=0), wheel_points - wheel_points.mean(axis=-2, keepdims=True)
    # Turned by pitch about y (x to -z): x' = x cos + z sin, z' = -x sin + z cos.
    cosine = np.sum(a * w, axis=(-1, -2))
    sine = np.sum(a[:, 1] * w[..., 0] - a[:, 0] * w[..., 1], axis=-1)
    pitch = np.arctan2(sine, cosine)
    c, s = np.cos(pitch), np.sin(pitch)
    middle, goal = arch.mean(axis=0), wheel_points.mean(axis=-2)
    return Seat(by="arches", x_mm=goal[..., 0] - middle[0] * c - middle[1] * s,
                z_mm=goal[..., 1] + middle[0] * s - middle[1] * c, pitch_rad=pitch)  # fmt: skip


def _point(centres: Mapping[str, tuple[Numbers, Numbers] | NotMeasured], wheel: Wheel) -> tuple[Numbers, Numbers]:
    point = centres[wheel.split()[0]]
    assert not isinstance(point, NotMeasured)
    return point


def wheel_centres(held: Held) -> dict[str, tuple[Numbers, Numbers] | NotMeasured]:
    """Where each axle's wheel centres are at ride height, x and z, (samples,) each, or what is not measured for it."""
    centres: dict[str, tuple[Numbers, Numbers] | NotMeasured] = {}
    for end in ENDS:
        bought, changed = getattr(held.gear, end), getattr(held.changes, end)
        wheel = fitted(planned=getattr(held.wheels, end), bought=bought.wheel)
        ride = changed.ride_height if changed.ride_height.given else bought.ride_height
        try:
            require(wheel.tyre_diameter, wheel.tyre_squash, ride, *([held.gear.wheelbase] if end == "rear" else []))
            x = np.zeros(1) if end == "front" else -_axles_apart(held)
            centres[end] = (x, wheel.tyre_diameter.mm / 2 - wheel.tyre_squash.mm - ride.mm)
        except NotMeasured as gap:
            centres[end] = gap
    return centres


def residuals(found: FoundShell, held: Held, where: Seat) -> dict[Wheel, Residual]:
    """Arch centre less wheel centre, at each wheel that has both."""
    centres = wheel_centres(held)
    left_over: dict[Wheel, Residual] = {}
    for wheel, arch in found.arches.items():
        point = centres[wheel.split()[0]]
        if not isinstance(point, NotMeasured):
            now = where.chassis_from_shell.at(np.array([arch.x, 0.0, arch.z]))
            left_over[wheel] = Residual(x_mm=now[..., 0] - point[0], z_mm=now[..., 2] - point[1])
    return left_over
