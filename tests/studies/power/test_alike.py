"""Samples alike in all that a drive hangs on are driven once, and each is told as if it had been driven itself."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import numpy as np

from coachwork.build import read_text
from coachwork.plan import Plan, Sampled
from coachwork.studies.power import compute
from coachwork.studies.power.alike import once_each
from coachwork.studies.power.driven import Drive
from coachwork.studies.power.setup import Setup

BUILD = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-found" / "build.toml"


def test_each_sample_has_the_drive_of_its_own_numbers():
    path, driven = BUILD, list[Setup]()
    text = path.read_text(encoding="utf-8").replace('mesh = "shell.stl"', "")
    build = read_text(text, path)
    teeth = np.array([18.0, 22.0, 18.0, 22.0, 18.0])
    view = Sampled(samples=5, columns={"changes.pinion-teeth": teeth, "shell.windscreen-height": np.arange(5) + 56.0})
    setup = Plan().run_sampled(build, "power", view).result.answer.setup

    def short(some: Setup) -> Drive:
        driven.append(some)
        return compute.driven([some], acting=[True], seconds=900.0)

    told, whole = once_each(setup, short), short(setup)

    assert [some.samples for some in driven] == [2, 5]
    assert told.trace is None
    assert not np.array_equal(told.degc[0], told.degc[1])
    for field in fields(Drive):
        one, other = getattr(told, field.name), getattr(whole, field.name)
        if isinstance(one, np.ndarray):
            np.testing.assert_allclose(one, other, rtol=1e-9, err_msg=field.name)  # sums in another order at most
    for trip, first in told.first_s.items():
        np.testing.assert_allclose(first, whole.first_s[trip], rtol=1e-9)
    assert sorted((h.sample, h.trip, h.resets) for h in told.happenings) == sorted(
        (h.sample, h.trip, h.resets) for h in whole.happenings
    )
