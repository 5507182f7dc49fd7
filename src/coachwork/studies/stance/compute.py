"""From measurements to where the wheels stand; each part on its own, so a blank number costs only what needs it."""

from __future__ import annotations

from coachwork.build import Numbers
from coachwork.build.sections.candidates import Candidates
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wheels import Wheels
from coachwork.studies.likeness import LikenessResult
from coachwork.studies.parts import Missing, Part, attempt, need
from coachwork.studies.stance import across, along, bead, donors, upright
from coachwork.studies.stance.axle import ENDS, Axle, axle
from coachwork.studies.stance.result import EndStance, StanceResult


def sit(
    prototype: Prototype, shell: Shell, gear: RunningGear, wheels: Wheels, changes: Changes, wanted: Wanted,
    candidates: Candidates, likeness: LikenessResult,
) -> StanceResult:  # fmt: skip
    """Put the wheels under the arches. All arrays (samples,)."""
    axles = {name: axle(name, prototype, shell, gear, wheels, changes, wanted) for name in ENDS}
    base = attempt(along.wheelbase, shell, gear, changes)
    front_in_arch = along.front_in_arch(changes)
    in_arch = {"front": front_in_arch, "rear": attempt(lambda: along.rear_in_arch(need(base), front_in_arch))}
    ends = {name: _end(axles[name], in_arch[name], prototype, shell, changes, likeness.scale) for name in ENDS}
    return StanceResult(
        scale=likeness.scale,
        wheelbase=base,
        arches_apart=attempt(lambda: along.arches_apart(need(ends["front"].arches), need(ends["rear"].arches), shell)),
        drive=attempt(along.drive, gear, changes),
        sill=attempt(upright.sill_height, axles["front"], axles["rear"], prototype, shell, changes, likeness.scale),
        level=attempt(lambda: upright.Level(**{f"{name}_mm": need(end.ride_height_mm) for name, end in ends.items()})),
        ends=ends,
        donors=attempt(_donors, candidates, gear, changes, axles, shell),
    )


def _end(
    one: Axle, in_arch: Part[along.InArch], prototype: Prototype, shell: Shell, changes: Changes, scale: Part[Numbers]
) -> EndStance:
    seat = attempt(across.seat, one)
    sill = attempt(upright.sill_at, one, shell, changes)
    travel = attempt(upright.travel_left, one)
    return EndStance(
        name=one.name,
        wheel="as planned" if one.wheel_planned else "as bought",
        arches=attempt(along.arch_pair, one.arch),
        in_arch=in_arch,
        fore_aft=attempt(lambda: along.fore_aft(one, need(in_arch))),
        seat=seat,
        tuck=attempt(lambda: across.tuck(one, need(seat))),
        track=attempt(
            lambda: across.AtScale(model_mm=need(seat).track_mm, prototype_mm=one.prototype_track.mm, scale=need(scale))
        ),
        tyre=attempt(
            lambda: across.AtScale(
                model_mm=one.wheel.tyre_diameter.mm, prototype_mm=prototype.tyre_diameter.mm, scale=need(scale)
            )
        ),
        ride_height_mm=attempt(upright.ride_height_mm, one),
        axle_height_mm=attempt(one.wheel.loaded_radius_mm),
        sill=sill,
        over_tyre=attempt(lambda: upright.over_tyre(one, need(sill), travel)),
        travel=travel,
        bead_width=attempt(bead.across, one.wheel),
        bead_diameter=attempt(bead.around, one.wheel),
    )


def _donors(
    candidates: Candidates, gear: RunningGear, changes: Changes, axles: dict[EndName, Axle], shell: Shell
) -> donors.Ranking | None:
    """None without candidates. Raises NotMeasured where the shell's own numbers are lacking."""
    if not candidates.each:
        return None
    arches = shell.wheelbase.mm
    hub_faces = {name: donors.wanted_hub_faces_mm(one) for name, one in axles.items()}
    offers = {name: attempt(donors.of_candidate, name, one) for name, one in candidates.each.items()}
    works = [donors.work(offer, arches, hub_faces) for offer in offers.values() if isinstance(offer, donors.Offer)]
    own = attempt(lambda: donors.work(donors.of_running_gear(gear, changes, axles), arches, hub_faces))
    return donors.Ranking(
        ranked=tuple(sorted(works, key=lambda one: (float(one.parts.flat[0]), float(one.total_mm.flat[0])))),
        own=own,
        unranked={name: offer.keys for name, offer in offers.items() if isinstance(offer, Missing)},
    )
