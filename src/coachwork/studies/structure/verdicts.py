"""From the result to findings; numbers in, sentences out."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part, attempt, need_all
from coachwork.studies.structure.arm_verdicts import arm_finding
from coachwork.studies.structure.jobs import CHASSIS
from coachwork.studies.structure.post_verdicts import post_findings
from coachwork.studies.structure.result import Drop, Sag, Snap, StructureResult, Twist, Wanted, Warm
from coachwork.studies.structure.strengths import WHAT_IF
from coachwork.studies.structure.trials import Effect, Trial, best, gone_words
from coachwork.studies.wording import COMMON_PRACTICE, first

MOST_SAG_MM = 0.5
SPARE_DEGC = 10.0


def findings(result: StructureResult) -> Iterator[Finding]:
    """One for each question, and one for each latch."""
    yield judge(
        _both(result.twist, result.wanted), lambda both: _twists(*both), id="structure.twist",
        question="Is the chassis stiff enough in twist that the springs do the work?",
    )  # fmt: skip
    yield judge(
        _against(result.twist, result.donor_nmm_deg), lambda both: _donors(*both), id="structure.twist-against-donor",
        question="Is the chassis as stiff in twist as the donor's own?",
    )  # fmt: skip
    yield judge(result.sag, _sags, id="structure.sag", question="Does the chassis carry the weight without sagging?")
    yield judge(result.drop, _drops, id="structure.drop", question="Does the chassis bear a drop off a kerb?")
    for name, arm in result.arms.items():
        yield arm_finding(name, arm)
    for name, snap in result.snaps.items():
        yield judge(snap, lambda snap, name=name: _snaps(snap, name), id=f"structure.latch.{name}",  # type: ignore[misc]
                    question=f"Does the {_latch(name)} stand being closed?")  # fmt: skip
    yield from post_findings(result.posts)
    for what, warm in result.warm.items():
        yield judge(warm, lambda warm, what=what: _warms(warm, what), id=f"structure.heat.{what}",  # type: ignore[misc]
                    question=_HEAT[what])  # fmt: skip


_HEAT = {
    "air": "Does the chassis stay hard in the warmth under the shell?",
    "motor": "Does the chassis stay hard where the motor is screwed to it?",
}


def _both(twist: Part[Twist], wanted: Part[Wanted]) -> Part[tuple[Twist, Wanted]]:
    return attempt(need_all, twist, wanted)


def _against(twist: Part[Twist], donor: Part[Numbers]) -> Part[tuple[Twist, Numbers]]:
    return attempt(need_all, twist, donor)


def stiffness_words(twist: Twist) -> str:
    """What it gives in each way the door may hold."""
    if twist.pushed is None or twist.slides is None or twist.tied is None or twist.bonded is None:
        return f"{first(twist.open):.0f} N mm a degree between the axles, without a door"
    return (
        f"{first(twist.open):.0f} N mm a degree between the axles without its door; with it {first(twist.pushed):.0f} "
        f"if the door's lips only push, {first(twist.slides):.0f} if they are held down and may slide, and "
        f"{first(twist.tied):.0f} if they can do neither; welded on it would be {first(twist.bonded):.0f}"
    )


def _bounds(twist: Twist) -> str:
    """How the door is idealised, in one clause."""
    if twist.pushed is None or twist.tied is None:
        return ""
    return (
        f"; how well the lips are held is not known, so that the truth lies between {first(twist.pushed):.0f} and "
        f"{first(twist.tied):.0f}, and the less is counted"
    )


def _thicker(thick_mm: float, times: float) -> str:
    """How much thicker: an open shape gains with the third power of its thickness, a closed one with the first."""
    least, most = thick_mm * (times ** (1 / 3) - 1), thick_mm * (times - 1)
    return f"make floor and walls {least:.1f} to {most:.1f} mm thicker"


def _stiffer(twist: Twist, times: float) -> str:
    """The change that was computed and does it, or does most; else the two laws' bracket."""
    found = best(twist.trials, times)
    if found is None:
        return f"{_thicker(twist.thick_mm, times)}, {ESTIMATED}"
    trial, by = found
    return f"{_entries(trial)}: {first(twist.counted) * by.times:.0f} N mm a degree then, {_computed(by, times)}"


def _entries(trial: Trial) -> str:
    told = "set " + " and ".join(f"{key} to {text}" for key, text in trial.change.entries.items())
    return f"{told} ({gone_words(trial)})" if trial.gone else told


def _computed(by: Effect, times: float) -> str:
    sure = f"as computed, to {100 * by.unsure:.0f} %"
    return sure if by.times >= times else f"{sure}, which is most of all that were tried, and not enough alone"


ESTIMATED = f"an estimate between an open frame's law and a closed one's; {WHAT_IF} computes changes"


def _twists(twist: Twist, wanted: Wanted) -> Told:
    limit = wanted.roll_nmm_deg * wanted.times
    times = float((limit / twist.counted).flat[0])
    do = None
    if times > 1:
        do = _stiffer(twist, times)
        for held, so in ((twist.slides, "none lifts"), (twist.tied, "none lifts or slides")):
            if held is not None and first(held) >= first(limit):
                do = f"hold the door's lips down along both sides, so that {so}: {first(held):.0f} N mm a degree then"
                break
    return {
        "value": twist.counted,
        "limit": limit,
        "sense": "at least",
        "tight_within": 0.1 * first(limit),
        "unit": "N mm a degree",
        "why": f"it gives {stiffness_words(twist)} (finite elements, to {100 * twist.error:.0f} %){_bounds(twist)}; "
        f"the springs give {first(wanted.roll_nmm_deg):.0f} in roll, and {first(wanted.times):g} times that is asked",
        "do": do,
        "where": Place(part=CHASSIS),
        "source": COMMON_PRACTICE,
    }


def _donors(twist: Twist, donor: Numbers) -> Told:
    share = 100 * twist.counted / donor
    times = float((donor / twist.counted).flat[0])
    return {
        "value": share,
        "limit": 100.0,
        "sense": "at least",
        "tight_within": 10.0,
        "unit": "% of the donor's",
        "why": f"it gives {stiffness_words(twist)}{_bounds(twist)}; the donor's gave {first(donor):.0f} on the bench",
        "do": _stiffer(twist, times) if times > 1 else None,
        "where": Place(part=CHASSIS),
        "source": "your twist test of the donor's chassis",
    }


def _sags(sag: Sag) -> Told:
    return {
        "value": sag.mm,
        "limit": MOST_SAG_MM,
        "sense": "at most",
        "tight_within": 0.1,
        "unit": "mm",
        "why": f"held {sag.span_mm:.0f} mm apart, it sags by {first(sag.mm):.2f} mm under the "
        f"{first(sag.weight_n):.0f} N that stand on the springs, spread evenly",
        "do": _straighter(sag) if first(sag.mm) > MOST_SAG_MM else None,
        "where": Place(part=CHASSIS),
        "source": COMMON_PRACTICE,
    }  # fmt: skip


def _straighter(sag: Sag) -> str:
    times = first(sag.mm) / MOST_SAG_MM
    found = best(sag.trials, times, bending=True)
    if found is None:
        higher = 100 * (times ** (1 / 3) - 1)
        return f"make its walls {higher:.0f} % higher, an estimate as of a plain beam; {WHAT_IF} computes changes"
    trial, by = found
    return f"{_entries(trial)}: {first(sag.mm) / by.times:.2f} mm then, {_computed(by, times)}"


def _drops(drop: Drop) -> Told:
    over = float((drop.stress_mpa / drop.bears_mpa).flat[0])
    doubt = f"; its elements differ by {100 * drop.unsure:.0f} % there" if drop.unsure > 0.2 else ""
    return {
        "value": drop.stress_mpa,
        "limit": drop.bears_mpa,
        "sense": "at most",
        "tight_within": 0.15 * first(drop.bears_mpa),
        "unit": "MPa",
        "why": f"the front axle lands with {first(drop.landing.factor):.1f} times its standing load, "
        f"{first(drop.landing.peak_n):.0f} N{doubt}",
        "do": f"round that corner out, or make the wall there {drop.thick_mm * (over - 1):.1f} mm thicker"
        if over > 1 else None,
        "where": Place(part=CHASSIS, point_mm=drop.place_mm),
        "source": "tensile strength less the process's knock-down, by the catalogue",
    }  # fmt: skip


def _latch(name: str) -> str:
    part, _, latch = name.partition(".")
    return f"{latch} latch of the {part.replace('-', ' ')}"


def _snaps(snap: Snap, name: str) -> Told:
    strain, stands = 100 * first(snap.strain), 100 * first(snap.stands)
    return {
        "value": 100 * snap.strain,
        "limit": 100 * snap.stands,
        "sense": "at most",
        "tight_within": 0.1 * stands,
        "unit": "%",
        "why": f"it is pushed {snap.deflection_mm:.1f} mm aside over {snap.length_mm:.0f} mm of length, "
        f"{snap.thickness_mm:.1f} mm thick: its root is strained by {strain:.1f} %, and {snap.material} as made stands "
        f"{stands:.1f} % at every closing",
        "do": _stands_by(snap, strain / stands) if strain > stands else None,
        "where": Place(part=snap.part, point_mm=snap.root_mm),
        "source": "60 % of the yield strain less the process's knock-down, snap-fit design guides; from memory",
    }  # fmt: skip


def _stands_by(snap: Snap, times: float) -> str:
    """What would do: the strain goes with thickness and hook, and with one over the length squared."""
    hook = f"give it a hook that pushes it only {_down(snap.deflection_mm / times)} mm aside"
    if snap.longest_mm is None or snap.longer_mm <= snap.longest_mm:
        return (
            f"make the latch {_up(snap.longer_mm)} mm long, or {_down(snap.thickness_mm / times)} mm thick, or {hook}"
        )
    thinner = snap.thickness_mm / times * (snap.longest_mm / snap.length_mm) ** 2
    return (
        f"make the latch {_down(snap.longest_mm)} mm long, which is all there is room for, and {_down(thinner)} mm "
        f"thick; or {hook}"
    )


def _up(value: float) -> str:
    return f"{ceil(10 * value) / 10:.1f}"


def _down(value: float) -> str:
    return f"{floor(10 * value) / 10:.1f}"


def _warms(warm: Warm, what: str) -> Told:
    limit = warm.softens_degc - SPARE_DEGC
    hot = first(warm.degc)
    at = "the air round it gets" if what == "air" else "the motor's can gets"
    cure = "screw the motor to a plate of aluminium, or print that part in PA12 or ASA" if what == "motor" else (
        "print it in PA12 or ASA, or cut vents into the shell"
    )  # fmt: skip
    return {
        "value": warm.degc,
        "limit": np.full(1, limit),
        "sense": "at most",
        "tight_within": 5.0,
        "unit": "degC",
        "why": f"{at} {hot:.0f} degC on the round; {warm.material} softens under load at {warm.softens_degc:.0f} degC",
        "do": cure if hot > limit else None,
        "where": Place(part=CHASSIS),
        "source": "deflection temperature under 0.45 MPa (ISO 75), 10 degrees spared; common practice",
    }
