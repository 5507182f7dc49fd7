"""The compiled search against the plain one, which is checked against formulas and a collision library."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation
from tests.geometry.test_least_distance import SOLIDS, torus

from coachwork.geometry.least_compiled import least_of_all
from coachwork.geometry.least_distance import TOLERANCE, between
from coachwork.geometry.solids import Block


def blocks(count, rng):
    edges = Rotation.random(count, random_state=rng).as_matrix()
    return Block(middle=rng.normal(size=(count, 3)) * 5, edges=edges, half=rng.uniform(2, 12, size=(count, 3)))


KINDS = {name: make for name, make in SOLIDS.items() if name != "torus"} | {"block": blocks}


@pytest.mark.parametrize("corners", [1, 2, 3])
@pytest.mark.parametrize("kind", KINDS)
def test_agrees_with_the_plain_search(kind, corners):
    """Points, lines and triangles with a thickness; far from all solids, near them, and deep inside."""
    rng = np.random.default_rng(4)
    deep = 0
    for away in (400.0, 150.0, 40.0, 15.0, 3.0):
        solids = KINDS[kind](30, rng)
        pieces = rng.normal(size=(30, 3, 1, 3)) * away + rng.normal(size=(30, 3, corners, 3)) * 8
        thickness = rng.uniform(0, 3, size=(30, 3))
        plain = between(solids, pieces, thickness=thickness, pool=np.zeros(30, dtype=np.intp), pools=1)

        found = least_of_all(solids, pieces, thickness)

        assert found.distance[0] == pytest.approx(plain.distance[0], abs=2 * TOLERANCE)
        own = between(solids.take(found.solid), found.point[:, None, None], thickness=found.thickness[:, None])
        assert own.distance[0] == pytest.approx(found.distance[0], abs=1e-9)  # at the place that it tells
        np.testing.assert_allclose(own.on_solid, found.on_solid, atol=1e-9)
        deep += int(found.distance[0] < 0)
    assert 0 < deep < 5


def test_of_poses_equally_near_the_last_is_told():
    """So that what stands still in every pose is told at ride height, which the grids come to last."""
    rng = np.random.default_rng(6)
    one = KINDS["capsule"](1, rng).take(np.zeros(4, dtype=np.intp))
    pieces = np.broadcast_to(np.array([[30.0, 0, 0], [30.0, 5, 9]]), (4, 1, 2, 3))

    found = least_of_all(one, pieces, np.zeros((4, 1)))

    assert found.solid[0] == 3
    assert between(one, pieces, pool=np.zeros(4, dtype=np.intp), pools=1).solid[0] == 3


def test_a_kind_that_it_does_not_know_is_refused():
    with pytest.raises(TypeError, match="corners"):
        least_of_all(torus(np.zeros(3), [0, 0, 1], large=20.0, small=6.0), np.zeros((1, 1, 1, 3)), np.zeros((1, 1)))
