"""Every pinion there could be, with the speed, the heat and the place it gives."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.against import Against
from coachwork.studies.driveline.drive import Drive, widened
from coachwork.studies.driveline.duty import Aims, round_of
from coachwork.studies.driveline.gears import Mesh
from coachwork.studies.parts import Missing, Part, is_missing
from coachwork.studies.result import Result

HEAVIER = 1.5  # times the donor's motor load: what kits leave between their pinion and the largest allowed; no source
TIGHT_LOAD = 0.05  # of room below that, for a pinion to be named as a cure
TEETH = np.arange(9.0, 41.0)  # pinions that are sold; common practice, no source


@dataclass(frozen=True, kw_only=True, eq=False)
class Pinions(Result):
    """(samples, teeth) each but for `fitted_teeth`, (samples,)."""

    fitted_teeth: Numbers
    teeth: Numbers
    top_speed_mm_s: Numbers
    case_degc: Numbers
    fast_enough: Numbers  # 1 or 0, as are the next three
    cool_enough: Numbers
    reaches: Numbers
    light_enough: Numbers
    room_k: Numbers  # below the hottest the motor may be
    slot_known: bool

    @property
    def fits(self) -> Numbers:
        """1 where a pinion is fast enough, cool enough and within the motor's slot."""
        return self.fast_enough * self.cool_enough * self.reaches

    @property
    def fitting(self) -> Numbers:
        """How many fit, (samples,)."""
        return np.asarray(self.fits.sum(axis=-1))

    def nearest(self) -> int | None:
        """Teeth of the fitting pinion nearest to the fitted one, for the first sample; None where there is none."""
        return self.nearest_of(self.fits)

    def nearest_of(self, good: Numbers) -> int | None:
        """The same for any condition on the pinions."""
        good = np.broadcast_to(good, self.case_degc.shape)[0] > 0
        if not good.any():
            return None
        teeth = self.teeth[0]
        far = np.where(good, np.abs(teeth - self.fitted_teeth.flat[0]), np.inf)
        return int(teeth[int(np.argmin(far))])

    def of(self, teeth: int) -> tuple[float, float]:
        """Top speed in mm/s and case temperature in degC of one pinion, for the first sample."""
        place = int(np.flatnonzero(self.teeth[0] == teeth)[0])
        return float(self.top_speed_mm_s[0, place]), float(self.case_degc[0, place])


def pinions(drive: Drive, aims: Aims, mesh: Part[Mesh], against: Part[Against]) -> Pinions:
    """Each pinion in the same vehicle. Where the slot or the donor is not measured, nothing speaks against one."""
    wide = widened(drive)
    wide = replace(wide, gears=replace(wide.gears, pinion_teeth=TEETH[None, :]))
    top = wide.top_speed_mm_s()
    case = round_of(wide, widened(aims)).case_degc
    top, case = np.broadcast_arrays(top, case)
    if is_missing(mesh):
        reaches = np.ones_like(top)
    else:
        reaches = (replace(widened(mesh), pinion_teeth=TEETH[None, :]).outside_mm <= 0).astype(float)
    load = np.ones_like(top)
    if not is_missing(against):
        load = np.broadcast_to((against.load / drive.gears.pinion_teeth)[..., None] * TEETH, top.shape)
    hottest = drive.motor.hottest_degc[..., None]
    return Pinions(
        fitted_teeth=drive.gears.pinion_teeth,
        teeth=np.broadcast_to(TEETH, top.shape),
        top_speed_mm_s=top,
        case_degc=case,
        fast_enough=(top >= aims.top_speed_mm_s[..., None]).astype(float),
        cool_enough=(case <= hottest).astype(float),
        reaches=np.broadcast_to(reaches, top.shape),
        light_enough=(load <= HEAVIER - TIGHT_LOAD).astype(float),
        room_k=hottest - case,
        slot_known=not isinstance(mesh, Missing),
    )
