"""How far drivers reach past other parts: two blocks worked by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import trimesh

from coachwork.parts.reach import reach_of
from coachwork.studies.makeability.joints import mates, screws
from coachwork.studies.solids import Hole, PartSolid


def part(folder: Path, name: str, low, high, *holes: Hole) -> PartSolid:
    file = folder / f"{name}.stl"
    trimesh.creation.box(bounds=[low, high]).export(file)
    return PartSolid(name=name, number="", step="", mesh=str(file), content=f"{low}{high}", spec="", process="resin",
                     material="", holes=holes)  # fmt: skip


def hole(name: str, at, axis, purpose="clearance") -> Hole:
    return Hole(
        name=name, centre_mm=at, axis=axis, diameter_mm=3.4, drawn_mm=3.4, depth_mm=4, purpose=purpose, screw="M3"
    )


@pytest.fixture
def floor(tmp_path: Path) -> PartSolid:
    """Two screws from above through a floor: one open, one under the post's overhang."""
    return part(tmp_path, "chassis", (-50, -20, 0), (50, 20, 4), hole("holes.open", (-30, 0, 4), (0, 0, -1)),
                hole("holes.under", (20, 0, 4), (0, 0, -1)))  # fmt: skip


def test_the_way_ends_at_the_first_part_that_the_driver_meets(tmp_path: Path, floor: PartSolid):
    """The overhang's underside lies 30 mm over the floor; from 0.3 mm over the entry it is so much less."""
    roof = part(tmp_path, "post-a", (15, -20, 34), (40, 20, 40))

    reach = reach_of([floor, roof], tmp_path, driver_mm=5.0)

    assert reach["chassis/holes.open"] == {}
    assert reach["chassis/holes.under"] == {"post-a": pytest.approx(29.7, abs=0.01)}
    assert reach_of([floor, roof], tmp_path, driver_mm=5.0) == reach
    assert len(list(tmp_path.glob("reach-*.json"))) == 1


@pytest.mark.parametrize(("beside", "met"), [(2.4, True), (2.6, False)])
def test_the_driver_is_as_thick_as_it_is(tmp_path: Path, floor: PartSolid, beside: float, met: bool):
    wall = part(tmp_path, "post-a", (20 + beside, -20, 10), (40, 20, 60))

    assert bool(reach_of([floor, wall], tmp_path, driver_mm=5.0)["chassis/holes.under"]) is met


def test_a_hole_named_otherwise_on_the_same_solid_is_looked_at_anew(tmp_path: Path, floor: PartSolid):
    """Of a part that the builder drew, the build file names the holes, and the solid stays as it is."""
    roof = part(tmp_path, "post-a", (15, -20, 34), (40, 20, 40))
    reach_of([floor, roof], tmp_path, driver_mm=5.0)

    moved = replace(floor, holes=(hole("holes.open", (30, 0, 4), (0, 0, -1)),))

    assert reach_of([moved, roof], tmp_path, driver_mm=5.0) == {"chassis/holes.open": {"post-a": 29.7}}


def test_a_thread_behind_a_clearance_hole_is_no_screw_of_its_own(tmp_path: Path, floor: PartSolid):
    post = part(
        tmp_path, "post-a", (15, -5, -40), (25, 5, 0), hole("posts.pilot", (20, 0, 0), (0, 0, -1), "thread-forming")
    )

    assert [(p.name, h.name) for p, h in screws([floor, post])] == [
        ("chassis", "holes.open"), ("chassis", "holes.under"),
    ]  # fmt: skip
    assert mates(floor, floor.holes[1], [floor, post]) == {"post-a"}
    assert mates(floor, floor.holes[0], [floor, post]) == frozenset()
    apart = replace(post, chassis_from_part=(((1, 0, 0, 0.5), (0, 1, 0, 0), (0, 0, 1, 0), (0, 0, 0, 1)),))
    assert mates(floor, floor.holes[1], [floor, apart]) == frozenset()
