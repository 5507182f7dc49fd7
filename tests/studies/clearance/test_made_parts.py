"""A made part in the way of what moves: the same distances as the same body measured as an envelope."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
import trimesh

from coachwork.build import Build, read, read_text, with_entry
from coachwork.plan import Plan
from coachwork.plan.asked import wanted_parts
from coachwork.plan.standing import standing_parts
from coachwork.studies.clearance.result import ClearanceResult, Closest
from coachwork.studies.solids import IN_PLACE, MADE_FILE, MADE_FOLDER, PartSolid

VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished"
LOW, HIGH = (-262.0, -55.0, 8.0), (-232.0, 58.0, 30.0)  # in the way of the rear tyres' insides, shafts, dampers, links
Van = Callable[[tuple[float, ...], tuple[float, ...]], Build]


@pytest.fixture
def van(tmp_path: Path) -> Van:
    """The finished van, whose made chassis is one block."""

    def of(low: tuple[float, ...], high: tuple[float, ...]) -> Build:
        shutil.copytree(VAN, tmp_path / "van")
        build = read(tmp_path / "van")
        folder = build.path.parent / MADE_FOLDER
        (folder / "one").mkdir(parents=True)
        trimesh.creation.box(bounds=[low, high]).export(folder / "one" / "chassis.stl")
        asked = next(each for each in wanted_parts(build) if each.name == "chassis")
        assert asked.fingerprint is not None
        part = PartSolid(
            name="chassis", number="P-1", step="one/chassis.step", mesh="one/chassis.stl", content=f"{low}{high}",
            spec=asked.fingerprint, process="resin", material="", chassis_from_part=(IN_PLACE,),
        )  # fmt: skip
        form = {"format": 1, "parts": [part.to_json()]}
        (folder / MADE_FILE).write_text(json.dumps(form), encoding="utf-8")
        return build

    return of


def clear_of(build: Build) -> ClearanceResult:
    return Plan().run(build, only=["clearance"])["clearance"].result


def least(result: ClearanceResult, end: str, question: str, other: str) -> float:
    part = getattr(result, end).closest[question]
    assert isinstance(part, Closest)
    return min(float(one.distance_mm[0]) for one in part.contacts if one.other == other)


def test_a_block_that_was_made_is_met_where_the_same_block_measured_is(van: Van):
    """The one is triangles searched over a tree, the other a convex solid: two routes to the same distance.

    Where a thing enters the block, a solid's depth and a surface's differ; so this one stays clear.
    """
    build = van(LOW, HIGH)
    box = {"kind": '"box"', "corner": list(LOW), "opposite": list(HIGH)}
    text = build.text + "\n[envelopes.block]\n" + "".join(f"{key} = {value}\n" for key, value in box.items())
    shutil.rmtree(build.path.parent / MADE_FOLDER / "one")
    measured = clear_of(read_text(text, build.path))
    shutil.rmtree(build.path.parent)
    made = clear_of(van(LOW, HIGH))

    for question in ("tyre-parts", "shaft"):
        distance = least(made, "rear", question, "chassis")
        assert 0 < distance < 12
        assert distance == pytest.approx(least(measured, "rear", question, "block"), abs=1e-3)


def test_a_part_that_is_not_made_as_the_build_asks_now_is_not_looked_at(van: Van):
    build = van(LOW, HIGH)
    other = read_text(with_entry(build.text, "parts.chassis.wall", "3.0"), build.path)

    assert set(standing_parts(build).triangles) == {"chassis"}
    assert standing_parts(build).triangles["chassis"].shape == (12, 3, 3)
    assert standing_parts(other).triangles == {}


@pytest.mark.parametrize(
    ("boss", "meets"), [(((-33, 19, 4), (-27, 25, 15.5)), False), (((-33, 9, 4), (-27, 25, 15.5)), True)]
)
def test_a_bell_crank_may_bear_on_its_boss_and_on_nothing_beside_it(van: Van, boss, meets: bool):
    """The left one's pivot is at (-30, 22), it is 6 mm thick, and so is its underside at z = 15, half a mm too low."""
    part = clear_of(van(*boss)).front.closest["steering"]

    assert isinstance(part, Closest)
    assert any(one.other == "chassis" and float(one.distance_mm[0]) < 0 for one in part.contacts) is meets
