"""Points near solids: the tree finds what looking at every point of every solid does, and leaves nothing out."""

from __future__ import annotations

import numpy as np
import pytest

from coachwork.geometry.point_tree import LEAF, PointTree
from coachwork.geometry.sections import Barrel
from coachwork.geometry.solids import Block, Capsule, Revolved, Solid


def wheels(count: int, rng: np.random.Generator) -> Solid:
    axis = rng.normal(size=(count, 3))
    return Revolved(
        centre=rng.uniform(-40, 40, (count, 3)), axis=axis / np.linalg.norm(axis, axis=1, keepdims=True),
        section=Barrel(outer=np.array([20.0]), half_width=np.array([8.0]), shoulder=np.array([3.0]),
                       crown=np.array([60.0])),
    )  # fmt: skip


def rods(count: int, rng: np.random.Generator) -> Solid:
    ends = rng.uniform(-40, 40, (2, count, 3))
    return Capsule(start=ends[0], end=ends[1], radius=np.array([2.0]))


def boxes(count: int, rng: np.random.Generator) -> Solid:
    edges = np.linalg.qr(rng.normal(size=(count, 3, 3)))[0]
    return Block(middle=rng.uniform(-40, 40, (count, 3)), edges=edges, half=rng.uniform(2, 9, (count, 3)))


@pytest.mark.parametrize("make", [wheels, rods, boxes])
@pytest.mark.parametrize("points", [1, LEAF, 700])
def test_it_finds_what_looking_at_everything_finds(make, points):
    rng = np.random.default_rng(3)
    solids, cloud = make(90, rng), rng.uniform(-60, 60, (points, 3))
    each = np.array([solids.take(np.full(points, k)).signed(cloud).distance for k in range(90)])

    found = PointTree(cloud).nearest(solids, within=5.0)

    least = each.min(axis=0)
    near = least < 5.0
    assert found.distance[near] == pytest.approx(least[near], abs=1e-12)
    assert np.isinf(found.distance[~near]).all()
    assert (found.solid[near] == each.argmin(axis=0)[near]).all()
    assert (found.solid[~near] == -1).all()


def test_the_way_leads_to_the_surface():
    rng = np.random.default_rng(4)
    solids, cloud = wheels(8, rng), rng.uniform(-60, 60, (300, 3))
    found = PointTree(cloud).nearest(solids, within=9.0)
    near = np.flatnonzero((found.solid >= 0) & (found.distance > 0))
    on = cloud[near] + found.distance[near, None] * found.toward[near]
    assert solids.take(found.solid[near]).signed(on).distance == pytest.approx(0.0, abs=1e-9)


def test_no_points_are_near_nothing():
    assert PointTree(np.zeros((0, 3))).nearest(wheels(2, np.random.default_rng(1)), within=9.0).distance.size == 0
