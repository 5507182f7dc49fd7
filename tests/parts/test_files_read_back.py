"""Every file of every part, read back: by trimesh, lib3mf and the CAD kernel, each from the file alone."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.plan.made import made_parts
from coachwork.studies.solids import PartSolid

NAMES = (
    "chassis", "battery-door", "post-front-left", "bracket-front-left", "post-rear-right", "bracket-rear-right",
    "front-arm-left", "front-arm-right", "rear-arm-left", "rear-arm-right", "housing-head-lamp", "housing-beacon",
    "jig-front-bolts", "jig-rear-bolts",
)  # fmt: skip
PARTS = pytest.mark.parametrize("name", NAMES)


@pytest.fixture
def part(van, name) -> PartSolid:
    return made_parts(read(van("as-finished"))).parts[name]


@PARTS
def test_stl_is_watertight_one_body_and_of_the_cad_kernel_s_volume(part, name):
    """Chords of arcs: 0.02 mm of sag on the smallest radius used, 1 mm, is 2 % of a hole, far less of a part."""
    import trimesh

    mesh = trimesh.load_mesh(part.mesh)

    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.body_count == 1
    assert mesh.volume == pytest.approx(part.measured.volume_mm3, rel=3e-3)
    assert mesh.extents == pytest.approx(part.measured.size_mm, abs=0.03)


@PARTS
def test_step_read_back_is_one_valid_solid_of_the_same_volume_and_centre(part, name):
    import build123d as b

    read_back = b.import_step(part.step)
    (solid,) = read_back.solids()

    assert solid.is_valid
    assert solid.volume == pytest.approx(part.measured.volume_mm3, rel=1e-6)
    assert tuple(solid.center()) == pytest.approx(part.measured.centre_mm, abs=1e-4)
    assert name.encode() in Path(part.step).read_bytes(), "the solid goes by its name"


@PARTS
def test_3mf_has_unit_name_number_and_the_stl_s_triangles(part, name):
    import lib3mf
    import trimesh

    model = lib3mf.get_wrapper().CreateModel()
    model.QueryReader("3mf").ReadFromFile(part.mesh.replace(".stl", ".3mf"))
    objects = model.GetMeshObjects()
    assert objects.MoveNext()
    mesh = objects.GetCurrentMeshObject()

    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    assert (mesh.GetName(), mesh.GetPartNumber()) == (name, part.number)
    assert mesh.IsManifoldAndOriented()
    assert not objects.MoveNext()
    corners = np.array([list(v.Coordinates) for v in mesh.GetVertices()])
    faces = np.array([list(t.Indices) for t in mesh.GetTriangleIndices()])
    assert trimesh.Trimesh(corners, faces).volume == pytest.approx(part.measured.volume_mm3, rel=3e-3)


@PARTS
def test_holes_are_where_and_as_wide_as_the_pattern_says(part, name):
    """By a cut through the triangles of the STL inside each hole, which knows nothing of the CAD kernel."""
    import trimesh

    mesh = trimesh.load_mesh(part.mesh)
    for hole in part.holes:
        axis = np.array(hole.axis)
        deep = hole.depth_mm * (0.7 if hole.screw and hole.purpose == "clearance" else 0.5)  # past a countersink
        middle = np.array(hole.centre_mm) + axis * min(deep, 1.0 if hole.purpose == "pin" else 2.8)
        across = np.cross(axis, [1.0, 0, 0] if abs(axis[0]) < 0.9 else [0, 1.0, 0])
        across /= np.linalg.norm(across)
        other = np.cross(axis, across)
        cut = mesh.section(plane_origin=middle, plane_normal=axis)
        assert cut is not None, hole.name
        loops = [line - middle for line in cut.discrete]
        flat = [np.column_stack([line @ across, line @ other]) for line in loops]
        ring = min(flat, key=lambda line: np.abs(np.hypot(*line.T) - hole.drawn_mm / 2).max())
        x, y = ring.T
        # Least squares circle through the corners, which lie on the cylinder (Kasa): x2 + y2 = 2 a x + 2 b y + c.
        (a, b, c), *_ = np.linalg.lstsq(np.column_stack([2 * x, 2 * y, np.ones_like(x)]), x**2 + y**2, rcond=None)

        assert math.hypot(a, b) < 0.02, hole.name
        assert 2 * math.sqrt(c + a * a + b * b) == pytest.approx(hole.drawn_mm, abs=0.02), hole.name


def test_the_assembly_holds_every_part_in_its_place(van):
    """Read back by another STEP reader; a left and a right arm lie on either side, the rear end a wheelbase behind."""
    import build123d as b

    from coachwork.parts.store import assembly_of

    made = made_parts(read(van("as-finished")))
    whole = b.import_step(assembly_of(made))

    solids = whole.solids()
    assert len(solids) == sum(len(part.chassis_from_part) for part in made)
    assert whole.volume == pytest.approx(sum(part.measured.volume_mm3 for part in made), rel=1e-6)
    middles = [tuple(solid.center()) for solid in solids]
    arms = [part for part in made if "arm" in part.name]
    for left, right in zip(arms[::2], arms[1::2], strict=True):
        of_left, of_right = (_placed(part) for part in (left, right))
        assert of_left[1] > 20
        assert of_right == pytest.approx((of_left[0], -of_left[1], of_left[2]), abs=0.05)
        assert min(math.dist(of_left, middle) for middle in middles) < 1e-3


def _placed(part: PartSolid) -> tuple[float, ...]:
    pose = np.array(part.chassis_from_part[0])
    return tuple(pose[:3, :3] @ np.array(part.measured.centre_mm) + pose[:3, 3])


def test_arm_s_outer_pin_lies_where_the_changed_hardpoints_put_it(van):
    """As bought the front pins are 47 mm apart seen from the front; the van's arms are 4 mm shorter."""
    part = made_parts(read(van("as-finished"))).parts["front-arm-left"]
    bores = {hole.pattern: np.array(hole.centre_mm) for hole in part.holes}
    pose = np.array(part.chassis_from_part[0])

    outer = pose[:3, :3] @ (bores["outer-pin"] + np.array(part.pattern("outer-pin")[0].axis) * 4.3) + pose[:3, 3]

    inner_y, outer_y = 24.0, 71.0
    assert outer[1] == pytest.approx(outer_y - 4.0, abs=0.02)
    assert outer[0] == pytest.approx(0.0, abs=0.02)
    assert np.linalg.norm((outer - [-2.0, inner_y, 6.0])[1:]) == pytest.approx(math.hypot(47.0, 0.4) - 4.0, abs=0.02)
