"""Ride height, frequency and damping against algebra and textbook formulae."""

import numpy as np
import pytest

from coachwork.build.entries import Count, Length, Viscosity
from coachwork.build.sections.springing import Damper
from coachwork.quantity import COUNT, LENGTH, VISCOSITY, Source, parse
from coachwork.studies.balance.ride import Settled, damping, ride, settle
from coachwork.studies.balance.stability import stand
from coachwork.studies.balance.weight import Weight
from coachwork.studies.parts import CannotBe

G = 9806.65e-6  # N a gram


def weight(x=-135.0, z=51.0, mass=2500.0):
    return Weight(mass_g=np.array([mass]), cg_mm=np.array([[x, 0.0, z]]), found_by="adding up its parts")


UNSPRUNG = {"front": np.array([300.0]), "rear": np.array([260.0])}


def test_the_loop_agrees_with_a_bench_calculation(level, straight_springs):
    """Straight springs: sunk = (W/2 / (k r) - squeeze at ride) / r, squeeze at ride = free - fitted + out - length.

    Loads by hand with the pitch that the two heights give, gone round as on paper.
    """
    springs = {"front": straight_springs(rate=0.62, free=46.0), "rear": straight_springs(rate=0.64, free=46.0)}

    found = settle(weight(), level, springs, UNSPRUNG)

    sunk = {"front": 0.0, "rear": 0.0}
    for _ in range(6):
        height = 51.0 + 9.0 - (sunk["front"] + sunk["rear"]) / 2
        behind = 135.0 - height * (sunk["front"] - sunk["rear"]) / 270.0
        load = {"front": 2500 * G * (1 - behind / 270.0), "rear": 2500 * G * behind / 270.0}
        for end, rate in (("front", 0.62), ("rear", 0.64)):
            spring = (load[end] - UNSPRUNG[end][0] * G) / 2 / 0.5
            sunk[end] = (spring / rate - (46.0 - 36.0 + 53.0 - 50.0)) / 0.5
    assert {end: found.sunk_mm[end][0] for end in sunk} == pytest.approx(sunk, abs=1e-4)
    assert found.rounds < 12


def test_where_the_springs_hardly_hold_it_level_the_loop_does_not_settle_and_says_so(level, straight_springs):
    """Each round tips the load on by W h / (L^2 k r^2) times the one before: 0.98 here, a tenth of it for the van's."""
    height, rate = 58.0, 0.08
    assert 2500 * G * height / (270.0**2 * rate * 0.25) == pytest.approx(0.975, abs=0.01)
    soft = {"front": straight_springs(rate=rate, free=149.5), "rear": straight_springs(rate=rate, free=154.4)}

    with pytest.raises(CannotBe, match="do not settle"):
        settle(weight(z=height - 9.0), level, soft, UNSPRUNG)


def settled(level, load_n, sunk_mm):
    stood = stand(weight(), level)
    both = {"front": np.array([load_n]), "rear": np.array([load_n])}
    sunk = {"front": np.array([sunk_mm]), "rear": np.array([sunk_mm])}
    return Settled(stood=stood, sunk_mm=sunk, load_n=both, sprung_n=both, wanted_n=both, rounds=1)


def test_turning_the_collars_as_told_brings_the_height(level, straight_springs):
    low = straight_springs(rate=0.45)
    found = settle(weight(), level, {"front": low, "rear": low}, UNSPRUNG)
    told = {end: ride(found, end, low) for end in ("front", "rear")}
    assert told["front"].sunk_mm[0] > 1.0

    after = {end: straight_springs(rate=0.45, fitted=36.0 - told[end].collar_mm[0]) for end in told}
    again = settle(weight(), level, after, UNSPRUNG)

    assert [again.sunk_mm[end][0] for end in told] == pytest.approx([0.0, 0.0], abs=1e-6)


def test_fitting_springs_as_told_brings_the_height(level, straight_springs):
    low = straight_springs(rate=0.45)
    found = settle(weight(), level, {"front": low, "rear": low}, UNSPRUNG)
    after = {end: straight_springs(rate=ride(found, end, low).rate_n_per_mm[0]) for end in ("front", "rear")}

    again = settle(weight(), level, after, UNSPRUNG)

    assert [again.sunk_mm[end][0] for end in after] == pytest.approx([0.0, 0.0], abs=1e-6)


def test_frequency_is_that_of_a_mass_on_its_springs(level, straight_springs):
    """F = sqrt(k/m) / 2 pi, both wheels: k = 2 * 600 N/m * 0.25, m = 1.1 kg."""
    one = ride(settled(level, 1.1 * 9.80665, 0.0), "front", straight_springs())

    assert one.frequency_hz[0] == pytest.approx(np.sqrt(2 * 600 * 0.25 / 1.1) / (2 * np.pi))
    assert one.sprung_g[0] == pytest.approx(1100)


def entry(kind, of, text):
    return kind(parse(text, of, sign="not negative", source=Source.LABEL))


def damper(**changes):
    made = {
        "bore": entry(Length, LENGTH, "11 ± 0"), "rod": entry(Length, LENGTH, "3 ± 0"),
        "piston_holes": entry(Count, COUNT, "2"), "hole_diameter": entry(Length, LENGTH, "1.3 ± 0"),
        "piston_thickness": entry(Length, LENGTH, "2.5 ± 0"), "piston_gap": entry(Length, LENGTH, "0 ± 0"),
        "oil": entry(Viscosity, VISCOSITY, "350 ± 0 cSt"),
    }  # fmt: skip
    return Damper().model_copy(update=made | changes)


def test_a_dampers_force_is_poiseuilles(level, straight_springs):
    """In SI, from the law itself: dp = 128 mu l Q / (n pi d^4), Q = v A, F = dp A, with v = 0.1 m/s."""
    of = ride(settled(level, 11.0, 0.0), "front", straight_springs())

    found = damping(of, straight_springs(), damper())

    area = np.pi / 4 * (0.011**2 - 0.003**2 - 2 * 0.0013**2)
    viscosity = 350e-6 * 970.0
    pressure = 128 * viscosity * 0.0025 * (0.1 * area) / (2 * np.pi * 0.0013**4)
    assert found.n_s_per_mm[0] * 1000 * 0.1 == pytest.approx(pressure * area)


def test_the_damping_ratio_is_that_of_the_textbook(level, straight_springs):
    """Zeta = c / (2 sqrt(k m)) of one wheel, SI: c = damper * ratio^2."""
    of = ride(settled(level, 11.0, 0.0), "front", straight_springs())
    found = damping(of, straight_springs(), damper())

    wheel = found.n_s_per_mm[0] * 1000 * 0.5**2
    critical = 2 * np.sqrt(600 * 0.25 * (11.0 / 9.80665) / 2)
    assert found.ratio[0] == pytest.approx(wheel / critical)


def test_oil_that_leaks_past_the_piston_damps_less(level, straight_springs):
    """The slot's flow by its own formula: pi D s^3 / 12 beside n pi d^4 / 128."""
    of = ride(settled(level, 11.0, 0.0), "front", straight_springs())
    tight, leaky = (
        damping(of, straight_springs(), damper(piston_gap=entry(Length, LENGTH, f"{gap} ± 0"))) for gap in (0, 0.2)
    )

    holes, slot = 2 * np.pi * 1.3**4 / 128, np.pi * 11 * 0.2**3 / 12
    assert tight.n_s_per_mm[0] / leaky.n_s_per_mm[0] == pytest.approx((holes + slot) / holes)
