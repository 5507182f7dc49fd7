"""The demonstration vans with their parts made: planted faults are found and placed, innocent neighbours are not."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
import trimesh
from tests.made_vans import made

from coachwork.build import read, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan, discover
from coachwork.plan.made import made_parts
from coachwork.studies.clearance.result import Closest

VANS = Path(__file__).parents[2] / "examples" / "harbour-mail-van"
ROW = re.compile(
    r"^\| [^|]+ \| (?P<id>makeability[a-z.-]+) \| (?P<value>-?[\d.]+) \| (?P<unit>[^|]+) \|$", re.MULTILINE
)
PLANTED = [match.groupdict() for match in ROW.finditer((VANS / "README.md").read_text(encoding="utf-8"))]
STUDIES = tuple(study for study in discover() if study.name == "makeability")


@pytest.fixture
def verdicts(van):
    def of(state: str):
        report = examine(read(van(state)), plan=Plan(studies=STUDIES))
        return {verdict.id: verdict for verdict in report.verdicts}

    return of


def test_five_faults_are_planted():
    assert len(PLANTED) == 5


@pytest.mark.parametrize("row", PLANTED, ids=lambda row: row["id"])
def test_planted_fault_is_found_with_its_number_cure_and_place(verdicts, row):
    verdict = verdicts("as-found")[row["id"]]

    assert verdict.state == "fails"
    assert verdict.unit == row["unit"].strip()
    assert verdict.value == pytest.approx(float(row["value"]), abs=0.06)
    assert verdict.do
    assert verdict.source
    assert verdict.where is not None


def test_faults_are_placed_on_the_solid(verdicts):
    """In the chassis frame: the boss stands at the bell-crank's pivot, the bolt where it was typed, the tip in the
    pack, which [masses] has at (-160, 40, 14).
    """
    found = verdicts("as-found")

    x, y, z = found["makeability.chassis.wall"].where.point_mm  # in the boss: 5 mm across, from the floor up
    assert math.hypot(x + 30.0, y - 22.0) < 2.5
    assert 4.0 < z <= 14.5
    assert found["makeability.chassis.screw-wall"].where.point_mm == pytest.approx((-30.0, 22.0, 14.5), abs=0.1)
    assert found["makeability.chassis.edge"].where.point_mm == pytest.approx((9.0, 15.5, 0.0), abs=0.1)
    assert found["makeability.chassis.screw.holes.step-screw"].where.point_mm == pytest.approx((-150.0, 56.4, 12.0))
    x = found["makeability.chassis.room"].where.point_mm[0]  # one of its ends: 28 mm beyond an axle line
    assert min(abs(x - 28.0), abs(x + 257.0 + 12.0 + 28.0)) < 15.0, "the tower's top lies 13 mm before the floor's end"


def test_faults_lie_on_the_solid(verdicts, van):
    """Not where the spec would have it, but on the surface that was made: an engraving's depth of it at most.

    The verdict on the edge is placed on its hole's axis, in the mouth of a countersink 7.1 mm across: 7.1 / 2 / sqrt 2
    from its wall.
    """
    found, solids = verdicts("as-found"), made_parts(read(van("as-found"))).parts
    for part, id, within in (
        ("chassis", "makeability.chassis.screw-wall", 1.4), ("chassis", "makeability.chassis.edge", 2.6),
        ("chassis", "makeability.chassis.room", 0.02),
    ):  # fmt: skip
        mesh = trimesh.load_mesh(solids[part].mesh)
        _, (off,), _ = trimesh.proximity.closest_point(mesh, [found[id].where.point_mm])
        assert off < within
    door = trimesh.load_mesh(solids["battery-door"].mesh)
    roots = [latch.root_mm for latch in solids["battery-door"].latches]
    assert len(roots) == 2
    assert door.contains(roots).all(), "a latch's root is material"


@pytest.mark.usefixtures("cad_at_hand")
@pytest.mark.parametrize(
    ("key", "cured", "cure", "left"),
    [
        ("parts.chassis.boss", 8.0, "screw-wall", "edge"),
        ("parts.chassis.front-bolts.front-left.y", 12.0, "edge", "screw-wall"),
    ],
)
def test_one_fault_cured_leaves_the_other(tmp_path, key, cured, cure, left):
    """The twin of each: the same chassis but for this one number."""
    text = with_entry((VANS / "as-found" / "build.toml").read_text("utf-8"), key, f"{cured}")
    (tmp_path / "build.toml").write_text(text, encoding="utf-8")
    assert made(tmp_path, ("chassis",)).refused == {}

    found = {v.id: v for v in examine(read(tmp_path), plan=Plan(studies=STUDIES)).verdicts}

    assert found[f"makeability.chassis.{cure}"].state == "holds"
    assert found[f"makeability.chassis.{left}"].state == "fails"


@pytest.mark.parametrize(
    "id",
    [
        "makeability.chassis.screw.holes.sign-screw",
        "makeability.chassis.screw.posts.rear-right",
        "makeability.chassis.screw.posts.front-left",
        "makeability.chassis.gap",
        "makeability.chassis.holes",
        "makeability.battery-door.wall",
        "makeability.battery-door.room",
    ],
)
def test_innocent_neighbours_are_left_alone(verdicts, id):
    assert verdicts("as-found")[id].state in ("holds", "tight")


def test_every_part_of_the_finished_van_is_made_and_nothing_fails(verdicts, van):
    finished = verdicts("as-finished")

    assert [v.id for v in finished.values() if v.state not in ("holds", "tight")] == []
    assert finished["makeability.made"].value == 0
    names = {path.stem for path in (van("as-finished") / ".coachwork" / "parts").glob("*/*.step")}
    assert len(names) == 18


def test_the_finished_van_goes_together_with_brackets_on_the_shell_first(van):
    """Their screws go up into the shell; once they stand on their posts, the floor is in the driver's way."""
    order = Plan(studies=STUDIES).run(read(van("as-finished")))["makeability"].result.order
    steps = {step: i for i, step in enumerate(order.steps)}

    assert order.steps[0] == "chassis"
    assert steps["pack"] < steps["battery-door"]
    for post in ("front-left", "front-right", "rear-left", "rear-right"):
        for side in ("left", "right"):
            assert steps[f"bracket-{post}/shell.{side}"] < steps[f"bracket-{post}"]
        assert steps[f"post-{post}"] < steps[f"chassis/posts.{post}"]
        assert steps[f"post-{post}"] < steps[f"bracket-{post}"]


def clearances(folder: Path) -> dict[tuple[str, str], Closest]:
    result = Plan().run(read(folder), only=["clearance"])["clearance"].result
    return {(end.name, question): closest for end in (result.front, result.rear)
            for question, closest in end.closest.items() if isinstance(closest, Closest)}  # fmt: skip


def test_nothing_that_moves_meets_the_finished_van_s_made_parts(van):
    """And they were looked at: the rear tyres come nearest to the chassis's rear corners."""
    found = clearances(van("as-finished"))

    assert {key: c.worst for key, c in found.items() if float(c.distance_mm[0]) < 0.5} == {}
    assert "chassis" in {one.other for one in found["rear", "tyre-parts"].contacts}


def test_the_rear_tyres_meet_the_made_chassis_of_the_van_as_found(van):
    """As its README says: 3 mm less stretch, 4 mm more droop."""
    worst = clearances(van("as-found"))["rear", "tyre-parts"].worst

    assert worst.other == "chassis"
    assert float(worst.distance_mm[0]) == pytest.approx(-1.79, abs=0.02)


def test_parts_not_made_are_one_unmeasured_verdict_that_says_what_to_do():
    report = examine(read(VANS / "as-finished"), plan=Plan(studies=STUDIES))
    verdict = next(verdict for verdict in report.verdicts if verdict.id == "makeability.made")

    assert verdict.state == "unmeasured"
    assert "run coachwork make" in verdict.why
