"""The harbour mail van on its delivery round: what stops it as found, and that nothing does as finished.

The claims are about physics, so each is also held against another route: scipy's Radau on the van's own numbers, and
the exponential of a lump for the moment of a trip.
"""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read, read_text
from coachwork.plan import Plan
from coachwork.studies.power.compute import BUILT_IN, OPEN, SEPARATE, driven
from coachwork.studies.power.heat import AIR, REGULATOR

sys.path.insert(0, str(Path(__file__).parents[1] / "studies" / "power"))
import power_case
import power_radau

VANS = Path(__file__).parents[2] / "examples" / "harbour-mail-van"


def answer(van):
    return Plan().run(read(VANS / van), only=["power"])["power"].result.answer


@pytest.fixture(scope="module")
def found():
    return answer("as-found")


@pytest.fixture(scope="module")
def finished():
    return answer("as-finished")


def test_as_found_the_regulator_shuts_off_on_the_round_and_latches(found):
    """Closed shell, built-in linear regulator, lights and sound: dead by the roadside, and nothing else trips."""
    assert found.setup.body.closed[0]
    assert found.setup.body.built_in[0]
    assert found.setup.vehicle.regulator.linear[0]
    assert [(one.trip, one.resets) for one in found.met] == [("regulator heat", False)]
    assert 5 * 60 < found.met[0].second < 28 * 60


def test_the_latch_is_cleared_by_switching_off_and_on(found):
    """Somebody switches off and on after a quarter of an hour: it runs, and trips again, sooner than from cold."""
    from coachwork.studies.power.drive import drive
    from coachwork.studies.power.duty import stretches
    from coachwork.studies.power.heat import network

    setup = found.setup
    events = drive(
        setup.vehicle, network(setup.body), setup.guards, stretches(setup.legs), rail_a=setup.rail_a, seconds=5400.0,
        restart_s=np.array([900.0]),
    ).happenings  # fmt: skip
    first, reset, again = events[:3]

    assert (first.trip, first.resets, reset.resets) == ("regulator heat", False, True)
    assert reset.second == pytest.approx(first.second + 900.0, abs=0.01)
    assert (again.trip, again.resets) == ("regulator heat", False)
    assert again.second - reset.second < first.second


@pytest.mark.parametrize("name", [OPEN, SEPARATE])
def test_without_the_shell_or_with_a_separate_regulator_nothing_trips(found, name):
    other = found.others[name]
    assert not np.isfinite(list(other.first_s.values())).any()
    assert other.hottest_degc[REGULATOR] < found.setup.guard("regulator heat").limit[0] - 10


def test_as_finished_nothing_trips(finished):
    assert finished.met == ()
    assert not np.isfinite([first[0] for first in finished.watched.first_s.values()]).any()


def scaled(setup, share):
    """The same van with the regulator's load, and so its loss, scaled."""
    return replace(setup, rail_a={state: amps * share for state, amps in setup.rail_a.items()})


@pytest.mark.parametrize("share", [1.3, 1.15, 0.95])
def test_the_regulators_load_moves_the_time_as_the_thermal_model_says(found, settled_rise, share):
    """Twice computed: the van's drive, and Radau on the network written out by hand, with the same load.

    And the direction and size by the exponential of one lump: the time to reach a rise goes as -ln(1 - rise / final).
    """
    guard = found.setup.guard("regulator heat")
    ours = driven([scaled(found.setup, share)], acting=[False], seconds=3600.0)
    made = ("regulator heat", "regulator", float(guard.limit[0]), "nothing", "never")
    case = power_case.case_of(scaled(found.setup, share), (made,))
    second = ours.first_s["regulator heat"][0]
    assert np.isfinite(second)
    events, _ = power_radau.radau(case, second + 60.0, rtol=1e-6)  # what comes after the trip is not asked
    theirs = next(when for when, trip, _ in events if trip == "regulator heat")

    assert second == pytest.approx(theirs, abs=0.5)
    by_lump = _lump_time(found, settled_rise * share) / _lump_time(found, settled_rise)
    whole = driven([found.setup], acting=[False], seconds=3600.0)
    by_drive = second / whole.first_s["regulator heat"][0]
    assert by_drive == pytest.approx(by_lump, rel=0.25), "one lump for seven, so only about"
    assert (by_drive < 1) == (share > 1)


def test_half_the_regulators_load_never_trips(found, settled_rise):
    """By the settled network: half the loss settles below the limit, the whole one above it."""
    guard = found.setup.guard("regulator heat")
    half = driven([scaled(found.setup, 0.5)], acting=[False], seconds=4 * 3600.0)
    assert np.isinf(half.first_s["regulator heat"][0])
    rise, whole = half.hottest_degc[0, REGULATOR] - 24.0, guard.limit[0] - 24.0
    assert 0.45 < rise / settled_rise < 0.62, "half of the load, and the controller's own heat stays"
    assert rise < whole < settled_rise


@pytest.fixture(scope="module")
def settled_rise(found):
    """Of the regulator over the air outside, in four hours with nothing tripping, K."""
    whole = driven([found.setup], acting=[False], seconds=4 * 3600.0)
    return whole.hottest_degc[0, REGULATOR] - 24.0


def _lump_time(found, settled):
    """Time to the limit of a lump that ends at a settled rise, in units of its time constant."""
    rise = found.setup.guard("regulator heat").limit[0] - 24.0
    return -np.log(1 - rise / settled)


def test_what_a_builder_is_told(found, finished):
    """The verdict names moment, latch and cure with their numbers."""
    from coachwork.studies.power.result import PowerResult
    from coachwork.studies.power.verdicts import findings

    told = {one.id: one for one in findings(PowerResult(answer=found))}["power.regulator-heat"]
    assert "until it is switched off and on" in told.why
    assert "separate switching regulator" in told.do
    assert "without the shell it stays at" in told.do
    assert found.watched.hottest_degc[0, AIR] > found.others[OPEN].hottest_degc[AIR] + 4


def test_as_finished_the_spare_built_in_regulator_would_have_shut_off(finished):
    """Both ways round: what the separate one is good for is told on the van that has it, too."""
    from coachwork.studies.power.result import PowerResult
    from coachwork.studies.power.verdicts import findings

    spare = finished.others[BUILT_IN]
    assert np.isfinite(spare.first_s["regulator heat"])
    assert spare.hottest_degc[REGULATOR] > finished.watched.hottest_degc[0, REGULATOR] + 40
    assert SEPARATE not in finished.others
    told = {one.id: one for one in findings(PowerResult(answer=finished))}["power.regulator-heat"]
    assert f"with the built-in regulator it would be {spare.hottest_degc[REGULATOR]:.0f} degC" in told.why


def test_without_a_spare_built_in_regulator_nothing_is_compared_with_one(found):
    assert BUILT_IN not in found.others


@pytest.mark.parametrize("van", ["as-found", "as-finished"])
def test_the_receiver_s_volts_in_the_drive_are_those_of_the_network(van):
    """All loads at their most: the drive's regulator and leads against the nodal analysis, at the same current."""
    answers = Plan().run(read(VANS / van), only=["power", "wiring"])
    setup = answers["power"].result.answer.setup
    case = answers["wiring"].result.solved.cases["all on, full pack"]
    regulator = setup.vehicle.regulator
    network_a = sum(flow.output_a[0] for flow in case.regulators.values())

    takes_off_v = (regulator.own_ohm[0] + regulator.rail_ohm[0]) * network_a
    assert regulator.out_v[0] - takes_off_v == pytest.approx(case.loads_v["receiver"][0], abs=1e-3)
    assert takes_off_v > 0.15  # or there would be nothing to see


def test_a_round_that_cannot_be_read_costs_the_drive_and_no_more(tmp_path):
    """It is told with its lines; every question that does not drive is answered as before."""
    text = (VANS / "as-finished" / "build.toml").read_text(encoding="utf-8")
    (tmp_path / "delivery-round.csv").write_text("seconds, speed m/s\n20, fast\n9, 1\n, 2\n", encoding="utf-8")
    build = read_text(text, tmp_path / "build.toml")
    answers = Plan().run(build, only=["power", "wiring"])

    line = text.splitlines().index('file = "delivery-round.csv"') + 1
    assert [(doubt.key, doubt.line) for doubt in build.doubts] == [("duty.file", line)] * 2
    assert 'delivery-round.csv, line 2: read "fast" under speed m/s' in str(build.doubts[0])
    assert "line 4: nothing under seconds" in str(build.doubts[1])
    told = {finding.id: finding for finding in answers["power"].findings}
    assert not any(finding.measured for finding in told.values())
    assert "delivery-round.csv, line 2" in told["power.run-time"].why
    assert all(finding.measured for finding in answers["wiring"].findings)


def test_a_round_that_is_not_there_is_asked_for_by_its_name(tmp_path):
    build = read_text('[duty]\nfile = "round.csv"\n', tmp_path / "build.toml")

    (doubt,) = build.doubts
    assert "round.csv cannot be read: no such file" in str(doubt)
