"""The load on the motor against the donor's: heavier, on taller tyres, geared otherwise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.drive import Drive
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class Against(Result):
    """As changed over as bought: the motor's torque for the same gain of speed, and what it is made of.

    load = mass x tyre / ratio
    """

    load: Numbers
    mass: Numbers
    tyre: Numbers
    ratio: Numbers


def against_bought(changed: Drive, bought: Drive) -> Against:
    """Torque of the motor for the same gain of speed goes with mass x tyre radius / ratio."""
    mass = changed.vehicle.mass_g / bought.vehicle.mass_g
    tyre = changed.vehicle.radius_mm / bought.vehicle.radius_mm
    ratio = changed.gears.ratio / bought.gears.ratio
    return Against(load=np.asarray(mass * tyre / ratio), mass=mass, tyre=tyre, ratio=ratio)
