"""Suspension arms as their axle lands: the carrier's balance, and an arm that is a beam of the handbooks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.running_gear import RunningGear
from coachwork.elasticity.flexibility import Flexibility, Kept
from coachwork.elasticity.process import flexibility_of
from coachwork.elasticity.stress import von_mises
from coachwork.plan import Plan
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.makeability.specs.arm import arm_spec
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe, need
from coachwork.studies.solids import Hole, PartSolid
from coachwork.studies.structure.arm_jobs import DAMPER, HINGE, OUTER
from coachwork.studies.structure.arm_verdicts import arm_finding
from coachwork.studies.structure.arms import Borne, borne, held_arm, on_the_pin
from coachwork.studies.structure.drop import landing
from coachwork.studies.structure.jobs import job_of
from coachwork.studies.structure.result import ArmDrop

UP = np.array([0.0, 0.0, 1.0])
WIDE, HIGH, SPAN, OVER, BORE = 10.0, 8.0, 120.0, 60.0, 3.0


def bar(folder: Path) -> PartSolid:
    """A straight bar for an arm: hinge pin, damper 120 out, outer pin 60 further, all along x through its middle."""
    holes = tuple(
        Hole(name=name, centre_mm=(-WIDE / 2, y, 0.0), axis=(1.0, 0.0, 0.0), diameter_mm=BORE, drawn_mm=BORE,
             depth_mm=WIDE, purpose="pin")
        for name, y in ((HINGE, 0.0), (DAMPER, SPAN), (OUTER, SPAN + OVER))
    )  # fmt: skip
    return PartSolid(
        name="front-arm-left", number="P-2", step=str(folder / "arm.step"), mesh="", content="", spec="",
        process="powder-bed nylon", material="PA12", holes=holes,
    )  # fmt: skip


@pytest.fixture(scope="module")
def kept(trays: Path) -> Kept:
    return flexibility_of(replace(job_of(bar(trays)), accuracy=0.01), trays / "arm.npz", threads=1)


def test_a_straight_arm_gives_as_a_beam_that_overhangs_its_support(trays: Path, kept: Kept):
    """W a^2 (L + a) / (3 E I), a beam's handbook case, and Timoshenko's shear with 5/6 of the section; from memory."""
    load = Borne(force=UP, couple=np.zeros(3), damper=UP)
    settled = held_arm(bar(trays), kept, load)

    inertia = WIDE * HIGH**3 / 12
    bends = OVER**2 * (SPAN + OVER) / (3 * inertia)
    shears = 1.2 * 2 * (1 + kept.poisson) / (WIDE * HIGH) * (OVER + OVER**2 / SPAN)
    lifts = settled.motion(0, OUTER)[2] * (1 - kept.error("lifted"))
    assert lifts == pytest.approx(bends + shears, rel=0.01)
    assert settled.joints[1] == pytest.approx((SPAN + OVER) / SPAN, rel=1e-5)  # the damper's, by the lever


def test_its_stress_is_that_of_the_section_left_beside_the_damper(trays: Path, kept: Kept):
    """Peterson, from memory: a central hole under half the height leaves the outer fibre at 6 M H / ((H^3 - d^3) t)."""
    settled = held_arm(bar(trays), kept, Borne(force=UP, couple=np.zeros(3), damper=UP))

    wanted = 6 * OVER * HIGH / ((HIGH**3 - BORE**3) * WIDE)
    stress = von_mises(settled.stress_mpa(0))
    assert stress.max() == pytest.approx(wanted, rel=0.05)
    assert kept.places_mm[np.argmax(stress)][1] == pytest.approx(SPAN, abs=4.0)


def test_a_carrier_on_its_pin_and_link_is_in_balance():
    """By hand: 20 mm outside the pin, a level link 30 mm above it pushes with 20/30, and the arm is pulled as much."""
    force, couple = on_the_pin(np.array([0.0, 20.0, -40.0]), np.array([0.0, 0.0, 30.0]), np.array([0.0, -1.0, 0.0]),
                               np.array([1.0, 0.0, 0.0]))  # fmt: skip
    assert force == pytest.approx([0.0, 2 / 3, 1.0])
    assert couple == pytest.approx([0.0, 0.0, 0.0])


def test_a_link_through_the_pin_is_refused():
    with pytest.raises(CannotBe, match="cannot keep the wheel upright"):
        on_the_pin(np.array([0.0, 20.0, 0.0]), np.array([0.0, 0.0, 30.0]), np.array([0.0, 0.0, 1.0]),
                   np.array([1.0, 0.0, 0.0]))  # fmt: skip


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("end", ["front", "rear"])
def test_the_damper_bears_what_virtual_work_says(examples: Path, end: EndName, side: str):
    """Its force times how much it shortens is the wheel's load times how much it rises: found by the linkage study."""
    build = read(examples / "as-finished")
    balance: BalanceResult = Plan().run(build, only=["balance"])["balance"].result
    load = borne(build[RunningGear], build[Changes], balance, end, side)  # type: ignore[arg-type]
    spec = arm_spec(PartTables.of(build), end, side)  # type: ignore[arg-type]
    part = replace(bar(Path()), chassis_from_part=(spec.chassis_from_part,))
    mirror = -1.0 if side == "right" else 1.0
    middles = np.array([[0.0, 0.0, 0.0], spec.outer_mm, spec.damper_mm]) * [1.0, 1.0, mirror]
    stiff = Flexibility(fittings=(HINGE, OUTER, DAMPER), middle_mm=middles, by_load=np.zeros((18, 18)),
                        by_weight=np.zeros((18, 3)), centre_mm=np.zeros(3))  # fmt: skip

    pushes = float(held_arm(part, stiff, load).joints[1][0])
    _, ratio, _ = need(balance.springs[end]).at(np.zeros(1))
    assert pushes == pytest.approx(1 / float(ratio[0]), rel=0.03)


@pytest.mark.parametrize(("stress_mpa", "cure"), [(30.0, None), (60.0, "make it 20 % thicker")])
def test_an_arm_that_does_not_bear_it_is_told_how_much_thicker(stress_mpa: float, cure: str | None):
    """A bent plate's stress goes with one over its thickness squared: sqrt(60 / 42) is 1.195."""
    landed = landing(
        load_n=np.array([14.0]), height_mm=np.array([25.0]), wheel_rate_n_per_mm=np.array([0.3]),
        bump_mm=np.array([8.0]), tyre_rate_n_per_mm=np.array([12.0]), end_rate_n_per_mm=np.array([50.0]),
    )  # fmt: skip
    arm = ArmDrop(part="front-arm-left", own=False, landing=landed, lift_n=np.array([66.0]),
                  stress_mpa=np.array([stress_mpa]), bears_mpa=np.array([42.0]), place_mm=(0.0, 60.0, 8.0),
                  unsure=0.1)  # fmt: skip
    finding = arm_finding("front-arm-left", arm)

    assert finding.question == "Does the left front arm bear a drop off a kerb?"
    assert finding.do is None if cure is None else finding.do is not None and finding.do.startswith(cure)


def test_an_arm_without_its_damper_hole_says_which_are_needed():
    whole = bar(Path())
    with pytest.raises(CannotBe, match=r"it names no hole damper\.hole"):
        job_of(replace(whole, holes=whole.holes[:1] + whole.holes[2:]))
