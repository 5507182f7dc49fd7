"""Extents, areas, walls, ceilings and merged points against the mesh library, on meshes without any noise."""

from __future__ import annotations

import numpy as np
import pytest

from coachwork.scans.ceiling import ceiling_over, room_inside
from coachwork.scans.mesh import Mesh, tidy
from coachwork.scans.rays import Rays
from coachwork.scans.walls import wall_thickness


@pytest.fixture(scope="module")
def drawn(make_shell):
    """The van's shell as designed: closed, without noise or holes, upright in its own frame."""
    return make_shell.drawn(make_shell.AS_FINISHED, step=4.0)


@pytest.fixture(scope="module")
def body(drawn):
    import trimesh

    return trimesh.Trimesh(*drawn)


@pytest.fixture(scope="module")
def found(drawn, find):
    return find(*drawn)


def test_points_are_merged_and_areas_summed_as_the_mesh_library_does(drawn, body):
    vertices, faces = drawn
    mesh = tidy(vertices[faces].reshape(-1, 3), np.arange(3 * len(faces)).reshape(-1, 3))  # corners of their own
    assert (len(mesh.vertices), len(mesh.faces)) == (len(body.vertices), len(body.faces))
    assert mesh.areas.sum() == pytest.approx(body.area, rel=1e-12)
    np.testing.assert_allclose(mesh.centroids.mean(axis=0), body.triangles_center.mean(axis=0), atol=1e-9)
    assert body.is_watertight
    assert not mesh.at_border.any()


def test_borders_are_those_of_the_mesh_library(body):
    faces = body.faces[body.triangles_center[:, 2] < 120]
    mesh = Mesh(np.asarray(body.vertices), np.asarray(faces))
    outline = {point for path in body.submesh([np.flatnonzero(body.triangles_center[:, 2] < 120)], append=True,
                                              repair=False).outline().entities for point in path.points}  # fmt: skip
    assert mesh.at_border.sum() == len(outline)


def test_the_overall_sizes_are_the_mesh_s_own_extents(body, found):
    """Of a mesh without noise in its own frame, the box that the mesh library puts round it."""
    length, width, height = body.extents
    assert found.length.value == pytest.approx(length, abs=0.02)
    assert found.width.value == pytest.approx(width, abs=0.02)
    assert found.roof_over_sill.value == pytest.approx(height, abs=0.02)


def test_the_wall_is_the_volume_over_the_area_of_one_skin(body, found):
    """A thin shell's volume is its mean wall times half its area: the mesh library's volume, an independent route."""
    assert body.is_watertight
    wall = wall_thickness(found, np.random.default_rng(3))
    assert wall is not None
    # The edges' own faces count in the area but bound no wall: some 2 % of it.
    assert wall.typical.value == pytest.approx(body.volume / (body.area / 2), rel=0.04)
    assert wall.thinnest_mm < wall.typical.value < wall.thickest_mm


def test_the_ceiling_is_where_the_mesh_library_s_own_rays_meet_it(body, found):
    """Its triangle-by-triangle intersector, not the one our rays use."""
    from trimesh.ray.ray_triangle import RayMeshIntersector

    ceiling = ceiling_over(found.mesh, step_mm=31.0)
    x, y = np.meshgrid(ceiling.x_mm, ceiling.y_mm, indexing="ij")
    origins = np.column_stack([x.ravel(), y.ravel(), np.full(x.size, -50.0)])
    mesh = body.copy()
    mesh.vertices = found.shell_from_file.at(np.asarray(body.vertices))
    places, rays, _ = RayMeshIntersector(mesh).intersects_location(origins, np.tile([0.0, 0.0, 1.0], (len(origins), 1)))
    lowest = np.full(len(origins), np.nan)
    np.fmin.at(lowest, rays, places[:, 2])
    np.testing.assert_allclose(ceiling.z_mm.ravel(), lowest, atol=1e-3)
    assert np.isfinite(lowest).mean() > 0.8


def test_the_room_inside_is_the_roof_less_its_wall(make_shell, found):
    """The roof is 2 mm thick and falls 3 mm from middle to edge; nine tenths of the deck have this much."""
    van = make_shell.AS_FINISHED
    room = room_inside(found, ceiling_over(found.mesh))
    assert van.roof_over_sill - van.wall - 3.0 < room < van.roof_over_sill - van.wall


def test_rays_count_both_sides_of_a_triangle_and_miss_what_is_not_there():
    triangle = Mesh(np.array([[0.0, 0, 0], [10, 0, 0], [0, 10, 0]]), np.array([[0, 1, 2]]))
    origins = np.array([[2.0, 2, -5], [2, 2, 7], [9, 9, -5]])
    distances = Rays(triangle).distances(origins, np.array([[0.0, 0, 1], [0, 0, -1], [0, 0, 1]]))
    np.testing.assert_allclose(distances, [5, 7, np.nan])


def test_dirt_beside_the_shell_is_left_out_and_a_bumper_of_its_own_stays(drawn):
    import trimesh

    speck = trimesh.creation.icosphere(2, 1.0)
    bumper = trimesh.creation.box((6, 150, 12)).subdivide_to_size(6)
    pieces = [trimesh.Trimesh(*drawn), speck.apply_translation([600, 0, 0]), bumper.apply_translation([100, 0, 10])]
    whole = trimesh.util.concatenate(pieces)
    mesh = tidy(whole.vertices, whole.faces)
    assert len(mesh.faces) == len(pieces[0].faces) + len(pieces[2].faces)
