"""Ackermann's condition, the turning circle and the torque at standstill, by geometry and by statics."""

import numpy as np
import pytest

from coachwork.studies.linkage.turning import (
    Ackermann,
    ideal_outer_rad,
    servo_torque_nmm,
    standstill_torque_nmm,
    turning_circle_mm,
)

KINGPINS = {"kingpin_track_mm": 114.0, "wheelbase_mm": 257.0}


def test_ideal_angles_meet_ackermanns_condition():
    """The condition itself: cot(outer) - cot(inner) = kingpin track / wheelbase (any textbook on steering)."""
    inner = np.radians(np.linspace(1, 89, 45))
    outer = ideal_outer_rad(inner, **KINGPINS)
    np.testing.assert_allclose(1 / np.tan(outer) - 1 / np.tan(inner), 114 / 257, rtol=1e-12)
    np.testing.assert_allclose(ideal_outer_rad(-inner, **KINGPINS), -outer, rtol=1e-15)
    assert ideal_outer_rad(0.0, **KINGPINS) == 0.0


@pytest.mark.parametrize("side", [1, -1])
def test_ideal_is_100_percent_and_parallel_is_0(side):
    inner = np.radians(25.0)
    outer = ideal_outer_rad(inner, **KINGPINS)

    def of(inner, outer):
        left, right = (inner, outer) if side > 0 else (-outer, -inner)
        return Ackermann.of(np.array(left), np.array(right), **KINGPINS)

    np.testing.assert_allclose(of(inner, outer).percent, 100.0)
    np.testing.assert_allclose(of(inner, outer).outer_error_rad, 0.0, atol=1e-15)
    np.testing.assert_allclose(of(inner, inner).percent, 0.0)
    assert of(inner, inner).outer_error_rad > 0
    assert of(outer, inner).percent < 0


@pytest.mark.parametrize("side", [1, -1])
def test_the_turning_circle_of_a_drawn_turn(side):
    """Drawn: turning centre 300 from the centreline on the rear axle's line, both front wheels square to it."""
    to_inner, to_outer = 300.0 - 57.0, 300.0 + 57.0
    inner, outer = np.arctan2(257.0, to_inner), np.arctan2(257.0, to_outer)
    left, right = (inner, outer) if side > 0 else (-outer, -inner)
    found = turning_circle_mm(
        np.array(left),
        np.array(right),
        **KINGPINS,
        contact_half_track_mm=np.array(75.0),
        tyre_width_mm=np.array(24.0),
    )
    np.testing.assert_allclose(found, 2 * (np.hypot(257.0, 375.0) + 12.0))


def test_standstill_torque_of_a_narrow_tyre_is_friction_times_offset():
    """With no width, the patch is a point dragged round at the offset: T = mu W e, whoever wrote the formula."""
    torque = standstill_torque_nmm(load_n=5.0, friction=0.9, patch_width_mm=0.0, offset_mm=8.0)
    np.testing.assert_allclose(torque, 0.9 * 5.0 * 8.0)


def test_standstill_torque_is_near_that_of_a_disc():
    """A disc of diameter b under even pressure takes mu W b / 3 about its middle (textbook clutch).

    The formula's b / sqrt(8) = 0.354 b is for a patch whose width alone is known; a tenth covers the difference.
    """
    torque = standstill_torque_nmm(load_n=1.0, friction=1.0, patch_width_mm=24.0, offset_mm=0.0)
    assert abs(torque / (24.0 / 3.0) - 1.0) < 0.1


def test_virtual_work_adds_up_both_wheels():
    """A servo that turns one degree for two of the left wheel and half a one of the right."""
    torque = servo_torque_nmm((np.array(10.0), np.array(2.0)), (np.array(8.0), np.array(-0.5)))
    np.testing.assert_allclose(torque, 24.0)
