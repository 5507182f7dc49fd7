"""Parts of builds at random: a sound solid or a refusal in words, never a broken solid.

A few of each in the usual run. Two hundred of each, by the hour:

    COACHWORK_SPECS=200 scripts/test tests/parts/test_random_specs.py

A failure's number is in the test's name and gives the same build again; `python -m tests.parts.random_builds` counts.
"""

from __future__ import annotations

import os

import numpy as np
import pytest
from tests.parts.random_builds import KINDS, build_of, drawn, entries, refusal

from coachwork.build.entries import Count, Length
from coachwork.build.sections.parts.chassis import Chassis
from coachwork.build.sections.parts.small import Arms, BatteryDoor, Carriers, HubSpacer, Jigs, LightHousing, Post
from coachwork.studies.makeability.specs.post import BELOW_SHELL_MM

FEW = {"chassis": 3, "door": 3, "posts": 6, "arms": 3, "carriers": 4, "small": 6}
SPECS = int(os.environ.get("COACHWORK_SPECS", "0"))
TABLES = {
    "parts.chassis": Chassis, "parts.battery-door": BatteryDoor, "parts.posts.front-left": Post,
    "parts.front-arms": Arms, "parts.rear-arms": Arms, "parts.rear-carriers": Carriers,
    "parts.front-hub-spacer": HubSpacer, "parts.rear-hub-spacer": HubSpacer,
    "parts.light-housings.head-lamp": LightHousing, "parts.jigs": Jigs,
}  # fmt: skip


EAR_BY_BARREL = [("arms", 53), ("arms", 120)]  # the damper's ear reaches into the outer barrel


@pytest.mark.parametrize(
    ("kind", "number"),
    [(kind, n) for kind, few in FEW.items() for n in range(SPECS or few)] + ([] if SPECS else EAR_BY_BARREL),
)
def test_a_part_at_random_is_sound_or_refused_in_words(kind, number):
    for wanted in build_of(number):
        if wanted.name in KINDS[kind]:
            part = drawn(wanted)
            if not isinstance(part, str) and kind in AS_ASKED:
                AS_ASKED[kind](part, wanted, entries(number))


def _chassis(part, wanted, asked):
    ahead, behind = (asked[f"parts.chassis.{end}"] or 28.0 for end in ("ahead", "behind"))
    size = part.shape.bounding_box().size.X
    assert size == pytest.approx(257.0 + asked["changes.stretch"] + ahead + behind, abs=0.01)
    key = "parts.chassis.front-bolts.front-left"
    bolt = next(hole for hole in part.holes if hole.name == "front-bolts.front-left")
    assert bolt.centre_mm[:2] == pytest.approx((asked[f"{key}.x"], asked[f"{key}.y"]), abs=1e-3)


def _door(part, wanted, asked):
    x0, x1, y0, y1 = wanted.spec.bay.opening
    size = part.shape.bounding_box().size
    assert y1 - y0 + 2 * wanted.spec.bay.lip_mm > size.Y, "it goes in"
    assert x1 - x0 < size.X, "and does not fall through"


def _post(part, wanted, asked):
    if wanted.name.startswith("post"):
        high = asked["parts.posts.front-left.height"] - asked["parts.posts.front-left.adjusts"] - BELOW_SHELL_MM
        assert pytest.approx(high, abs=1e-3) == part.shape.bounding_box().size.Z


def _arm(part, wanted, asked):
    end = wanted.name.partition("-")[0]
    inner, outer = {"front": ((24.0, 6.0), (71.0, 5.6)), "rear": ((25.0, 6.2), (70.5, 5.6))}[end]  # y, z; hardpoints
    pin = next(hole for hole in part.holes if hole.pattern == "outer-pin")
    long = np.hypot(*np.subtract(outer, inner)) + (asked[f"changes.{end}.arm-longer"] or 0.0)
    assert pin.centre_mm[1] == pytest.approx(long, abs=0.03)


AS_ASKED = {"chassis": _chassis, "door": _door, "posts": _post, "arms": _arm}


def test_half_of_each_kind_at_least_can_be_drawn():
    """Else the test above would try little. Refusals by the CAD kernel come on top; `random_builds` counts them."""
    builds = [build_of(number) for number in range(SPECS or 24)]
    for kind, names in KINDS.items():
        refused = [refusal(wanted) is not None for build in builds for wanted in build if wanted.name in names]
        assert len(refused) == len(names) * len(builds)
        assert np.mean(refused) < 0.5, kind


@pytest.mark.parametrize("table", TABLES)
def test_every_measure_that_a_part_has_is_drawn_at_random(table):
    """A new key that nobody adds to the draws turns this red."""
    keys = {name.replace("_", "-") for name, field in TABLES[table].model_fields.items()
            if field.annotation in (Length, Count)}  # fmt: skip
    asked = {key.removeprefix(f"{table}.") for key in entries(0) if key.startswith(f"{table}.")}

    assert keys
    assert keys <= asked
