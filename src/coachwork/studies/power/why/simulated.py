"""What the drives of many samples say of a stop: when each guard would act, how warm and how full all is then.

The drives are watched, with no guard acting, so that each cause can be asked for at the moment of the stop. Under a
cause, a sample counts as much as its guard's own moment agrees with the watch; the lump that the cause is about is at
its guard's limit then, or nearly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import erf, log, pi, sqrt
from types import MappingProxyType

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.drive import Progress, drive
from coachwork.studies.power.duty import stretches
from coachwork.studies.power.guards import Trip
from coachwork.studies.power.heat import CAN, CONTROLLER, PACK, REGULATOR, network
from coachwork.studies.power.pack import cell_v, share_left
from coachwork.studies.power.setup import Setup
from coachwork.studies.power.why.seen import Reading, Seen
from coachwork.studies.power.why.signs import Cause

LUMPS: Mapping[str, int] = MappingProxyType(
    {"controller": CONTROLLER, "motor can": CAN, "regulator": REGULATOR, "pack": PACK}
)
HEATS: Mapping[Cause, str] = MappingProxyType(
    {"regulator heat": "regulator", "controller heat": "controller", "motor heat": "motor can"}
)
# degC at which a finger changes its word; metal hurts from 45 degC or so and burns from about 60 (ISO 13732-1, from
# memory). People differ by some degrees, as the standard deviation says.
TOUCH: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"cool": (-99.0, 33.0), "warm": (33.0, 45.0), "hot": (45.0, 58.0), "too hot to touch": (58.0, 999.0)}
)
TOUCH_SIGMA_K = 5.0
MODEL_TIME = 0.3  # standard deviation of the log of a trip's moment, beyond the spread of the numbers; our judgement
MODEL_K, REGULATOR_K = 7.0, 11.0  # of a temperature; a chip is met by a thermometer only through its case
MODEL_CELL_V = 0.05
BY_CHANCE = 0.15  # share of a moment that the model says nothing about: it is as likely at any time
OUTLIER = 0.05  # share of readings that are simply wrong
LONGEST_S = 3 * 3600.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Simulated:
    """Drives at the moment of the stop; arrays over samples.

    first_s : when each guard would act; horizon_s : how long was looked
    degc    : (samples, lumps); rest_v : the pack's resting volts, of all cells; sag_v : under its load
    """

    setup: Setup
    first_s: Mapping[Trip, Numbers]
    horizon_s: float
    at_s: float | None
    degc: Numbers
    rest_v: Numbers
    sag_v: Numbers


def simulate(setup: Setup, seen: Seen, rng: np.random.Generator, *, progress: Progress | None = None) -> Simulated:
    """The drives, from the pack's volts before the run, to the stop and some way beyond."""
    pack = setup.vehicle.pack
    share = pack.share
    if seen.before_v is not None:
        sigma = np.hypot(seen.before_v.sigma, 0.02 * pack.cells)
        volts = seen.before_v.value + sigma * rng.standard_normal(setup.samples)
        share = np.clip(share_left(pack.chemistry, volts / pack.cells), 0.02, 1.0)
    setup = replace(setup, vehicle=replace(setup.vehicle, pack=replace(pack, share=share)))
    guards = tuple(
        replace(guard, acts="all" if guard.trip == "empty" else "nothing", resets="never") for guard in setup.guards
    )
    horizon = min(LONGEST_S, max(setup.seconds, 1.8 * (seen.seconds or 0.0)))
    round_ = stretches(setup.legs)
    net = network(setup.body)
    whole = drive(setup.vehicle, net, guards, round_, rail_a=setup.rail_a, seconds=horizon, progress=progress)
    at = whole
    if seen.seconds is not None:
        at = drive(setup.vehicle, net, guards, round_, rail_a=setup.rail_a, seconds=seen.seconds)
    rest = setup.vehicle.pack.cells * cell_v(pack.chemistry, np.maximum(at.share, 0.0))
    ohm = pack.resistance_ohm + pack.lead_ohm
    mean_a = at.chemical_j / np.maximum(rest, 1.0) / at.seconds
    return Simulated(
        setup=setup, first_s=whole.first_s, horizon_s=horizon, at_s=seen.seconds, degc=at.degc, rest_v=rest,
        sag_v=at.slow_v + 2.0 * mean_a * ohm,  # a cut-off comes at the round's heavier moments
    )  # fmt: skip


def moment_weights(sim: Simulated, cause: Cause) -> tuple[float, Numbers]:
    """(likelihood of the moment under a cause, a second of it; how much each sample counts under it)."""
    n = sim.setup.samples
    even = np.full(n, 1.0 / n)
    when = {str(trip): first for trip, first in sim.first_s.items()}.get(cause)
    flat = 1.0 / sim.horizon_s
    if when is None:
        return flat, even
    acts = np.isfinite(when)
    if cause == "brown-out":  # not a matter of minutes: it comes with a load, or not at all
        share = 0.25 + 0.75 * float(acts.mean())
        return share * flat, _mixed(acts.astype(float), even)
    if sim.at_s is None:
        return (BY_CHANCE + (1 - BY_CHANCE) * float(acts.mean())) * flat, _mixed(acts.astype(float), even)
    z = np.where(
        acts, (log(max(sim.at_s, 1.0)) - np.log(np.maximum(np.where(acts, when, 1.0), 1.0))) / MODEL_TIME, 99.0
    )
    density = np.exp(-0.5 * np.minimum(z * z, 1e3)) / (MODEL_TIME * sqrt(2 * pi) * max(sim.at_s, 1.0))
    return BY_CHANCE * flat + (1 - BY_CHANCE) * float(density.mean()), _mixed(density, even)


def _mixed(weight: Numbers, even: Numbers) -> Numbers:
    """Weights of a sum of one, some of it spread evenly: the model may be off in what it does not know."""
    total = weight.sum()
    return even if total <= 0 else np.asarray((1 - BY_CHANCE) * weight / total + BY_CHANCE * even)


def lump_degc(sim: Simulated, lump: str, cause: Cause) -> tuple[Numbers, Numbers]:
    """A lump's temperature under a cause, over samples, and the model's standard deviation of it."""
    index, guard_of = LUMPS[lump], {HEATS[c]: c for c in HEATS}
    degc = sim.degc[:, index]
    sigma = np.full(degc.shape, REGULATOR_K if lump == "regulator" else MODEL_K)
    guards = {guard.trip: guard for guard in sim.setup.guards}
    trip = guard_of.get(lump)
    limit = guards[trip].limit if trip in guards else sim.setup.hottest_degc if lump == "motor can" else None
    if cause in HEATS and HEATS[cause] == lump and limit is not None:
        return limit, sigma
    if limit is not None:
        degc = np.minimum(degc, limit)  # else that guard would have come first
    if cause == "regulator heat" and lump == "controller" and sim.setup.body.built_in[0]:
        # its chip sits on the controller's board: from the limit, less what the board takes
        chip = guards["regulator heat"].limit
        outside = sim.setup.body.outside_degc
        share = (sim.degc[:, CONTROLLER] - outside) / np.maximum(sim.degc[:, REGULATOR] - outside, 1.0)
        degc = outside + np.clip(share, 0.0, 1.0) * (chip - outside)
    return degc, sigma


def rest_v(sim: Simulated, cause: Cause) -> tuple[Numbers, float]:
    """The pack's resting volts after the stop under a cause, and the model's standard deviation."""
    cells = float(sim.setup.vehicle.pack.cells[0])
    if cause == "cell cut-off":
        guards = [guard for guard in sim.setup.guards if guard.trip == "cell cut-off"]
        return guards[0].limit + sim.sag_v, 1.5 * MODEL_CELL_V * cells
    return sim.rest_v, MODEL_CELL_V * cells


def reading_chance(
    reading: Reading, values: Numbers, sigma: Numbers | float, weights: Numbers, *, span: float
) -> float:
    """Density of a reading over weighted samples, with a share of readings that are simply wrong within a span."""
    total = np.hypot(reading.sigma, sigma)
    z = (reading.value - values) / total
    density = float(np.sum(weights * np.exp(-0.5 * z * z) / (total * sqrt(2 * pi))))
    return (1 - OUTLIER) * density + OUTLIER / span


def felt_chances(values: Numbers, sigma: Numbers, weights: Numbers) -> dict[str, float]:
    """Probability of each word a finger has for a temperature."""
    total = np.hypot(sigma, TOUCH_SIGMA_K)

    def below(limit: float) -> float:
        z = (limit - values) / total / sqrt(2)
        return float(np.sum(weights * np.array([0.5 * (1 + erf(x)) for x in z])))

    chance = {word: below(high) - below(low) for word, (low, high) in TOUCH.items()}
    return {word: (1 - OUTLIER) * p + OUTLIER / len(TOUCH) for word, p in chance.items()}
