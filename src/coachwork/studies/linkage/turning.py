"""How both front wheels steer together: Ackermann's condition, the turning circle, and the torque at standstill.

Steer angles are those of the vehicle, ISO 8855: positive to the left, for either wheel.

          outer     inner          cot(outer) - cot(inner) = kingpin track / wheelbase: both front wheels' axes then
            |---t---|              meet on the rear axle's line, and no tyre need slip (Ackermann).
            |       | \\   \\
      w     |       |    \\      \\
            |-------|--------- turning centre
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.geometry.vectors import Array


def ideal_outer_rad(inner_rad: Array, *, kingpin_track_mm: Array, wheelbase_mm: Array) -> Array:
    """The outer wheel's steer angle that Ackermann's condition asks for, (...), same sign as the inner one's.

    >>> ideal_outer_rad(np.radians(45.0), kingpin_track_mm=100.0, wheelbase_mm=200.0).round(6) # cot = 1 + 1/2
    np.float64(0.588003)
    """
    inner_rad = np.asarray(inner_rad)
    size = np.abs(inner_rad)
    # cot(o) = cot(i) + t/w, written without the cotangent, which is infinite straight ahead.
    ideal = np.arctan2(np.sin(size), np.cos(size) + kingpin_track_mm / wheelbase_mm * np.sin(size))
    return np.asarray(np.copysign(ideal, inner_rad))


@dataclass(frozen=True, eq=False, kw_only=True)
class Ackermann:
    """How the outer wheel compares with the ideal one; every array (...)."""

    outer_error_rad: Array  # positive: the outer wheel is steered more than it should be
    percent: Array  # 100: ideal, 0: both wheels parallel, negative: the outer is steered more than the inner

    @classmethod
    def of(cls, left_rad: Array, right_rad: Array, *, kingpin_track_mm: Array, wheelbase_mm: Array) -> Ackermann:
        """Compare both wheels' steer angles (...), positive to the left, whichever way they turn.

        Percentage = (inner - outer) / (inner - ideal outer), common practice, no source. NaN straight ahead.
        """
        to_left = left_rad + right_rad > 0
        inner, outer = np.where(to_left, left_rad, -right_rad), np.where(to_left, right_rad, -left_rad)
        ideal = ideal_outer_rad(inner, kingpin_track_mm=kingpin_track_mm, wheelbase_mm=wheelbase_mm)
        with np.errstate(divide="ignore", invalid="ignore"):
            percent = 100.0 * (inner - outer) / np.where(inner == ideal, np.nan, inner - ideal)
        return cls(outer_error_rad=outer - ideal, percent=percent)


def turning_circle_mm(
    left_rad: Array,
    right_rad: Array,
    *,
    kingpin_track_mm: Array,
    wheelbase_mm: Array,
    contact_half_track_mm: Array,
    tyre_width_mm: Array,
) -> Array:
    """Diameter kerb to kerb (...) for steer angles (...) at lock, rolling slowly with no slip at the rear axle.

    contact_half_track_mm : (...), from the centreline to the outer front tyre's centre plane at the ground
    Where the wheels disagree about the turning centre, it is put at the mean of theirs on the rear axle's line; the
    tyres scrub over the difference. Infinite straight ahead. Kerb to kerb is over the outer front tyre's
    outer edge (ISO 612, from memory).
    """
    half = 0.5 * kingpin_track_mm
    with np.errstate(divide="ignore", invalid="ignore"):
        # Each wheel's axis meets the rear axle's line at w cot(angle) from its kingpin's own plane.
        from_left = wheelbase_mm / np.tan(left_rad) + half
        from_right = wheelbase_mm / np.tan(right_rad) - half
    radius = np.abs(0.5 * (from_left + from_right))
    return np.asarray(2.0 * (np.hypot(radius + contact_half_track_mm, wheelbase_mm) + 0.5 * tyre_width_mm))


def standstill_torque_nmm(*, load_n: Array, friction: Array, patch_width_mm: Array, offset_mm: Array) -> Array:
    """Torque about the kingpin that turns a tyre on the spot, N mm: (...).

    T = mu W sqrt(b^2 / 8 + e^2): a tyre fixed to the brake, patch of width b, kingpin offset e at the ground.
    Source: Taborek, Mechanics of Vehicles (1957), from memory. Narrow hard tyres on carpet differ by tens of percent.

    >>> standstill_torque_nmm(load_n=5.0, friction=1.0, patch_width_mm=20.0, offset_mm=0.0).round(3)
    np.float64(35.355)
    """
    return np.asarray(friction * load_n * np.sqrt(np.square(patch_width_mm) / 8.0 + np.square(offset_mm)))


def servo_torque_nmm(*kingpin_torque_and_rate: tuple[Array, Array]) -> Array:
    """Servo torque for one (torque in N mm, radians of knuckle per radian of servo) a wheel: (...).

    Virtual work, without friction in the linkage: what the servo puts in is what all tyres take up.
    """
    return np.asarray(sum(torque * np.abs(rate) for torque, rate in kingpin_torque_and_rate))
