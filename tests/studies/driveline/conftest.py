"""One invented drive, plain enough to be followed by hand."""

from __future__ import annotations

import numpy as np
import pytest

from coachwork.studies.driveline.drive import Drive, Supply
from coachwork.studies.driveline.gears import Gears
from coachwork.studies.driveline.motor import Motor
from coachwork.studies.driveline.road import Vehicle


def one(number):
    return np.array([float(number)])


@pytest.fixture
def motor():
    """A constant of 0.005 V s/rad: 1910 rpm/V."""
    return Motor(
        constant_v_s=one(0.005), resistance_ohm=one(0.15), no_load_a=one(1.2), rotor_g_mm2=one(3000),
        winding_to_case_k_per_w=one(2.5), case_to_air_k_per_w=one(5.0), winding_j_per_k=one(10), case_j_per_k=one(65),
        hottest_degc=one(80), surroundings_degc=one(30),
    )  # fmt: skip


@pytest.fixture
def drive(motor):
    """2 cells, 20:60 and 2.5 inside, 70 mm tyres, 2.5 kg on all four."""
    return Drive(
        motor=motor,
        supply=Supply(voltage_v=one(7.4), resistance_ohm=one(0.05), limit_a=one(60)),
        gears=Gears(pinion_teeth=one(20), spur_teeth=one(60), internal_ratio=one(2.5)),
        vehicle=Vehicle(
            mass_g=one(2500), rolling=one(0.05), grip=one(0.9), driven_share=one(1), drag_mm2=one(24000),
            radius_mm=one(35),
        ),
        efficiency=one(0.85),
    )  # fmt: skip
