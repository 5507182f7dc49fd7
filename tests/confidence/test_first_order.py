"""First-order chances against Monte Carlo sampling of the same study, and shares against what algebra says."""

from __future__ import annotations

from dataclasses import replace
from functools import wraps

import numpy as np
import pytest

from coachwork.confidence import examine
from coachwork.confidence.first_order import chance_of
from coachwork.plan import Sampled

SAMPLES = 200_000


def verdicts(tiny, **changes: str):
    return {verdict.id: verdict for verdict in examine(tiny.build(**changes), plan=tiny.plan()).verdicts}


def sampled_chance(tiny, study: str, finding: str, **changes: str) -> float:
    """Share of samples that hold; every number drawn evenly over its half-width (JCGM 101:2008, 6.4.2)."""
    plan, build = tiny.plan(), tiny.build(**changes)
    read = plan.run(build)[study].everything_read()
    draw = np.random.default_rng(20240229)
    columns = {key: draw.uniform(held.low, held.high, SAMPLES) for key, held in read.items() if held is not None}
    moved = plan.run_sampled(build, study, Sampled(columns=columns, samples=SAMPLES))
    (found,) = (f for f in moved.findings if f.id == finding)
    value, limit = (np.broadcast_to(array, SAMPLES) for array in (found.value, found.limit))
    held = np.abs(value) <= limit if found.sense == "within" else value <= limit
    return float(held.mean())


# The largest number keeps its rectangle and the others pass for a bell curve: at most 0.0073 off, measured over shell
# lengths from 406 to 416 mm. A share or a sign gone wrong costs forty times that.
@pytest.mark.parametrize(
    ("study", "finding", "changes"),
    [
        ("sized", "sized.length", {}),
        ("sized", "sized.length", {"411": "411.8"}),
        ("sized", "sized.length", {"411": "412"}),
        ("sized", "sized.length", {"411": "412.5"}),
        ("sized", "sized.length", {"411": "407.7"}),
        ("sized", "sized.width", {"166 ": "167.2 "}),
        ("stretched", "stretched.amount", {"290": "296.7"}),
        ("stretched", "stretched.amount", {"290": "296.2"}),
        ("stretched", "stretched.amount", {"290": "281.5", '"belt"': '"shaft"'}),
    ],
)
def test_the_chance_agrees_with_monte_carlo(tiny, study, finding, changes):
    chance = verdicts(tiny, **changes)[finding].chance

    assert chance == pytest.approx(sampled_chance(tiny, study, finding, **changes), abs=0.01)


def test_a_number_that_outweighs_all_others_keeps_its_rectangle(tiny):
    """An even distribution of 4 mm half-width holds within 2 mm half of the time; a bell curve would say 0.61."""
    wide = {"± 9": "± 40", "± 0.6": "± 0"}
    assert sampled_chance(tiny, "sized", "sized.width", **wide) == pytest.approx(0.5, abs=0.005)
    assert verdicts(tiny, **wide)["sized.width"].chance == pytest.approx(0.5, abs=1e-9)


def test_the_sweep_above_meets_chances_of_all_sizes(tiny):
    found = [verdicts(tiny, **{"411": length})["sized.length"].chance for length in ("410", "411.8", "412.5", "414")]
    assert found[0] > 0.98
    assert 0.5 < found[1] < 0.75
    assert 0.1 < found[2] < 0.3
    assert found[3] < 0.01


def test_shares_and_gains_are_those_of_the_sum(tiny):
    """The error is shell - prototype / 10: gains 1 and -1/10; variances 0.6^2 / 3 and 0.9^2 / 3, the scale has none."""
    leads = {lead.key: lead for lead in verdicts(tiny)["sized.length"].leads}

    assert set(leads) == {"shell.length", "prototype.length"}
    assert leads["shell.length"].gain == pytest.approx(1.0)
    assert leads["prototype.length"].gain == pytest.approx(-0.1)
    assert leads["shell.length"].share == pytest.approx(0.36 / (0.36 + 0.81))
    assert sum(lead.share for lead in leads.values()) == pytest.approx(1.0)


def test_a_number_that_a_study_stands_on_counts_in_the_next(tiny):
    """The stretch takes half of the length error on, so the shell's length is a quarter of its own variance there."""
    leads = {lead.key: lead for lead in verdicts(tiny)["stretched.amount"].leads}

    variances = {"shell.wheelbase": 0.09, "running-gear.wheelbase": 0.09, "shell.length": 0.36 / 4,
                 "prototype.length": 0.81 / 4}  # fmt: skip
    for key, variance in variances.items():
        assert leads[key].share == pytest.approx(variance / sum(variances.values())), key


def test_without_spreads_a_verdict_is_certain(tiny):
    exact = {"± 9": "± 0", "± 0.6": "± 0", "± 0.3": "± 0"}
    assert {verdict.chance for verdict in verdicts(tiny, **exact).values()} == {1.0}
    assert verdicts(tiny, **exact, **{"411": "413"})["sized.length"].chance == 0.0
    assert verdicts(tiny, **exact)["sized.length"].leads == ()


def test_an_unmeasured_verdict_has_no_chance(tiny):
    found = verdicts(tiny, **{'width = "166 ± 0.6 mm"\n': ""})

    assert (found["sized.width"].state, found["sized.width"].chance) == ("unmeasured", None)
    assert found["sized.length"].chance is not None


@pytest.mark.parametrize(("value", "state"), [("411", "holds"), ("411.8", "tight"), ("413", "fails"), ("407", "fails")])
def test_states_follow_from_margin_and_chance(tiny, value, state):
    assert verdicts(tiny, **{"411": value})["sized.length"].state == state


# Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table 26.1: the normal distribution's P(x); from
# memory.
@pytest.mark.parametrize(("z", "p"), [(0.0, 0.5), (1.0, 0.841345), (1.644854, 0.95), (-2.0, 0.022750), (3.0, 0.998650)])
def test_many_numbers_of_a_size_make_a_normal_distribution(z, p):
    """The central limit; with 10,000 of them one rectangle among them no longer shows in six digits."""
    many, none = np.full(10_000, 0.01), np.zeros(10_000)

    assert chance_of(10.0 - z, 10.0, "at most", of_value=many, of_limit=none) == pytest.approx(p, abs=1e-6)
    assert chance_of(10.0 + z, 10.0, "at least", of_value=many, of_limit=none) == pytest.approx(p, abs=1e-6)
    assert chance_of(10.0, 10.0 + z, "at most", of_value=none, of_limit=many) == pytest.approx(p, abs=1e-6)
    within = chance_of(0.0, abs(z), "within", of_value=many, of_limit=none)
    assert within == pytest.approx(2 * max(p, 1 - p) - 1, abs=2e-6)


def recomputed(tiny, change):
    """The invented study with its length error changed by a function of it and of the shell's length."""
    sized, *others = tiny.studies

    @wraps(sized.compute)  # the plan wires it by its signature
    def compute(shell, **more):
        plain = sized.compute(shell=shell, **more)
        return replace(plain, length_mm=change(plain.length_mm, shell.length.mm))

    return replace(tiny, studies=(replace(sized, compute=compute), *others))


def test_no_chance_is_told_where_any_change_of_a_number_leaves_nothing_to_compute(tiny):
    only_as_measured = recomputed(tiny, lambda mm, length: np.where(length == 411.0, mm, np.nan))

    found = verdicts(only_as_measured)["sized.length"]

    assert (found.value, found.chance, found.leads) == (pytest.approx(1.0), None, ())


def test_where_only_one_side_of_a_number_can_be_computed_that_side_counts(tiny):
    not_longer = recomputed(tiny, lambda mm, length: np.where(length <= 411.0, mm, np.nan))

    assert verdicts(not_longer)["sized.length"].chance == pytest.approx(verdicts(tiny)["sized.length"].chance)


def test_a_study_that_looks_less_finely_at_many_samples_has_the_same_chance(tiny):
    """5 mm off in every sampled run, and right in the plain one: no number's slope may see the 5 mm."""
    coarse = recomputed(tiny, lambda mm, length: mm + (5.0 if len(mm) > 1 else 0.0))

    assert verdicts(coarse)["sized.length"].chance == pytest.approx(verdicts(tiny)["sized.length"].chance)


def test_a_spread_upstream_changes_the_chance_of_what_stands_on_the_same_result(tiny):
    """The error in length goes into the stretch by half; near its limit a wider spread makes it less sure."""
    plan = tiny.plan()
    near = {"290": "296.2"}
    sharp = {v.id: v.chance for v in examine(tiny.build(**near), plan=plan).verdicts}["stretched.amount"]
    vague = {v.id: v.chance for v in examine(tiny.build(**near, **{"411 ± 0.6": "411 ± 2"}), plan=plan).verdicts}

    assert vague["stretched.amount"] < sharp - 0.05
    assert vague["stretched.amount"] == verdicts(tiny, **near, **{"411 ± 0.6": "411 ± 2"})["stretched.amount"].chance
