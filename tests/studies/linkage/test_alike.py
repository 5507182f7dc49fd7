"""Samples worked out once for all that are alike must answer as if each had been worked out."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import Entry, read_text
from coachwork.build.sections.loads import Loads
from coachwork.plan import Plan, Sampled
from coachwork.studies.linkage import alike
from coachwork.studies.linkage.alike import FEWEST, once_each
from coachwork.studies.linkage.sweep import COARSE, FINE
from coachwork.studies.sameness import same

# The van's own path, for what it drives stands in a file beside it.
VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"
MOVED = (
    "running-gear.front.camber-link-outer.z", "running-gear.front.tie-rod-inner.y", "changes.front.tie-rod-length",
    "running-gear.front.steering.servo-torque", "running-gear.rear.hub-face.x", "loads.mass",
    "wheels.front.tyre-diameter",
)  # fmt: skip


@pytest.fixture
def view(van_text):
    """Ninety samples; each number that is moved is so in two of them, alike."""
    build, columns = read_text(van_text, VAN), {}
    for place, key in enumerate(MOVED):
        columns[key] = np.full(90, build.entry(key).best.value)
        columns[key][[3 * place + 5, 3 * place + 50]] *= 1.003
    return Sampled(samples=90, columns=columns)


@pytest.fixture
def loads(van_text, view):
    return read_text(van_text, VAN)[Loads].seen_by(view)


def test_all_samples_answer_as_if_each_was_worked_out(van_text, view, monkeypatch):
    """To the last bit, in what stands on the linkage too, and by what view the entries in the result are read."""

    def answers():
        moved = Plan().run_moved(read_text(van_text, VAN), ["balance"], view, purpose="a test")
        return {name: (answer.result, answer.read) for name, answer in moved.items()}

    once = answers()
    assert {"linkage", "balance"} <= once.keys()
    monkeypatch.setattr(alike, "FEWEST", 10**6)
    assert same(once, answers())


def test_only_those_that_differ_are_worked_out(loads, view):
    """Two of ninety, and as many more as tell their axis from others."""
    worked = []

    def work(some: Loads) -> dict[str, object]:
        worked.append(some.mass.g)
        return {"mass": some.mass.g, "alone": some.grip, "three": np.arange(3.0)}

    made = once_each(work, loads)

    (masses,) = worked
    assert len(masses) == FEWEST
    assert set(masses) == set(view.columns["loads.mass"])
    np.testing.assert_array_equal(made["mass"], view.columns["loads.mass"])
    assert not made["mass"].flags.writeable
    np.testing.assert_array_equal(made["three"], [0.0, 1.0, 2.0])
    assert isinstance(made["alone"], Entry)
    assert made["alone"].samples().shape == (90,)


def test_what_is_read_goes_on_record_and_nothing_else(loads, view):
    once_each(lambda some: some.mass.g, loads)
    assert list(view.seen) == ["loads.mass"]


def test_samples_that_all_differ_are_worked_out_as_they_are(van_text):
    mass = np.linspace(2.0, 3.0, 90)
    loads = read_text(van_text, VAN)[Loads].seen_by(Sampled(samples=90, columns={"loads.mass": mass}))
    worked = []
    once_each(lambda some: worked.append(some.mass.g), loads)
    assert worked[0] is mass


def test_what_is_one_object_stays_one(loads):
    made = once_each(lambda some: dict.fromkeys(("left", "right"), some.mass.g), loads)
    assert made["left"] is made["right"]


def test_no_axis_of_poses_is_as_long_as_the_samples_that_are_worked_out():
    assert max(axis.size for axes in (FINE, COARSE) for axis in axes) < FEWEST
