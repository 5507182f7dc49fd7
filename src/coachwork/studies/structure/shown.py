"""How hard the loads that finite elements watched are in use: what colours on the part's surface are to show.

Twist    one wheel lifts off, and all of its axle's load stands on the other; of the two axles the one that twists less
Bending  as the whole weight, spread evenly, bends the middle when it stands; all along, though the ends bear less
Landed   what a lower arm has at its outer pin off a kerb
Racking  what the door's corners carry when its lips are held, while the chassis is twisted so
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.parts import Part, attempt, is_missing, need
from coachwork.studies.structure.arm_jobs import LIFTED
from coachwork.studies.structure.assembly import Frame
from coachwork.studies.structure.jobs import CHASSIS, DOOR
from coachwork.studies.structure.result import ArmDrop, ShownLoad
from coachwork.studies.wording import first

ONE_N_M = 1000.0
WITHOUT = "Without the door's help."
Bears = Callable[[str], Numbers]  # of a part's material, MPa


def landed(arm: ArmDrop) -> ShownLoad:
    """An arm as its verdict loads it, but for the camber link's share and the damper's slant."""
    return ShownLoad(part=arm.part, watched=LIFTED, title="Landed", times=arm.lift_n, bears_mpa=arm.bears_mpa,
                     words=f"Landed off a kerb: {first(arm.lift_n):.0f} N up at the outer pin.",
                     note="Drawn with its damper upright; the verdict counts its slant.")  # fmt: skip


def shown_loads(built: Part[Frame], balance: BalanceResult, bears: Bears) -> tuple[ShownLoad, ...]:
    """Those of the parts that were computed; where their size is not known, by each N m."""
    if is_missing(built) or is_missing(attempt(lambda: built.chassis)):
        return ()
    couple = attempt(_lifted, balance)
    twist = np.full(1, ONE_N_M) if is_missing(couple) else couple
    asked = (
        partial(_twisted, twist, bears, known=not is_missing(couple)),
        partial(_bent, built, balance, bears),
        partial(_racked, built, twist, bears),
    )
    return tuple(load for one in asked if not is_missing(load := attempt(one)))


def _twisted(twist: Numbers, bears: Bears, *, known: bool) -> ShownLoad:
    why = "one wheel off the ground, the other bears its axle's load" if known else "the load on the axles is not known"
    return ShownLoad(part=CHASSIS, watched="twist", title="Twisted", times=twist, bears_mpa=bears(CHASSIS),
                     note=WITHOUT, words=f"Twisted by {first(twist):.0f} N mm between the axles: {why}.")  # fmt: skip


def _lifted(balance: BalanceResult) -> Numbers:
    """Couple about the vehicle's length that an axle puts in with all its load on one wheel, N mm."""
    load, half = need(balance.settled).load_n, need(balance.stood).on.half_track_mm
    return np.asarray(np.minimum(load["front"] * half["front"], load["rear"] * half["rear"]))


def _bent(frame: Frame, balance: BalanceResult, bears: Bears) -> ShownLoad:
    """A load spread evenly between two supports bends most in the middle: its weight times the span by 8."""
    couple, why = np.full(1, ONE_N_M), "the weight is not known"
    if not is_missing(balance.stood):
        couple = balance.stood.weight.newton * frame.span_mm / 8
        why = "as the middle is when it stands on its wheels; the ends bear less"
    return ShownLoad(part=CHASSIS, watched="bending", title="Bent", times=couple, bears_mpa=bears(CHASSIS),
                     note=WITHOUT, words=f"Bent by {first(couple):.0f} N mm all along: {why}.")  # fmt: skip


def _racked(frame: Frame, twist: Numbers, bears: Bears) -> ShownLoad:
    """Watched with a newton at the pad that bears most."""
    settled = frame.settled("tied", twist_n_mm=1.0)
    across = settled.forces[1].reshape(-1, 6)[:, 2]
    most = float(np.abs(across).max())
    return ShownLoad(part=DOOR, watched="racking", title="Racked", times=most * twist, bears_mpa=bears(DOOR), note="",
                     words=f"Racked by {most * first(twist):.0f} N at a corner: its lips held, the chassis twisted by "
                     f"{first(twist):.0f} N mm.")  # fmt: skip
