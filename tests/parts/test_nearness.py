"""Made parts near each other, the boxes and the shell: on blocks whose distances can be written down."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from coachwork.parts import nearness
from coachwork.parts.nearness import near_of, shell_body
from coachwork.studies.makeability.meets import meets_boxes, meets_parts
from coachwork.studies.makeability.verdicts.near import nearest
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import IN_PLACE, PartSolid

CUBE = trimesh.creation.box((10.0, 10.0, 10.0))


def part(folder: Path, name: str, at=(0.0, 0.0, 0.0), mesh: trimesh.Trimesh = CUBE) -> PartSolid:
    file = folder / f"{name}.stl"
    mesh.export(file)
    pose = tuple((*row[:3], shift) for row, shift in zip(IN_PLACE, (*at, 1.0), strict=True))
    return PartSolid(name=name, number="1", step="", mesh=str(file), content=name, spec="", process="resin",
                     material="", chassis_from_part=(pose,))  # fmt: skip


def pair(folder: Path, at, mesh: trimesh.Trimesh = CUBE):
    (found,) = near_of([part(folder, "chassis"), part(folder, "post-a", at, mesh)], {}, None, folder)
    return found


@pytest.mark.parametrize(
    ("at", "apart", "where"),
    [
        ((12.5, 0, 0), 2.5, 6.25),
        ((10, 0, 0), 0.0, 5.0),  # as a post stands on the floor
        ((9.97, 0, 0), 0.0, 5.0),  # less than triangles of two round surfaces overlap by
        ((9.0, 0, 0), -1.0, 4.5),
        ((0, 0, 0), 0.0, None),  # one and the same: no point of the one lies deeper in the other than its surface
    ],
)
def test_two_parts(tmp_path, at, apart, where):
    found = pair(tmp_path, at)

    assert found.apart_mm == pytest.approx(apart, abs=0.02)
    if where is not None:
        assert found.at_mm[0] == pytest.approx(where, abs=0.6)


def test_a_corner_in_a_face_is_as_deep_as_it_reaches(tmp_path):
    """A cube on its corner, 1.5 mm into the face above it."""
    axis = np.array([1.0, 1, 1]) / np.sqrt(3)
    turned = CUBE.copy().apply_transform(trimesh.geometry.align_vectors(axis, [0, 0, 1]))
    found = pair(tmp_path, (1.0, 2.0, 5.0 + 5 * np.sqrt(3) - 1.5), turned)

    assert found.apart_mm == pytest.approx(-1.5, abs=0.01)
    assert found.at_mm == pytest.approx((1.0, 2.0, 3.5), abs=0.05)


def test_one_altogether_in_the_other_is_found_though_no_surfaces_meet(tmp_path):
    found = pair(tmp_path, (0.5, 0, 0), trimesh.creation.box((2.0, 2.0, 2.0)))

    assert found.apart_mm == pytest.approx(-5.0, abs=0.5)  # the face on the far side of the middle of 10 mm


def test_what_is_far_away_is_told_to_be_at_least_so_far(tmp_path):
    assert (pair(tmp_path, (30.0, 0, 0)).apart_mm, pair(tmp_path, (30.0, 0, 0)).at_mm) == (3.0, None)


def test_a_box_in_a_wall_is_found_and_its_neighbour_is_not(tmp_path):
    boxes = {"pack": ((np.array([4.6, -2, -2]), np.array([8.0, 2, 2])),),
             "sound": ((np.array([-8.0, -2, -2]), np.array([-5.4, 2, 2])),)}  # fmt: skip
    found = {each.other: each for each in near_of([part(tmp_path, "chassis")], boxes, None, tmp_path)}

    assert found["box pack"].apart_mm == pytest.approx(-0.4, abs=1e-3)
    assert found["box pack"].at_mm[0] == pytest.approx(4.6, abs=0.01)
    assert found["box sound"].apart_mm == pytest.approx(0.4)


@pytest.mark.parametrize(("x", "apart"), [(5.8, 0.8), (4.2, -0.8)])
def test_a_shell_is_a_surface_that_may_cut_into_a_part(tmp_path, x, apart):
    sheet = np.array([[x, -40.0, -40], [x, 40, -40], [x, 0, 60]])
    (found,) = near_of([part(tmp_path, "chassis")], {}, shell_body(sheet, np.array([[0, 1, 2]]), "s"), tmp_path)

    assert found.apart_mm == pytest.approx(apart, abs=1e-3)
    assert found.at_mm[0] == pytest.approx((x + min(x, 5.0)) / 2 if apart > 0 else x, abs=0.41)


def test_nothing_is_looked_at_twice_and_what_moved_is(tmp_path, monkeypatch):
    parts = [part(tmp_path, "chassis"), part(tmp_path, "post-a", (12, 0, 0)), part(tmp_path, "post-b", (0, 12, 0))]
    first = near_of(parts, {}, None, tmp_path)
    looked = []
    monkeypatch.setattr(nearness, "_between", lambda one, other: looked.append((one.name, other.name)) or (1.0, None))

    assert near_of(parts, {}, None, tmp_path) == first
    assert looked == []
    near_of([*parts[:2], part(tmp_path, "post-b", (0, 13, 0))], {}, None, tmp_path)
    assert looked == [("chassis", "post-b"), ("post-a", "post-b")]


def test_the_verdict_names_both_and_where_and_all_others_that_overlap(tmp_path):
    parts = [part(tmp_path, "chassis"), part(tmp_path, "post-a", (9, 0, 0)), part(tmp_path, "post-b", (0, 9.5, 0))]
    told = nearest(meets_parts(near_of(parts, {}, None, tmp_path), parts))

    assert told["value"] == pytest.approx(-1.0, abs=1e-3)
    assert "chassis and the post a overlap" in told["why"]
    assert "Overlapping too: " in told["why"]
    assert "1.0 mm" in told["do"]
    assert told["where"].part == "chassis"


def test_what_was_seen_of_another_part_or_place_does_not_count(tmp_path):
    parts = [part(tmp_path, "chassis"), part(tmp_path, "post-a", (12, 0, 0))]
    near = near_of(parts, {"pack": ((np.zeros(3), np.ones(3)),)}, None, tmp_path)
    moved = [parts[0], part(tmp_path, "post-a", (13, 0, 0))]

    with pytest.raises(CannotBe, match="run coachwork make again"):
        meets_parts(near, moved)
    with pytest.raises(CannotBe, match="moved since the parts were made: pack"):
        meets_boxes(near, parts, {"pack": "another place"})
