"""From the build's tables, stance and linkage to the vehicle on its wheels."""

from __future__ import annotations

import numpy as np

from coachwork.build import NotMeasured, Numbers
from coachwork.build.sections.boxes import Boxes
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.masses import Masses
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.scales import Scales
from coachwork.build.sections.springing import fitted_damper
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.build.sections.wanted import Wanted
from coachwork.studies.balance.footing import ENDS, footing
from coachwork.studies.balance.result import BalanceResult, Entered, Gripped, Shares, Turning
from coachwork.studies.balance.ride import Damping, Ride, damping, ride, settle
from coachwork.studies.balance.sprung import springs
from coachwork.studies.balance.stability import Lean, Stand, speed_mm_s, stand, tips_at_g
from coachwork.studies.balance.weight import GRAVITY_MM_S2, of_parts, of_readings, readings
from coachwork.studies.linkage.axle import AxleResult
from coachwork.studies.linkage.result import EndResult, LinkageResult
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing, need, need_all
from coachwork.studies.solids import PartWeights
from coachwork.studies.stance.result import StanceResult
from coachwork.studies.stowage.placed import Placing


def balance(
    masses: Masses,
    scales: Scales,
    loads: Loads,
    running_gear: RunningGear,
    changes: Changes,
    wanted: Wanted,
    boxes: Boxes,
    decks: Decks,
    places: BoxPlaces,
    stance: StanceResult,
    linkage: LinkageResult,
    parts: PartWeights,
) -> BalanceResult:
    """The vehicle's weight on the wheels that stance places and linkage guides."""
    on = attempt(footing, stance)
    by_parts = attempt(of_parts, masses, Placing(boxes=boxes, decks=decks, places=places), parts)
    by_scale = attempt(lambda: of_readings(*need_all(attempt(readings, scales), on)))
    weight = by_parts if is_missing(by_scale) and masses.each else by_scale
    stood = attempt(lambda: stand(*need_all(weight, on)))
    sprung = {
        end: attempt(springs, getattr(linkage, end), getattr(running_gear, end), getattr(changes, end)) for end in ENDS
    }
    settled = attempt(
        lambda: settle(
            *need_all(weight, on),
            {end: need(sprung[end]) for end in ENDS},
            {end: getattr(running_gear, end).unsprung.g for end in ENDS},
        )
    )

    def rides_on(end: EndName) -> Ride:
        return ride(need(settled), end, need(sprung[end]))

    rides = {end: attempt(rides_on, end) for end in ENDS}

    def damped(end: EndName) -> Damping:
        fitted = fitted_damper(planned=getattr(changes, end).damper, bought=getattr(running_gear, end).damper)
        return damping(need(rides[end]), need(sprung[end]), fitted)

    def lean() -> Lean:
        at, axles = need(stood), {end: need(sprung[end]) for end in ENDS}
        rates = sum(axle.roll_rate_n_mm() for axle in axles.values())
        unsprung = {end: getattr(running_gear, end).unsprung.g for end in ENDS}
        centres = {end: _roll_centre_mm(getattr(linkage, end)) + at.on.ride_height_mm[end] for end in ENDS}
        loose = np.asarray(sum(unsprung.values()))
        carried = at.weight.mass_g - loose
        low = sum(unsprung[end] * (at.on.axle_mm[end] + at.on.ride_height_mm[end]) for end in ENDS)
        height = (at.weight.mass_g * at.height_mm - low) / carried
        back = at.behind_front_mm / at.on.wheelbase_mm
        axis = centres["front"] + (centres["rear"] - centres["front"]) * back
        return Lean(arm_mm=height - axis, sprung_n=carried * GRAVITY_MM_S2 * 1e-6, roll_rate_n_mm=np.asarray(rates))

    leaning = attempt(lean)
    return BalanceResult(
        by_parts=by_parts,
        by_scale=by_scale,
        stood=stood,
        entered=attempt(lambda: Entered(mass_g=loads.mass.g, found_g=need(weight).mass_g)),
        shares=attempt(
            lambda: Shares(stood=need(stood), wanted=wanted.front_share.ratio, entered=loads.front_share.ratio)
        ),
        gripped=attempt(lambda: Gripped(stood=need(stood), grip=loads.grip.ratio)),
        springs=sprung,
        settled=settled,
        ride=rides,
        damping={end: attempt(damped, end) for end in ENDS},
        lean=leaning,
        turning=attempt(lambda: _turning(linkage, need(stood), leaning, loads, wanted)),
    )


def _roll_centre_mm(end: EndResult | AxleResult) -> Numbers:
    """Over the datum plane, at ride height."""
    if isinstance(end, AxleResult):
        return need(end.changed).roll_centre_mm
    variant = need(end.changed)
    return need(variant.ground).centre.roll_centre_height_mm[:, variant.left.ride]


def _turning(linkage: LinkageResult, stood: Stand, leaning: Part[Lean], loads: Loads, wanted: Wanted) -> Turning:
    if isinstance(linkage.front, AxleResult):
        raise CannotBe("the turning circle of a steered live axle is not computed")
    variant = need(linkage.front.changed)
    turn, ground = need(variant.turn), need(variant.ground)
    if not ground.tyre_width.known:
        raise NotMeasured([ground.tyre_width])
    # Kerb to kerb is the outer front tyre's outer edge: back to the turning centre, on the rear axle's line.
    outer = turn.kerb_to_kerb_mm / 2 - ground.tyre_width.mm / 2
    centre = np.sqrt(outer**2 - stood.on.wheelbase_mm**2) - stood.on.half_track_mm["front"]
    radius = np.hypot(centre, stood.on.wheelbase_mm - stood.behind_front_mm)
    tips = tips_at_g(stood, None if is_missing(leaning) else leaning)
    least = np.minimum(tips, loads.grip.ratio)
    at = wanted.turn_speed.mm_per_s**2 / (radius * GRAVITY_MM_S2)
    return Turning(
        radius_mm=radius,
        speed_mm_s=wanted.turn_speed.mm_per_s,
        at_g=at,
        tips_at_g=tips,
        slides_at_g=loads.grip.ratio,
        fastest_mm_s=speed_mm_s(g=least, radius_mm=radius),
        lean_rad=attempt(lambda: need(leaning).rad_per_g * np.minimum(at, least)),
    )
