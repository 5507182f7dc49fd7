"""An open vehicle mesh that is not ours: the 1:10 race car of the pybullet data package.

Its URDF publishes what we measure: wheels of radius 0.05 and width 0.045 m, rear axle at x = 0 and front axle at
x = 0.325 m, wheels carried 0.1 m to either side. The mesh is put together as the URDF says, posed anyhow and saved as
STL in metres, without a word of the unit.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from coachwork.errors import Unsure
from coachwork.scans.circle import fitted
from coachwork.scans.hints import Hints
from coachwork.scans.loading import opened
from coachwork.scans.reading import read_mesh
from coachwork.scans.symmetry import symmetry_plane


@dataclass
class Published:
    radius_mm: float
    wheelbase_mm: float
    over_wheels_mm: float  # outside to outside
    track_mm: float  # middle of wheel to middle of wheel


@pytest.fixture(scope="module")
def folder() -> Path:
    import pybullet_data

    return Path(pybullet_data.getDataPath()) / "racecar"


@pytest.fixture(scope="module")
def published(folder) -> Published:
    """Out of the URDF, not out of our heads."""
    robot = ET.parse(folder / "racecar_differential.urdf").getroot()
    placed = [joint for joint in robot.iter("joint") if joint.find("origin") is not None]
    joints = {joint.get("name"): joint.find("origin").get("xyz").split() for joint in placed}
    wheel = next(link for link in robot.iter("link") if link.get("name") == "left_rear_wheel")
    cylinder = wheel.find("collision/geometry/cylinder")
    width, side = float(cylinder.get("length")), float(joints["left_rear_wheel_joint"][1])
    return Published(
        radius_mm=1000 * float(cylinder.get("radius")),
        wheelbase_mm=1000 * (float(joints["left_steering_hinge_joint"][0]) - float(joints["left_rear_wheel_joint"][0])),
        over_wheels_mm=2000 * (side + width),
        track_mm=2000 * (side + width / 2),
    )


@pytest.fixture(scope="module")
def car(folder, tmp_path_factory):
    """The car in one file, and the pose it was given: rotation and shift, in metres."""
    import trimesh

    meshes = folder / "meshes"
    chassis = read_mesh(meshes / "chassis.STL")
    parts = [trimesh.Trimesh(chassis.vertices, chassis.faces, process=False)]
    turned = trimesh.transformations.rotation_matrix(np.pi / 2, [1, 0, 0])  # as the wheels' joints are
    for name, x, y in (("left_front", 0.325, 0.1), ("right_front", 0.325, -0.1), ("left_rear", 0.0, 0.1),
                       ("right_rear", 0.0, -0.1)):  # fmt: skip
        wheel = read_mesh(meshes / f"{name}_wheel.STL")
        part = trimesh.Trimesh(wheel.vertices, wheel.faces, process=False)
        part.apply_transform(turned)
        part.apply_translation([x, y, 0.0])
        parts.append(part)
    whole = trimesh.util.concatenate(parts)
    pose = trimesh.transformations.rotation_matrix(2.1, [0.3, -0.5, 0.8])
    pose[:3, 3] = [1.5, -0.7, 0.2]
    whole.apply_transform(pose)
    file = tmp_path_factory.mktemp("car") / "car.stl"
    file.write_bytes(whole.export(file_type="stl"))
    return file, pose


@pytest.fixture(scope="module")
def points_mm(car):
    """In the URDF's frame, by our reader and the pose that is known."""
    file, pose = car
    mesh = opened(file, Hints(length_mm=450.0), unit=None)
    assert mesh.unit.name == "m"
    return (mesh.mesh.vertices / 1000 - pose[:3, 3]) @ pose[:3, :3] * 1000


def test_its_plane_of_symmetry_is_found_in_any_pose(car):
    """Four wheels alike on a flat box: it mirrors nearly as well front to rear and top to bottom, which is said."""
    file, pose = car
    mesh = opened(file, Hints(length_mm=450.0), unit=None).mesh
    with pytest.raises(Unsure, match="two planes of symmetry"):
        symmetry_plane(mesh, np.random.default_rng(0))
    ahead, up = pose[:3, :3] @ [1.0, 0.1, 0.2], pose[:3, :3] @ [0.1, 0.2, 1.0]  # roughly, as landmarks would be
    plane = symmetry_plane(mesh, np.random.default_rng(0), along=[ahead, up])
    normal = pose[:3, :3] @ [0.0, 1.0, 0.0]
    assert abs(plane.normal @ normal) > np.cos(np.radians(0.2))
    through = 1000 * pose[:3, 3] @ plane.normal
    assert plane.distance == pytest.approx(through, abs=0.5)


@pytest.mark.parametrize("wheel", ["left front", "right front", "left rear", "right rear"])
def test_its_wheels_are_the_circles_that_its_urdf_publishes(points_mm, published, wheel):
    """The circle through the tread's silhouette, from a first guess 4 mm off in each way."""
    x, y, z = points_mm.T
    centre = np.array([published.wheelbase_mm if "front" in wheel else 0.0, 0.0])
    seen = np.stack([x, z], axis=1)[((y > 110) if "left" in wheel else (y < -110)) & (np.abs(x - centre[0]) < 80)]
    tread = seen[ConvexHull(seen).vertices]  # its silhouette; rings of the sidewall lie inside
    circle = fitted(tread, centre=centre + np.array([4.0, -4.0]), radius=46.0, least_scale=0.05)
    assert circle.centre == pytest.approx(centre, abs=0.1)
    assert circle.radius == pytest.approx(published.radius_mm, abs=0.1)


def test_its_width_over_the_wheels_and_track_are_those_of_its_urdf(points_mm, published):
    y = points_mm[:, 1]
    assert np.ptp(y) == pytest.approx(published.over_wheels_mm, abs=0.05)
    wheels = np.abs(y[np.abs(y) > 99.9])
    assert wheels.min() + wheels.max() == pytest.approx(published.track_mm, abs=0.5)
