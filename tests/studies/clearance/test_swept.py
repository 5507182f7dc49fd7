"""Swept meshes: closed, of the volume that formulas give, and holding every pose."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
import trimesh

from coachwork.geometry.rigid import Motion
from coachwork.geometry.sections import Barrel
from coachwork.studies.clearance.search import Placed
from coachwork.studies.clearance.shapes import Box, Rod, Turning
from coachwork.studies.clearance.swept import cloud, poses_of, span, swept
from coachwork.studies.clearance.things import Thing


def part(shape, corner):
    thing = Thing(name="part", kind="parts", shapes=(shape,))
    return Placed(key="part", name="part", thing=thing, corner=corner)


def mesh_of(one):
    return trimesh.Trimesh(one.vertices, one.faces, process=False)


def test_a_box_lifted_sweeps_a_taller_box(lift):
    box = Box(body="arm", middle=np.array([[30.0, 0, 0]]), half=np.array([[2.0, 3.0, 4.0]]))

    one = swept(part(box, lift()), pad_mm=0.0)

    assert mesh_of(one).is_watertight
    assert one.volume_mm3 == pytest.approx(4 * 6 * (8 + 20), rel=1e-6)
    assert one.volume_mm3 == pytest.approx(mesh_of(one).volume, rel=1e-9)


def test_a_ball_lifted_sweeps_a_capsule(lift):
    """4/3 pi r^3 + pi r^2 h; the ball's points lie outside it, by up to 4 % of its radius."""
    ball = Rod(body="arm", other="arm", start=np.array([[30.0, 0, 0]]), end=np.array([[30.0, 0, 0]]),
               radius=np.array([4.0]))  # fmt: skip

    one = swept(part(ball, lift()), pad_mm=0.0)

    exact = 4 / 3 * np.pi * 64 + np.pi * 16 * 20
    assert mesh_of(one).is_watertight
    assert exact < one.volume_mm3 < 1.05 * exact


def test_a_bar_that_steers_sweeps_a_sector(lift):
    """A thin plate from the steering's axis outward, radius 40, half a radian each way, lifted: sector times height."""
    plate = Box(body="knuckle", middle=np.array([[20.0, 0, 0]]), half=np.array([[20.0, 1e-3, 5.0]]))

    one = swept(part(plate, lift()), pad_mm=0.0)

    exact = 0.5 * 40**2 * 1.0 * (10 + 20)
    assert mesh_of(one).is_watertight
    assert one.volume_mm3 == pytest.approx(exact, rel=3e-3)  # chords of 1/12 rad: 1 - (1/12)^2 / 12 = 0.9994


def test_a_tyres_sweep_holds_it_in_every_pose(lift):
    """Points of the tyre's surface, in poses that are none of the grid's, lie inside the mesh."""
    barrel = Barrel(
        outer=np.array([34.5]), half_width=np.array([11.5]), shoulder=np.array([3.0]), crown=np.array([60.0])
    )
    shape = Turning(body="knuckle", centre=np.array([[0.0, 70, 0]]), axis=np.array([[0.0, 1, 0]]), section=barrel)
    tyre = part(shape, lift(about=np.array([0.0, 55.0, 0.0])))

    one = swept(tyre)

    mesh = mesh_of(one)
    assert mesh.is_watertight
    from benchmarks.clearance import tyre_mesh

    surface = tyre_mesh(40, 12)[0]
    rng = np.random.default_rng(3)
    for share in rng.uniform(-1, 1, (6, 3)) * [1, 1, 0]:
        bodies = tyre.bodies(share[None])
        motion = bodies.motions["knuckle"]
        points = (surface + np.array([0.0, 70, 0])) @ motion.rotation[0].T + motion.shift[0]
        outside = trimesh.proximity.signed_distance(mesh, points[::7])
        assert outside.min() > -1e-3


EVERYWHERE = {"low": np.full(3, -np.inf), "high": np.full(3, np.inf)}


def one_shape(placed):
    return [replace(placed, thing=replace(placed.thing, shapes=(shape,))) for shape in placed.thing.shapes]


def test_the_span_of_a_part_holds_every_point_it_is_drawn_with_and_little_more(found_plan):
    """Of everything on the van's wheels; a tyre is taken for a flat disc, without its shoulders' rounding of 3.5 mm and
    the 1 mm by which its crown of 70 mm falls away at its edges.
    """
    scene = found_plan[2].scene
    parts = [
        part
        for end in scene.ends.values()
        for corner in end.sides.values()
        for placed in corner.all()
        if placed.thing.kind != "rim"
        for part in one_shape(placed)
    ]
    assert {type(part.thing.shapes[0]).__name__ for part in parts} == {"Box", "Cylinder", "Rod", "Turning"}
    for part in parts:
        (points,) = cloud(part, **EVERYWHERE, pad_mm=0.2)
        low, high = span(part.thing.shapes[0], poses_of(part), 0.2)

        assert (points >= low).all()
        assert (points <= high).all()
        loose = 3.5 * (np.sqrt(2) - 1) + 1.0 if isinstance(part.thing.shapes[0], Turning) else 0.2
        np.testing.assert_allclose(low, points.min(axis=0), rtol=0, atol=loose)
        np.testing.assert_allclose(high, points.max(axis=0), rtol=0, atol=loose)


@dataclass(frozen=True, eq=False, kw_only=True)
class Stuck:
    """A corner whose knuckle comes no further than half lock."""

    free: object

    @property
    def grid(self):
        return self.free.grid

    def bodies(self, shares):
        bodies = self.free.bodies(shares)
        there = np.where(np.abs(shares[:, 1]) <= 0.5, 1.0, np.nan)[:, None]
        knuckle = bodies.motions["knuckle"]
        knuckle = Motion(knuckle.rotation * there[..., None], knuckle.shift * there)
        return replace(bodies, motions=bodies.motions | {"knuckle": knuckle})


def test_poses_that_do_not_exist_are_no_part_of_the_span(lift):
    """A ball 60 mm off the axis steers by 0.25 rad each way and rises by 10 mm each way."""
    ball = Rod(body="knuckle", other="knuckle", start=np.array([[0.0, 60.0, 0]]), end=np.array([[0.0, 60.0, 0]]),
               radius=np.array([4.0]))  # fmt: skip
    stuck = part(ball, Stuck(free=lift()))

    low, high = span(ball, poses_of(stuck), 0.0)

    out = 4.0 / np.cos(np.pi / 24) ** 2
    assert high[0] == pytest.approx(60 * np.sin(0.25) + out, abs=1e-4)
    assert low[2] == pytest.approx(-10 - out, abs=1e-4)
    assert list(cloud(stuck, low=np.array([20.0, -99, -99]), high=np.full(3, 99.0))) == []
    assert list(cloud(stuck, low=np.array([high[0] - 0.1, -99, -99]), high=np.full(3, 99.0))) != []
