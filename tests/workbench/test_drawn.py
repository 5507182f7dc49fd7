"""The drawing as data: shapes lie on the surfaces that are searched, words find parts, dimensions their places."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from coachwork.build import read, read_text
from coachwork.confidence import examine
from coachwork.geometry.outlines import outline_of
from coachwork.geometry.sections import Barrel
from coachwork.plan import Plan
from coachwork.studies.finding import Place, Verdict
from coachwork.workbench.dimensions import dimensions, outline
from coachwork.workbench.meshes import sweep_of
from coachwork.workbench.pointing import pointed_at
from coachwork.workbench.poses import corner_form
from coachwork.workbench.scene import scene_of

THINGS = (
    ("front left tyre ring", "front left tyre"), ("front right tyre ring", "front right tyre"),
    ("rear left tyre ring", "rear left tyre"), ("rear right tyre ring", "rear right tyre"),
    ("front left camber link", "front left camber link"), ("rear left camber link", "rear left camber link"),
    ("rear-carrier rear left", "left rear carrier"), ("rear-carrier rear right", "right rear carrier"),
    ("front left damper", "front left damper"), ("rear left damper", "rear left damper"),
    ("box motor", "motor"), ("shell", "shell"), ("gravity", "centre of gravity"),
)  # fmt: skip


def verdict(id: str, part: str) -> Verdict:
    return Verdict(
        id=id, study=id.partition(".")[0], question="?", value=1.0, limit=2.0, sense="at most", tight_within=0.0,
        unit="mm", chance=1.0, why="", do=None, where=Place(part=part), source=None,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("id", "part", "things"),
    [
        ("stance.front.track", "front wheels", ["front left tyre ring", "front right tyre ring"]),
        ("linkage.rear.camber-link-inner-angle", "camber link's inner", ["rear left camber link"]),
        ("clearance.rear.rim-inside", "left rear carrier", ["rear-carrier rear left"]),
        ("balance.lean", "springs", ["front left damper", "rear left damper"]),
        ("balance.front-share", "front axle", ["front left tyre ring", "front right tyre ring"]),
        ("driveline.pinions", "pinion and spur", ["box motor"]),
        ("likeness.windscreen-height", "shell: windscreen height", ["shell"]),
        ("stance.front.arch-fore-aft", "front wheel arches", ["shell"]),
        ("balance.fore-aft", "centre of gravity", ["gravity"]),
        ("radio.wish", "receiver", []),
    ],
)
def test_a_place_in_words_finds_what_is_drawn(id, part, things):
    assert pointed_at(verdict(id, part), THINGS) == things


def test_a_verdict_without_a_place_points_at_nothing():
    from dataclasses import replace

    assert pointed_at(replace(verdict("a.b", "x"), where=None), THINGS) == []


@pytest.mark.parametrize(("crown", "inner"), [(70.0, None), (np.inf, None), (70.0, 22.5)])
def test_a_tyre_is_drawn_on_its_own_surface(crown, inner):
    """The section's signed distance is what clearance searches with; the outline drawn must lie where it is nought."""
    section = Barrel(
        outer=np.array([37.3]), half_width=np.array([11.9]), shoulder=np.array([3.5]), crown=np.array([crown]),
        inner=None if inner is None else np.array([inner]),
    )  # fmt: skip
    points = outline_of(section)
    outside = points[points[:, 0] > (0.0 if inner is None else inner) + 1e-9]
    far = section.take(np.zeros(len(outside), dtype=int)).signed(outside[:, 0], outside[:, 1])[0]
    assert np.abs(far).max() < 0.02
    assert points[:, 0].max() == pytest.approx(37.3)
    assert np.ptp(points[:, 1]) == pytest.approx(23.8)
    assert (points[0] == points[-1]).all()


@pytest.fixture(scope="module")
def found():
    """The van as found, without its scan."""
    folder = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-found"
    plan = Plan()
    return plan.run(read(folder), only=["clearance"])["clearance"].result


@pytest.mark.parametrize(("end", "side"), [("front", "left"), ("front", "right"), ("rear", "right")])
def test_the_poses_sent_put_bodies_where_the_linkage_has_them(found, end, side):
    corner = found.scene.ends[end].sides[side].tyre.corner
    form = corner_form(corner)
    travel, lock, _ = form["axes"]
    hub = corner.hub[0][0]
    for index in (0, len(lock) + 1 if len(lock) > 1 else 1, len(travel) * len(lock) - 1):
        share = np.array([[travel[index // len(lock)], lock[index % len(lock)], 0.0]])
        pose = form["poses"]["knuckle"][index]
        point = Rotation.from_quat(pose[:4]).apply(hub) + pose[4:]
        point = point * (1, -1 if form["mirror"] else 1, 1) + form["shift"]
        assert point == pytest.approx(corner.bodies(share).at("knuckle", hub[None])[0], abs=0.002)


def test_a_sweep_holds_its_tyre_in_every_pose(found):
    """Corners of the tyre's own outline, at poses between those that the sweep is made of."""
    import trimesh

    raw = sweep_of(found, "front left tyre")
    assert raw is not None
    corners, triangles, values = np.frombuffer(raw, "<u4", 3)
    vertices = np.frombuffer(raw, "<f4", 3 * corners, 12).reshape(-1, 3)
    faces = np.frombuffer(raw, "<u4", 3 * triangles, 12 + 12 * corners).reshape(-1, 3)
    assert values == 0
    mesh = trimesh.Trimesh(vertices, faces)
    assert mesh.is_watertight
    corner = found.scene.ends["front"].sides["left"].tyre.corner
    low, high = mesh.bounds
    for share in ((0.0, 0.0), (0.7, 0.45), (-0.6, -0.8)):
        hub = corner.bodies(np.array([[*share, 0.0]])).at("knuckle", corner.hub[0])[0]
        assert (low < hub).all()
        assert (hub < high).all()
    assert sweep_of(found, "front left rim") is None
    assert sweep_of(found, "nothing") is None


def test_five_numbers_are_enough_to_draw_something(tmp_path: Path):
    text = "[shell]\nlength = 448\nwidth = 183\nwheelbase = 272\n[wheels.front]\ntyre-diameter = 70\n"
    build = read_text(text, tmp_path / "build.toml")
    drawn = outline(build)
    assert drawn["shell"]["nose"] - drawn["shell"]["tail"] == pytest.approx(448)
    assert [wheel["radius"] for wheel in drawn["wheels"]] == [35.0]
    lines = {line.key: line for line in dimensions(build)}
    assert abs(lines["shell.length"].start[0] - lines["shell.length"].end[0]) == pytest.approx(448)
    assert abs(lines["shell.wheelbase"].start[0] - lines["shell.wheelbase"].end[0]) == pytest.approx(272)


def test_an_empty_build_draws_nothing_and_stumbles_over_nothing(tmp_path: Path):
    build = read_text("", tmp_path / "build.toml")
    assert list(dimensions(build)) == []
    scene = scene_of(examine(build))
    assert scene["parts"] == []
    assert scene["shell"] is False


def test_a_broken_wish_shows_the_way_to_it(examples):
    """The last moment of the way is where the wish is broken, as the verdict itself tells it."""
    from coachwork.workbench.shown import ways_of

    report = examine(read(examples / "as-found"), only=["radio"])
    ways = dict(ways_of(report))
    broken = {one.id for one in report.verdicts if one.id.startswith("radio.wish.") and one.state == "fails"}
    assert broken
    assert broken <= ways.keys()
    way = ways["radio.wish.buzzer-warns"]
    assert way[0]["action"] == "switch on"
    assert way[-1]["modes"]["speed-controller"] == "reverse"
    assert way[-1]["modes"]["reversing-buzzer"] == "off"
