"""How it rides: ride height on its springs, frequency, damping. N, mm, g, s, arrays (samples,)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.springing import Damper
from coachwork.studies.balance.footing import ENDS, Footing
from coachwork.studies.balance.sprung import Springs
from coachwork.studies.balance.stability import Stand, stand
from coachwork.studies.balance.weight import GRAVITY_MM_S2, Weight
from coachwork.studies.parts import CannotBe
from coachwork.studies.result import Result

SETTLED_MM = 1e-6
ROUNDS = 60
SILICONE_T_PER_MM3 = 0.97e-9  # silicone oil, 25 degC, makers' data sheets; from memory
TONNES_PER_G = 1e-6


@dataclass(frozen=True, kw_only=True, eq=False)
class Settled(Result):
    """Both ends standing on their springs."""

    stood: Stand
    sunk_mm: Mapping[EndName, Numbers]  # lower than the ride height that was asked for
    load_n: Mapping[EndName, Numbers]  # of each axle, on the ground
    sprung_n: Mapping[EndName, Numbers]  # what its springs carry of it
    wanted_n: Mapping[EndName, Numbers]  # what they would carry at the ride heights asked for
    rounds: int


def settle(
    weight: Weight, on: Footing, springs: Mapping[EndName, Springs], unsprung_g: Mapping[EndName, Numbers]
) -> Settled:
    """Loads press the springs, the springs set the heights, the heights pitch the vehicle and so share out the loads.

    Gone round until no height moves by a millionth of a mm. Raises CannotBe where that does not come about.
    """

    def carried(stood: Stand) -> tuple[dict[EndName, Numbers], dict[EndName, Numbers]]:
        share: dict[EndName, Numbers] = {"front": stood.front_share, "rear": 1 - stood.front_share}
        load = {end: weight.newton * share[end] for end in ENDS}
        return load, {end: load[end] - unsprung_g[end] * GRAVITY_MM_S2 * 1e-6 for end in ENDS}

    _, wanted = carried(stand(weight, on))
    sunk: dict[EndName, Numbers] = {end: np.zeros(1) for end in ENDS}
    for rounds in range(1, ROUNDS + 1):
        stood = stand(weight, on, sunk_mm=sunk)
        load, sprung = carried(stood)
        now = {end: springs[end].settle_mm(sprung[end]) for end in ENDS}
        moved = max(float(np.nan_to_num(np.abs(now[end] - sunk[end])).max()) for end in ENDS)
        sunk = now
        if moved < SETTLED_MM:
            return Settled(stood=stood, sunk_mm=sunk, load_n=load, sprung_n=sprung, wanted_n=wanted, rounds=rounds)
    why = "the springs hardly hold it level, and the ride heights do not settle"
    raise CannotBe(f"{why}: after {ROUNDS} rounds they still move by {moved:.2g} mm", short=moved)


@dataclass(frozen=True, kw_only=True, eq=False)
class Ride(Result):
    """One axle on its springs."""

    stands_mm: Numbers  # ride height it comes to
    sunk_mm: Numbers  # lower than asked for; at a stop where the springs are far off
    at_stop: Numbers  # 1 where it rests on its bump stops, -1 where it hangs in its droop stops, else 0
    collar_mm: Numbers  # more preload that brings the wanted height; negative: less
    loose_mm: Numbers  # by how much the spring would then be loose with the wheels hanging; 0: it is not
    rate_n_per_mm: Numbers  # spring that would bring it with the collar as it is
    wheel_rate_n_per_mm: Numbers  # of one wheel, where it stands
    frequency_hz: Numbers
    sprung_g: Numbers


def ride(settled: Settled, end: EndName, springs: Springs) -> Ride:
    """What one end's springs make of its load."""
    sunk, load = settled.sunk_mm[end], settled.sprung_n[end]
    travel = springs.reach.travel_mm
    near = 1e-3
    stop = np.where(sunk >= travel[:, -1] - near, 1.0, np.where(sunk <= travel[:, 0] + near, -1.0, 0.0))
    damper, ratio, _ = springs.at(np.zeros(1))
    wanted = settled.wanted_n[end]
    needed = damper + wanted / (2 * springs.rate_n_per_mm * ratio)  # damper length at which the spring goes slack
    collar = needed - springs.slack_at_mm
    hanging, _, _ = springs.at(travel[:, 0])
    squeezed = springs.slack_at_mm - damper
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = np.where(squeezed > 0, wanted / (2 * ratio * squeezed), np.nan)
    stands = np.clip(sunk, travel[:, 0], travel[:, -1])
    wheels = springs.rate_at_wheels_n_per_mm(stands)
    mass_t = load / GRAVITY_MM_S2
    return Ride(
        stands_mm=settled.stood.on.ride_height_mm[end] - sunk,
        sunk_mm=sunk,
        at_stop=stop,
        collar_mm=collar,
        loose_mm=np.maximum(0.0, hanging - needed),
        rate_n_per_mm=rate,
        wheel_rate_n_per_mm=wheels / 2,
        frequency_hz=np.sqrt(np.maximum(wheels, 0.0) / mass_t) / (2 * np.pi),
        sprung_g=mass_t / TONNES_PER_G,
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class Damping(Result):
    """One damper's part in the calm of one wheel."""

    n_s_per_mm: Numbers  # of the damper
    ratio: Numbers  # of critical damping
    oil_mm2_s: Numbers


def damping(of: Ride, springs: Springs, damper: Damper) -> Damping:
    """Laminar flow through the piston's holes and past its rim, viscosity as on the bottle.

    Holes: Q = n pi d^4 dp / (128 mu l), Hagen-Poiseuille. Rim: Q = pi D s^3 dp / (12 mu l), a slot between plates
    (White, Fluid Mechanics, from memory). A damper that moves at v pushes the piston's ring area A through them:
    c = A^2 dp/Q. Left out: the jets' own loss, which adds at speed, the oil's thinning when warm, the seals' friction.
    """
    bore, rod, hole, gap = damper.bore.mm, damper.rod.mm, damper.hole_diameter.mm, damper.piston_gap.mm
    area = np.pi / 4 * (bore**2 - rod**2 - damper.piston_holes.count * hole**2)
    viscosity = damper.oil.mm2_per_s * SILICONE_T_PER_MM3  # N s/mm^2
    lets_through = damper.piston_holes.count * np.pi * hole**4 / 128 + np.pi * bore * gap**3 / 12
    c = viscosity * damper.piston_thickness.mm * area**2 / lets_through
    _, ratio, _ = springs.at(np.clip(of.sunk_mm, springs.reach.travel_mm[:, 0], springs.reach.travel_mm[:, -1]))
    wheel = c * ratio**2
    critical = 2 * np.sqrt(np.maximum(of.wheel_rate_n_per_mm, 0.0) * of.sprung_g / 2 * TONNES_PER_G)
    with np.errstate(divide="ignore", invalid="ignore"):
        return Damping(
            n_s_per_mm=c, ratio=np.where(critical > 0, wheel / critical, np.nan), oil_mm2_s=damper.oil.mm2_per_s
        )
