"""What an axle stands on: its springs' force through the linkage, over travel. mm and N.

Travel is the wheels' rise over the chassis from the ride height that the linkage was computed at, both alike. Arrays
are (samples, travel), or (samples,).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Numbers, require
from coachwork.build.sections.changes import ChangedEnd
from coachwork.build.sections.corner import End
from coachwork.build.sections.springing import fitted_damper, fitted_spring
from coachwork.geometry.vectors import Array, length
from coachwork.studies.linkage.axle import AxleResult, AxleVariant
from coachwork.studies.linkage.hardpoints import chosen
from coachwork.studies.linkage.result import EndResult
from coachwork.studies.parts import CannotBe, need
from coachwork.studies.result import Result

HALVINGS = 50
NEAR_MM = 1e-10  # a ten thousandth of what counts as settled, see `ride`


@dataclass(frozen=True, eq=False)
class Stretch:
    """A damper's length between two neighbouring poses of each sample, (samples,).

    Cubic Hermite: exact in length and slope at either pose.
    """

    from_mm: Numbers
    long_mm: Numbers
    first: Numbers  # length at its start, and what a share t of the way adds: t (start + t (square + t cube))
    start: Numbers
    square: Numbers
    cube: Numbers

    def at(self, travel_mm: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """Damper length, motion ratio, and the ratio's change a mm."""
        t = (travel_mm - self.from_mm) / self.long_mm
        length_mm = self.first + t * (self.start + t * (self.square + t * self.cube))
        slope = (self.start + t * (2 * self.square + t * 3 * self.cube)) / self.long_mm
        bend = (2 * self.square + 6 * t * self.cube) / self.long_mm**2
        return length_mm, -slope, -bend


@dataclass(frozen=True, kw_only=True, eq=False)
class Reach(Result):
    """A damper's length over travel with its exact slope, and its lever in roll."""

    travel_mm: Array  # (samples, travel), rising
    damper_mm: Array  # eye to eye
    ratio: Array  # mm that the damper shortens for each mm of wheel rise
    roll_lever_mm: Numbers  # (samples,), mm that it shortens for each rad the chassis leans onto it, at ride height

    def between(self, pose: NDArray[np.int64]) -> Stretch:
        """From a pose of each sample (samples,) to the next."""
        rows = np.arange(len(pose))

        def both(of: Array) -> tuple[Numbers, Numbers]:
            of = np.broadcast_to(of, (len(pose), of.shape[1]))
            return of[rows, pose], of[rows, pose + 1]

        (z, to), (first, last), (slope, then) = (both(of) for of in (self.travel_mm, self.damper_mm, -self.ratio))
        step, rise = to - z, last - first
        start, end = slope * step, then * step
        return Stretch(z, step, first, start, 3 * rise - 2 * start - end, start + end - 2 * rise)


@dataclass(frozen=True, kw_only=True, eq=False)
class Springs(Result):
    """Two springs of one axle, each on its damper."""

    reach: Reach
    rate_n_per_mm: Numbers
    free_mm: Numbers
    fitted_mm: Numbers
    damper_out_mm: Numbers

    @property
    def slack_at_mm(self) -> Numbers:
        """Damper length at which the spring is at its free length."""
        return np.asarray(self.free_mm - self.fitted_mm + self.damper_out_mm)

    def at(self, travel_mm: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """Damper length, motion ratio, and the ratio's change a mm, (samples,), at a travel of each sample."""
        z = self.reach.travel_mm
        samples = np.broadcast_shapes(z.shape[:1], np.shape(travel_mm))[0]
        travel = np.broadcast_to(travel_mm, samples)
        below = np.clip((z < travel[:, None]).sum(axis=1) - 1, 0, z.shape[1] - 2)
        return self.reach.between(below).at(travel)

    def force_n(self, damper_mm: Numbers) -> Numbers:
        """Of one spring; none where it is loose."""
        return np.asarray(self.rate_n_per_mm * np.maximum(0.0, self.slack_at_mm - damper_mm))

    def at_wheels_n(self, travel_mm: Numbers) -> Numbers:
        """What both springs hold up at the wheels: force times motion ratio (virtual work)."""
        return self._held(travel_mm)[0]

    def rate_at_wheels_n_per_mm(self, travel_mm: Numbers) -> Numbers:
        """Of both wheels together: k r^2 and what the changing ratio adds, F dr/dz."""
        return self._held(travel_mm)[1]

    def _held(self, travel_mm: Numbers) -> tuple[Numbers, Numbers]:
        return self._held_at(*self.at(travel_mm))

    def _held_at(self, damper_mm: Numbers, ratio: Numbers, bend: Numbers) -> tuple[Numbers, Numbers]:
        force, loose = self.force_n(damper_mm), self.slack_at_mm <= damper_mm
        rate = 2 * (np.where(loose, 0.0, self.rate_n_per_mm) * ratio**2 + force * bend)
        return np.asarray(2 * force * ratio), np.asarray(rate)

    def roll_rate_n_mm(self) -> Numbers:
        """Moment for each rad of lean, of both springs, at ride height."""
        return np.asarray(2 * self.rate_n_per_mm * self.reach.roll_lever_mm**2)

    def settle_mm(self, load_n: Numbers) -> Numbers:
        """Travel at which the springs hold a load, the first of them as they are let down onto it from full droop; a
        stop where they hold it nowhere between the stops.

        Between the first pose that holds it and the one before, by Newton's method, and by halving where that leads
        out of what is left.
        """
        z, lengths, ratios = self.reach.travel_mm, self.reach.damper_mm, self.reach.ratio
        samples = np.broadcast_shapes(z.shape[:1], lengths.shape[:1], self.slack_at_mm.shape, np.shape(load_n))[0]
        gapless = np.isfinite(z).all(axis=1) & np.isfinite(lengths).all(axis=1)
        holds = (2 * self.force_n(lengths.T).T * ratios - np.reshape(load_n, (-1, 1))) >= 0  # at each computed pose
        first = np.broadcast_to(np.where(holds.any(axis=1), holds.argmax(axis=1), z.shape[1] - 1), samples)
        stop = np.broadcast_to(holds[:, 0] | ~holds.any(axis=1), samples)
        stretch = self.reach.between(np.maximum(first, 1) - 1)
        low, high = stretch.from_mm, stretch.from_mm + stretch.long_mm
        now = (low + high) / 2
        for _ in range(HALVINGS):
            held, rate = self._held_at(*stretch.at(now))
            over = held - load_n
            low, high = np.where(over >= 0, low, now), np.where(over >= 0, now, high)
            with np.errstate(divide="ignore", invalid="ignore"):
                newton = now - over / rate
            then = np.where((newton >= low) & (newton <= high), newton, (low + high) / 2)
            near = stop | ~gapless | (np.abs(then - now) <= NEAR_MM)
            now = then
            if near.all():
                break
        at_stop = np.take_along_axis(np.broadcast_to(z, (samples, z.shape[1])), first[:, None], axis=1)[:, 0]
        return np.where(gapless, np.where(stop, at_stop, now), np.nan)


def springs(result: EndResult | AxleResult, end: End, change: ChangedEnd) -> Springs:
    """The springs on one axle's dampers, as changed. Raises NotMeasured, CannotBe."""
    spring = fitted_spring(planned=change.spring, bought=end.spring)
    damper = fitted_damper(planned=change.damper, bought=end.damper)
    require(spring.rate, spring.free_length, spring.fitted_length, damper.length_out)
    reach = _of_axle(result, end, change) if isinstance(result, AxleResult) else _of_arms(result)
    return Springs(
        reach=reach,
        rate_n_per_mm=spring.rate.n_per_mm,
        free_mm=spring.free_length.mm,
        fitted_mm=spring.fitted_length.mm,
        damper_out_mm=damper.length_out.mm,
    )


def _of_arms(result: EndResult) -> Reach:
    """An independent axle: leaning lifts one wheel as it drops the other, by half the track for each rad."""
    variant = need(result.changed)
    damper, ground = need(variant.damper), need(variant.ground)
    swept = variant.left
    travel = np.broadcast_to(swept.travel_mm, damper.poses.length_mm.shape)
    if len(travel) == 1 and not np.isfinite(travel).all():
        raise CannotBe("the suspension cannot be assembled over its whole travel")
    half_track = np.broadcast_to(ground.contact_mm, (*swept.assembles.shape, 3))[:, swept.ride, swept.straight, 1]
    return Reach(
        travel_mm=travel,
        damper_mm=damper.poses.length_mm,
        ratio=damper.poses.motion_ratio,
        roll_lever_mm=damper.poses.motion_ratio[:, swept.ride] * half_track,
    )


def _of_axle(result: AxleResult, end: End, change: ChangedEnd) -> Reach:
    """A live axle: its left damper's length over heave where both wheels are alike, over lean where they differ."""
    variant: AxleVariant = need(result.changed)
    upper = chosen(change.hardpoints.damper_inner, end.damper_inner)
    lower = chosen(change.hardpoints.damper_outer, end.damper_outer)
    require(upper, lower)
    eye = variant.poses.axle.at(lower.mm[:, None, None, :])
    lengths = length(upper.mm[:, None, None, :] - eye)
    lengths = np.broadcast_to(lengths, (lengths.shape[0], *variant.open_mm.shape[1:]))
    roll = np.broadcast_to(variant.poses.roll_rad, lengths.shape)
    n = np.arange(lengths.shape[1])
    heave, travel = lengths[:, n, n], variant.left_travel_mm
    ride = variant.ride[0]
    shorter = lengths[:, ride - 1, ride + 1] - lengths[:, ride + 1, ride - 1]
    leaned = roll[:, ride + 1, ride - 1] - roll[:, ride - 1, ride + 1]
    return Reach(
        travel_mm=np.broadcast_to(travel, heave.shape),
        damper_mm=heave,
        ratio=np.stack(
            [-np.gradient(row, z) for row, z in zip(heave, np.broadcast_to(travel, heave.shape), strict=True)]
        ),
        roll_lever_mm=shorter / leaned,
    )
