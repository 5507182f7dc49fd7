"""Shapes as solids and as pieces of surface against formulas and the mesh library."""

import numpy as np
import pytest
import trimesh

from coachwork.geometry.least_distance import between
from coachwork.geometry.rigid import Motion
from coachwork.studies.clearance.arch import SEGMENTS, Opening, triangles
from coachwork.studies.clearance.shapes import FACETS, Bodies, Box, Cylinder, Rod


def bodies(motion=None, *, right=False, shift=(0.0, 0.0, 0.0)):
    motion = motion or Motion(np.eye(3)[None], np.zeros((1, 3)))
    return Bodies(motions={"chassis": motion}, count=len(motion.shift), right=right, shift=np.array([shift]))


def box():
    return Box(body="chassis", middle=np.array([[10.0, 20.0, 30.0]]), half=np.array([[1.0, 2.0, 3.0]]))


def cylinder(radius=4.0):
    return Cylinder(
        body="chassis", start=np.array([[0.0, 0.0, 0.0]]), end=np.array([[3.0, 4.0, 12.0]]), radius=np.array([radius])
    )


def mesh_of(shape, where):
    triangles = shape.pieces(where)[0][0]
    mesh = trimesh.Trimesh(triangles.reshape(-1, 3), np.arange(3 * len(triangles)).reshape(-1, 3))
    mesh.merge_vertices()
    return mesh


@pytest.mark.parametrize(
    ("shape", "volume"),
    # A prism of n sides, circumscribed by the mean of in- and circumscribed radius: n/2 sin(2 pi/n) r^2 h.
    [(box(), 2 * 4 * 6), (cylinder(), FACETS / 2 * np.sin(2 * np.pi / FACETS) * 16.0 * 13)],
)
def test_pieces_close_to_a_body_of_the_right_volume(shape, volume):
    """Also that all triangles are wound the same way."""
    mesh = mesh_of(shape, bodies())

    assert mesh.is_watertight
    assert abs(mesh.volume) == pytest.approx(volume, rel=2e-3)


def test_a_cylinders_facets_lie_half_outside_half_inside_the_round():
    radius = 4.0
    points = cylinder(radius).pieces(bodies())[0][0].reshape(-1, 3)
    axis = np.array([3.0, 4.0, 12.0]) / 13
    off = np.linalg.norm(np.cross(points, axis), axis=-1).max()
    flat = off * np.cos(np.pi / FACETS)  # the middle of a facet

    assert off - radius == pytest.approx(radius - flat, rel=1e-6)
    assert off - radius < radius / 1600


def test_a_solid_and_its_own_pieces_agree_on_where_the_surface_is():
    """The box is exact; the cylinder to its facets."""
    for shape, fine in ((box(), 1e-9), (cylinder(), 4.0 / 1600)):
        corners, _ = shape.pieces(bodies())
        solid = shape.solid(bodies())
        vertices = corners.reshape(-1, 3)
        seen = solid.take(np.zeros(len(vertices), dtype=int)).signed(vertices).distance
        assert np.abs(seen).max() < fine


def test_mirrored_and_shifted_shapes_keep_their_distance():
    """The right side is the left one's mirror image: distances between its own things are the same."""
    ball = Rod(body="chassis", other="chassis", start=np.array([[10.0, 30.0, 30.0]]), end=np.array([[10.0, 30, 30]]),
               radius=np.array([1.5]))  # fmt: skip
    turned = Motion.about(np.zeros(3), np.array([0.3, 0.1, 1.0]), np.array([0.7]))

    for right in (False, True):
        there = bodies(turned, right=right, shift=(-260.0, 0.0, 0.0))
        corners, thick = ball.pieces(there)
        found = between(box().solid(there), corners, thickness=thick)
        assert found.distance[0] == pytest.approx(10 - 2 - 1.5, abs=1e-6)


@pytest.mark.parametrize(
    ("point", "distance"),
    [((15.0, 20.0, 30.0), 4.0), ((14.0, 26.0, 30.0), 5.0), ((10.0, 20.0, 32.0), -1.0), ((10.5, 20.0, 30.0), -0.5)],
)
def test_distance_to_a_box(point, distance):
    """Face, edge (3, 4, 5), and two places inside: the way to the nearest face."""
    seen = box().solid(bodies()).signed(np.array([point]))

    assert seen.distance[0] == pytest.approx(distance)


def test_one_triangle_of_an_arch_is_that_of_the_whole():
    """Samples ask for one only; the numbers differ from sample to sample."""
    numbers = {"x": [0.0, 0.5], "z": [26.0, 25.5], "radius": [43.0, 42.8], "sill": [22.0, 22.0],
               "outside": [91.0, 91.1], "lip": [2.2, 2.0]}  # fmt: skip
    hole = Opening(**{name: np.array(values) for name, values in numbers.items()})

    for right in (False, True):
        whole = triangles(hole, right=right)
        for index in (0, 100, SEGMENTS, 3 * SEGMENTS + 7, 6 * SEGMENTS - 1):
            np.testing.assert_allclose(triangles(hole, right=right, only=index)[:, 0], whole[:, index], atol=1e-12)


def test_an_arch_is_round_and_as_thick_as_its_lip():
    """Corners of its edge lie half outside the circle by what the facets' middles lie inside."""
    numbers = {"x": 0.0, "z": 26.0, "radius": 43.0, "sill": 22.0, "outside": 91.0, "lip": 2.2}
    corners = triangles(Opening(**{name: np.array([value]) for name, value in numbers.items()}), right=False)[0]

    edge = corners[2 * SEGMENTS : 4 * SEGMENTS]
    off = np.hypot(edge[..., 0], edge[..., 2] - 26.0) - 43.0
    middles = edge[:SEGMENTS, :2].mean(axis=1)
    inside = np.hypot(middles[:, 0], middles[:, 2] - 26.0) - 43.0
    assert off.max() == pytest.approx(-inside.min(), rel=1e-3)
    assert off.max() < 0.002
    assert corners[..., 1].min() == pytest.approx(91.0 - 2.2)
    assert edge[..., 2].min() == pytest.approx(22.0, abs=0.01)
