"""From the made parts and their finite elements to stiffness, stress, strain and softening."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.structure import Structure
from coachwork.catalogue.materials import KNOCK_DOWNS, Material
from coachwork.elasticity.flexibility import Kept
from coachwork.elasticity.stress import von_mises
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.makeability.asked import Latched
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing, need
from coachwork.studies.power.heat import AIR, CAN
from coachwork.studies.power.result import PowerResult
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.arm_jobs import ARMS
from coachwork.studies.structure.arms import arm_drop, borne
from coachwork.studies.structure.assembly import Frame, Way, kept_of
from coachwork.studies.structure.bears import of_catalogue, strength_mpa
from coachwork.studies.structure.drop import Landing, gives_mm, landing
from coachwork.studies.structure.jobs import CHASSIS, DOOR
from coachwork.studies.structure.posts import posts
from coachwork.studies.structure.result import (
    ArmDrop,
    Drop,
    Sag,
    Snap,
    StructureResult,
    Twist,
    Wanted,
    Warm,
)  # fmt: skip
from coachwork.studies.structure.shown import landed, shown_loads
from coachwork.studies.structure.snap import closing_strain, length_for_mm
from coachwork.studies.structure.strengths import Strengths
from coachwork.studies.wording import first

GRAVITY_MM_S2 = 9806.65
UNDER = {"air": AIR, "motor": CAN}  # what warms the chassis: the air under the shell, the can screwed to it


def structure(
    asked: Structure,
    gear: RunningGear,
    changes: Changes,
    strengths: Strengths,
    balance: BalanceResult,
    power: PowerResult,
) -> StructureResult:
    """Every part by itself: one that is not there yet costs no other."""
    frame = attempt(_frame, strengths)
    twist = attempt(_twist, frame, strengths, asked)
    arms = {n: attempt(_arm, n, asked, gear, changes, strengths, balance) for n in ARMS if n in strengths.parts}
    shown = shown_loads(frame, balance, lambda name: _bears_mpa(strengths.parts[name], asked))
    return StructureResult(
        twist=twist,
        wanted=attempt(_wanted, twist, asked, balance),
        donor_nmm_deg=attempt(_donor, twist, asked),
        sag=attempt(_sag, frame, asked, balance),
        drop=attempt(_drop, frame, strengths, asked, gear, balance),
        snaps={name: attempt(_snap, latched, asked) for name, latched in strengths.latches.items()},
        arms=arms,
        posts=attempt(posts, strengths.posted, asked, balance),
        warm={what: attempt(_warm, strengths, power, lump) for what, lump in UNDER.items()},
        shown=(*shown, *(landed(arm) for arm in arms.values() if not is_missing(arm))),
    )


def _material(part: PartSolid) -> Material:
    return of_catalogue(part.name, part.material, part.process)


def _bears_mpa(part: PartSolid, asked: Structure) -> Numbers:
    return strength_mpa(_material(part), part.process, asked)


def _thick_mm(part: PartSolid) -> float:
    if part.measured is None:
        raise CannotBe(f"the {part.name} was not measured when it was made; run coachwork make again")
    return 2 * part.measured.volume_mm3 / part.measured.area_mm2


def _frame(strengths: Strengths) -> Frame:
    """With the catalogue's moduli: the build's factor is the same for all parts, so that all give in proportion."""
    moduli = {}
    for name in {CHASSIS, DOOR} & set(strengths.parts):
        part = strengths.parts[name]
        moduli[name] = _material(part).modulus_mpa * KNOCK_DOWNS[part.process].stiffness
    return Frame(strengths=strengths, modulus_mpa=moduli)


def _twist(built: Part[Frame], strengths: Strengths, asked: Structure) -> Twist:
    frame = need(built)
    open_, factor = frame.twist_nmm_per_deg("open"), asked.modulus_factor.ratio  # a factor of nothing is not asked for

    def of(way: Way) -> Numbers | None:
        return frame.twist_nmm_per_deg(way) * factor if frame.has_door else None

    return Twist(
        open=open_ * factor, pushed=of("pushed"), slides=of("slides"), tied=of("tied"),
        bonded=of("bonded"),
        error=frame.chassis.left, thick_mm=_thick_mm(strengths.parts[CHASSIS]),
        trials=strengths.trials,
    )  # fmt: skip


def _wanted(twist: Part[Twist], asked: Structure, balance: BalanceResult) -> Wanted:
    """Roll stiffness of an axle on two springs half a track out: 2 k (t / 2)^2. Not asked for before the twist is."""
    need(twist)
    require(asked.twist_over_roll)
    rolls = []
    for end in ("front", "rear"):
        ride = need(balance.ride[end])
        half = need(balance.stood).on.half_track_mm[end]
        rolls.append(2 * ride.wheel_rate_n_per_mm * half**2 * np.pi / 180)
    return Wanted(roll_nmm_deg=np.maximum(*rolls), times=asked.twist_over_roll.ratio)


def _donor(twist: Part[Twist], asked: Structure) -> Numbers:
    """Couple over angle of the twist test, N mm a degree. Nobody is asked for a test that they did not begin."""
    need(twist)
    test = asked.donor
    if not any(entry.given for entry in (test.weight, test.arm, test.read_at, test.sinks)):
        raise CannotBe("no twist test of the donor's chassis is entered; how to do one: docs/twist-test.md")
    require(test.weight, test.arm, test.read_at, test.sinks)
    couple = test.weight.g * 1e-6 * GRAVITY_MM_S2 * test.arm.mm
    return np.asarray(couple / np.degrees(np.arctan(test.sinks.mm / test.read_at.mm)))


def _sag(built: Part[Frame], asked: Structure, balance: BalanceResult) -> Sag:
    frame = need(built)
    by_newton = frame.sag_mm_per_n("pushed" if frame.has_door else "open")
    sprung_g = np.add(*(need(balance.ride[end]).sprung_g for end in ("front", "rear")))
    weight = np.asarray(sprung_g * 1e-6 * GRAVITY_MM_S2)
    return Sag(mm=by_newton * weight / asked.modulus_factor.ratio, weight_n=weight, span_mm=frame.span_mm,
               trials=frame.strengths.trials)  # fmt: skip


def _drop(
    built: Part[Frame], strengths: Strengths, asked: Structure, gear: RunningGear, balance: BalanceResult
) -> Drop:
    """The front end is pushed up, the rear stays, and the chassis's mass between them holds against it."""
    frame = need(built)
    kept, chassis = kept_of(strengths, CHASSIS), strengths.parts[CHASSIS]
    way: Way = "pushed" if frame.has_door else "open"
    middles = {end: _middle(kept, f"{end}-bolts") for end in ("front", "rear")}
    arm = (middles["front"] - middles["rear"]) / (kept.centre_mm[0] - middles["rear"])  # of the weight for each newton
    settled = frame.settled(way, front_n=1.0, weight_n=float(arm))
    gives = gives_mm(
        x_mm=kept.sections_mm[:, 0], z_mm=settled.sections_mm(0)[:, 2], centre_mm=float(kept.centre_mm[0]),
        lifted_mm=float(settled.motion(len(settled.bodies) - 2, "block")[2]), leverage=float(arm),
    )  # fmt: skip
    peak = _landing(asked, gear, balance, end_rate=asked.modulus_factor.ratio / gives)
    stress = von_mises(settled.stress_mpa(0))
    worst = int(np.argmax(stress))
    x, y, z = (float(number) for number in kept.places_mm[worst])
    return Drop(
        landing=peak, stress_mpa=stress[worst] * peak.peak_n, bears_mpa=_bears_mpa(chassis, asked),
        place_mm=(x, y, z), unsure=float(kept.unsure[worst]), thick_mm=_thick_mm(chassis), places_mm=kept.places_mm,
        places_mpa=stress * first(peak.peak_n),
    )  # fmt: skip


def _middle(kept: Kept, pattern: str) -> float:
    held = [m[0] for name, m in zip(kept.fittings, kept.middle_mm, strict=True) if name.partition(".")[0] == pattern]
    return float(np.mean(held))


def _landing(asked: Structure, gear: RunningGear, balance: BalanceResult, *, end_rate: Numbers) -> Landing:
    require(asked.kerb, asked.tyre_rate, gear.front.bump_travel)
    load = need(balance.settled).load_n["front"]
    return landing(
        load_n=load,
        height_mm=asked.kerb.mm,
        wheel_rate_n_per_mm=need(balance.ride["front"]).wheel_rate_n_per_mm,
        bump_mm=gear.front.bump_travel.mm,
        tyre_rate_n_per_mm=asked.tyre_rate.n_per_mm,
        end_rate_n_per_mm=end_rate,
        factor=asked.load_factor.ratio if asked.load_factor.given else None,
    )


def _arm(
    name: str, asked: Structure, gear: RunningGear, changes: Changes, strengths: Strengths, balance: BalanceResult
) -> ArmDrop:
    part = strengths.parts[name]
    side: Side = "right" if name.endswith("right") else "left"
    load = borne(gear, changes, balance, ARMS[name], side)
    return arm_drop(
        part, kept_of(strengths, name), load, asked=asked, gear=gear, balance=balance,
        bears_mpa=_bears_mpa(part, asked),
        modulus_mpa=_material(part).modulus_mpa * KNOCK_DOWNS[part.process].stiffness * asked.modulus_factor.ratio,
    )  # fmt: skip


def _snap(latched: Latched, asked: Structure) -> Snap:
    latch = latched.latch
    material = of_catalogue(latched.part, latched.material, latched.process)
    stands = material.snap_strain * KNOCK_DOWNS[latched.process].strength * asked.strength_factor.ratio
    strain = closing_strain(
        deflection_mm=latch.deflection_mm, thickness_mm=latch.thickness_mm, length_mm=latch.length_mm
    )
    return Snap(
        strain=np.full(1, strain), stands=np.asarray(stands),
        longer_mm=length_for_mm(strain=float(stands.flat[0]), deflection_mm=latch.deflection_mm,
                                thickness_mm=latch.thickness_mm),
        length_mm=latch.length_mm, deflection_mm=latch.deflection_mm, thickness_mm=latch.thickness_mm,
        longest_mm=latched.longest_mm, root_mm=latch.root_mm, part=latched.part, material=material.name,
    )  # fmt: skip


def _warm(strengths: Strengths, power: PowerResult, lump: int) -> Warm:
    chassis = strengths.parts.get(CHASSIS)
    if chassis is None:
        raise CannotBe("no chassis stands made as the build asks now; run coachwork make")
    material = _material(chassis)
    hottest = need(power.answer).watched.hottest_degc[:, lump]
    return Warm(degc=hottest, softens_degc=material.softens_degc, material=material.name)
