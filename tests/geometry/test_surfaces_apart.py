"""Two surfaces of triangles, held to distances that can be written down, to another library, and to brute force."""

from __future__ import annotations

import fcl
import numpy as np
import pytest
import trimesh

from coachwork.geometry.box_tree import BoxTree
from coachwork.geometry.surfaces_apart import apart, triangles_apart


def tree(mesh: trimesh.Trimesh) -> BoxTree:
    return BoxTree.over([np.array(mesh.triangles)])


def box(*sides: float, at=(0.0, 0.0, 0.0)) -> trimesh.Trimesh:
    return trimesh.creation.box(sides, np.block([[np.eye(3), np.array(at)[:, None]], [0, 0, 0, 1]]))


@pytest.mark.parametrize(
    ("at", "distance"),
    [
        ((13.0, 0.0, 0.0), 3.0),  # face to face
        ((13.0, 14.0, 0.0), 5.0),  # edge to edge, parallel
        ((12.0, 13.0, 16.0), 7.0),  # corner to corner: 2, 3, 6
        ((10.0, 0.0, 0.0), 0.0),  # touching
        ((9.0, 1.0, 1.0), 0.0),  # crossing
        ((0.0, 0.0, 0.0), 0.0),  # the same
    ],
)
def test_two_boxes(at, distance):
    found = apart(tree(box(10, 10, 10)), tree(box(10, 10, 10, at=at)))

    assert found.distance == pytest.approx(distance, abs=1e-12)
    assert np.linalg.norm(found.on_one - found.on_other) == pytest.approx(distance, abs=1e-12)


def test_edges_that_cross_in_the_air_are_nearest_where_they_do():
    """A roof's ridge along x under another's along y: their ridges' height apart, over the middle."""
    ridge = np.array([[[-9.0, 0, 0], [9, 0, 0], [0, 9, -5]]])
    across = np.array([[[0.0, -9, 2], [0, 9, 2], [9, 0, 7]]])

    (distance,), (one,), (other,) = triangles_apart(ridge, across)

    assert distance == pytest.approx(2.0)
    assert one == pytest.approx([0, 0, 0])
    assert other == pytest.approx([0, 0, 2])


def test_one_inside_the_other_is_as_far_away_as_the_wall():
    assert apart(tree(box(10, 10, 10)), tree(box(2, 2, 2, at=(1.0, 0, 0)))).distance == pytest.approx(3.0)


def test_a_triangle_s_tip_through_the_middle_of_a_face_crosses_it():
    face = np.array([[[-50.0, -50, 0], [50, -50, 0], [0, 90, 0]]])
    needle = np.array([[[0.0, 0, -1], [0.1, 0, 9], [-0.1, 0, 9]]])

    (distance,), (at,), _ = triangles_apart(face, needle)

    assert distance == 0.0
    assert at == pytest.approx([0, 0, 0], abs=0.02)


@pytest.mark.parametrize("seed", range(6))
def test_another_library_says_the_same_of_two_crumpled_balls(seed):
    """python-fcl, its own trees and its own triangle test."""
    rng = np.random.default_rng(seed)
    one, other = (trimesh.creation.icosphere(3, radius) for radius in (20.0, 9.0))
    for mesh in (one, other):
        mesh.vertices *= 1 + 0.06 * rng.standard_normal((len(mesh.vertices), 1))
    other.vertices += np.array([26.0, 9.0, 14.0]) + rng.uniform(-1, 1, 3)
    models = []
    for mesh in (one, other):
        model = fcl.BVHModel()
        model.beginModel(len(mesh.vertices), len(mesh.faces))
        model.addSubModel(mesh.vertices, mesh.faces)
        model.endModel()
        models.append(fcl.CollisionObject(model, fcl.Transform()))

    expected = fcl.distance(*models, fcl.DistanceRequest(), fcl.DistanceResult())

    assert apart(tree(one), tree(other)).distance == pytest.approx(max(expected, 0.0), abs=1e-9)


def test_what_is_no_nearer_than_asked_is_left_at_that():
    assert apart(tree(box(10, 10, 10)), tree(box(10, 10, 10, at=(14.0, 0, 0))), within=3.0).distance == np.inf
    assert apart(tree(box(10, 10, 10)), tree(box(10, 10, 10, at=(12.0, 0, 0))), within=3.0).distance == 2.0


@pytest.mark.parametrize("seed", range(3))
def test_triangles_pair_by_pair_are_no_farther_than_points_strewn_over_them(seed):
    """And not nearer by more than the strewn points' own spacing."""
    rng = np.random.default_rng(seed)
    one, other = rng.uniform(-1, 1, (40, 3, 3)), rng.uniform(-1, 1, (40, 3, 3)) + rng.uniform(0, 2, (40, 1, 3))
    u, v = (grid.ravel() for grid in np.meshgrid(np.linspace(0, 1, 15), np.linspace(0, 1, 15)))
    weights = np.stack([1 - u, u * (1 - v), u * v], axis=1)
    strewn = [np.einsum("pk,nkx->npx", weights, each) for each in (one, other)]
    brute = np.array([np.linalg.norm(a[:, None] - b[None], axis=-1).min() for a, b in zip(*strewn, strict=True)])

    distance, on_one, on_other = triangles_apart(one, other)

    assert (distance <= brute + 1e-12).all()
    assert (distance >= brute - 0.2).all()
    assert np.linalg.norm(on_one - on_other, axis=1) == pytest.approx(distance, abs=1e-9)
