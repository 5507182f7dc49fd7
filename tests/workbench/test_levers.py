"""What a step of a chosen number is said to do is what it does."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import read, read_text, with_entry
from coachwork.plan import Plan
from coachwork.studies.finding import margin_of
from coachwork.workbench.levers import MOST, levers_of


def margin(text: str, path: Path, study: str, id: str) -> float:
    answer = Plan().run(read_text(text, path), only=[study])[study]
    finding = next(finding for finding in answer.findings if finding.id == id)
    assert finding.value is not None
    assert finding.limit is not None
    return float(margin_of(finding.value[0], finding.limit[0], finding.sense))


@pytest.mark.parametrize(
    ("study", "id", "key", "less", "more"),
    [
        ("driveline", "driveline.load", "changes.pinion-teeth", "28", "30"),
        ("stance", "stance.front.tyre-sticks-out", "wheels.front.inset", "-5.0", "-3.0"),
        ("linkage", "linkage.front.bump-steer", "changes.front.hardpoints.tie-rod-inner.z", "22.0", "24.0"),
    ],
)
def test_a_levers_gain_is_half_of_the_way_from_a_step_less_to_a_step_more(examples, study, id, key, less, more):
    """The independent route: the build file itself with the number changed, read and answered anew."""
    build, plan = read(examples / "as-found"), Plan()
    answer = plan.run(build, only=[study])[study]

    lever = next(lever for lever in levers_of(plan, build, answer)[id] if lever.key == key)

    assert lever.step == 1.0
    ends = [margin(with_entry(build.text, key, value), build.path, study, id) for value in (less, more)]
    # Many samples look at a coarser grid of poses than one does; the slope of an extreme is off by some per cent.
    assert lever.gain == pytest.approx((ends[1] - ends[0]) / 2, rel=0.05)


def test_the_strongest_comes_first_and_few_are_told(examples):
    build, plan = read(examples / "as-found"), Plan()
    found = levers_of(plan, build, plan.run(build, only=["stance"])["stance"])
    assert found
    for levers in found.values():
        assert len(levers) <= MOST
        assert [abs(one.gain) for one in levers] == sorted((abs(one.gain) for one in levers), reverse=True)


def test_what_is_measured_is_no_lever(examples):
    build, plan = read(examples / "as-found"), Plan()
    found = levers_of(plan, build, plan.run(build, only=["likeness"])["likeness"])
    assert not any(lever.key.startswith(("shell.", "prototype.")) for levers in found.values() for lever in levers)


def test_only_what_is_chosen_can_be_turned(tiny):
    build, plan = tiny.build(), tiny.plan()
    found = levers_of(plan, build, plan.run(build, only=["sized"])["sized"])
    assert {lever.key for levers in found.values() for lever in levers} == {"build.scale"}
