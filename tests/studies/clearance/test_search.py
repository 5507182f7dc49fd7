"""Pairs over all poses against what can be worked by hand, and against a collision library pose by pose."""

import fcl
import numpy as np
import pytest

from coachwork.geometry.rigid import Motion
from coachwork.geometry.sections import Barrel, Polygon
from coachwork.studies.clearance.search import Placed, Surroundings, again, pair, shares_for
from coachwork.studies.clearance.shapes import Bodies, Box, Cylinder, Rod, Sheet, Turning
from coachwork.studies.clearance.things import Thing
from coachwork.studies.memory import Memory

STILL = Bodies(
    motions={name: Motion(np.eye(3)[None], np.zeros((1, 3))) for name in ("chassis", "shell")},
    count=1, right=False, shift=np.zeros((1, 3)),
)  # fmt: skip


def placed(name, *shapes, corner=None, kind="parts"):
    still = None if corner is not None else STILL
    return Placed(key=name, name=name, thing=Thing(name=name, kind=kind, shapes=shapes), corner=corner, still=still)


def rod(start, end, radius, body="knuckle"):
    return Rod(body=body, other=body, start=np.array([start]), end=np.array([end]), radius=np.array([radius]))


def box(low, high, body="chassis"):
    low, high = np.array([low], dtype=float), np.array([high], dtype=float)
    return Box(body=body, middle=(low + high) / 2, half=(high - low) / 2)


def test_the_worst_pose_is_found_between_those_of_the_grid(lift):
    """A ball at radius 20 passes nearest to a post at 0.111 rad, which is no pose of the grid: 25 - 20 - 3."""
    angle = 0.111
    post = 25 * np.array([np.cos(angle), np.sin(angle)])
    ball = placed("ball", rod((20.0, 0, 0), (20.0, 0, 0), 1.0), corner=lift())
    pole = placed("pole", rod((*post, -30.0), (*post, 30.0), 2.0, body="chassis"))

    (one,) = pair(ball, pole, Memory())
    coarse, fine = one.found.distance, one.finer().found

    assert fine.distance == pytest.approx(25 - 20 - 3, abs=2e-4)
    assert coarse > fine.distance
    assert fine.spot.share[1] == pytest.approx(angle / 0.5, abs=0.02)


def test_depth_of_a_rod_all_inside_a_box_is_the_way_out(lift):
    """Searched from the box: the rod's surface never meets the box's, and still it is 4 + 1 deep."""
    inside = placed("rod", rod((1.0, 0, 0), (2.0, 0, 0), 1.0, body="arm"), corner=lift())
    around = placed("box", box((-5.0, -4.0, -30.0), (20.0, 4.0, 30.0)))

    (one,) = pair(inside, around, Memory())

    assert one.found.distance == pytest.approx(-5.0, abs=1e-5)


def test_only_what_is_near_is_told_apart(lift):
    ball = placed("ball", rod((20.0, 0, 0), (20.0, 0, 0), 1.0), corner=lift())
    far = placed("far", box((90.0, -1, -1), (99.0, 1, 1)))

    assert pair(ball, far, Memory(), within=12.0) == []
    assert pair(ball, far, Memory())[0].found.distance == pytest.approx(90 - 21, abs=1e-6)


def test_a_spot_found_once_is_found_again_with_other_numbers(lift):
    """To first order the least distance changes as the distance at its place: here exactly, the radius alone grows."""
    ball = placed("ball", rod((20.0, 0, 0), (20.0, 0, 0), 1.0), corner=lift())
    wall = placed("wall", box((30.0, -50, -50), (40.0, 50, 50)))
    (one,) = pair(ball, wall, Memory())

    def other(key):
        grown = Rod(body="knuckle", other="knuckle", start=np.array([[20.0, 0, 0]] * 3),
                    end=np.array([[20.0, 0, 0]] * 3), radius=np.array([1.0, 1.5, 3.0]))  # fmt: skip
        return placed("ball", grown, corner=_Three(lift())) if key == "ball" else wall

    np.testing.assert_allclose(again(one.found.spot, other), [9.0, 8.5, 7.0], atol=1e-6)


class _Three:
    """Three samples of one pose."""

    def __init__(self, corner):
        self.corner = corner

    def bodies(self, shares):
        return self.corner.bodies(np.repeat(shares, 3, axis=0))


def ring(radius, wall, segments=120):
    """A round opening in the plane y = wall, above the axle."""
    angle = np.linspace(0.1, np.pi - 0.1, segments + 1)
    inner = np.stack([radius * np.cos(angle), np.full_like(angle, wall), radius * np.sin(angle)], axis=-1)
    outer = np.stack([1.5 * inner[:, 0], inner[:, 1], 1.5 * inner[:, 2]], axis=-1)
    return np.concatenate(
        [np.stack([inner[:-1], inner[1:], outer[1:]], axis=1), np.stack([inner[:-1], outer[1:], outer[:-1]], axis=1)]
    )


def test_a_tyre_in_its_arch_agrees_with_a_loop_over_a_collision_library(lift):
    """Every pose of the grid by python-fcl, a tyre of 36,000 triangles, which is off by up to 0.01 mm."""
    from benchmarks.clearance import TYRE, tyre_mesh

    shape = Turning(body="knuckle", centre=np.array([[0.0, 70.0, 0.0]]), axis=np.array([[0.0, 1.0, 0.0]]), section=TYRE)
    assert isinstance(TYRE, Barrel)
    tyre = placed("tyre", shape, corner=lift(about=np.array([0.0, 55.0, 0.0])), kind="tyre")
    arch = placed("arch", Sheet(triangles=ring(50.0, 74.0)[None]), kind="shell")

    (one,) = Surroundings.of([arch], Memory(), name="arch").around(tyre)

    theirs = _looped(tyre, arch, *tyre_mesh(300, 60))
    assert one.found.distance > 0
    assert one.found.distance == pytest.approx(min(theirs), abs=0.012)


def _looped(tyre, arch, vertices, faces):
    def model(points, triangles):
        made = fcl.BVHModel()
        made.beginModel(len(points), len(triangles))
        made.addSubModel(points, triangles)
        made.endModel()
        return made

    corners = arch.thing.shapes[0].triangles[0].reshape(-1, 3)
    body = fcl.CollisionObject(model(corners, np.arange(len(corners)).reshape(-1, 3)))
    wheel = fcl.CollisionObject(model(vertices, faces))
    grid = tyre.corner.grid
    solid = tyre.thing.shapes[0].solid(tyre.bodies(grid))
    for centre, out in zip(solid.centre, solid.axis, strict=True):
        turn = Motion.between(np.zeros(3), np.zeros(3), np.array([0.0, 1.0, 0.0]), out).rotation
        wheel.setTransform(fcl.Transform(turn, centre))
        yield fcl.distance(wheel, body, fcl.DistanceRequest(), fcl.DistanceResult())


SHAPES = {
    "box": box((-4.0, -3.0, -9.0), (5.0, 6.0, 2.0), body="knuckle"),
    "rod": rod((1.0, 2.0, 3.0), (20.0, -4.0, 7.0), 2.5),
    "cylinder": Cylinder(
        body="knuckle", start=np.array([[0, 0, 1.0]]), end=np.array([[9, 5, 4.0]]), radius=np.array([6.0])
    ),
    "tyre": Turning(
        body="knuckle", centre=np.array([[9.0, 3, 1]]), axis=np.array([[0, 1.0, 0]]),
        section=Barrel(outer=np.array([30.0]), half_width=np.array([11.0]), shoulder=np.array([3.0]),
                       crown=np.array([60.0])),
    ),
    "rim": Turning(
        body="knuckle", centre=np.array([[9.0, 3, 1]]), axis=np.array([[0, 1.0, 0]]),
        section=Polygon(corners=np.array([[[15.0, -9.0], [19.0, -10.0], [19.0, 8.0], [14.0, 8.0]]]),
                        rounding=np.array([0.3])),
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", SHAPES)
def test_a_shape_s_box_holds_it_in_every_pose(kind, lift):
    """Seen from points all round outside of the box: none lies in the shape, nor nearer to it than to the box."""
    rng = np.random.default_rng(9)
    thing = placed("thing", SHAPES[kind], corner=lift())
    shares = shares_for(thing.corner, frozenset(("knuckle", "chassis")))
    low, high = thing.box(0, shares)
    points = rng.uniform(low - 60, high + 60, size=(3000, 3))
    off = np.linalg.norm(np.maximum(np.maximum(low - points, points - high), 0.0), axis=-1)
    assert len(shares) > 1
    for share in shares:
        solid = SHAPES[kind].solid(thing.bodies(share[None]))
        distance = solid.take(np.zeros(len(points), dtype=np.intp)).signed(points).distance
        assert (distance[off > 0] >= off[off > 0] - 1e-9).all()


@pytest.mark.parametrize("compiled", [False, True])
def test_a_cylinder_is_exact_whichever_of_the_two_moves(lift, compiled):
    """The flat side of a box against a round of radius 6: searched from the round, over the twelve pieces."""
    ball = placed("ball", box((10.0, -2, -2), (14.0, 2, 2), body="chassis"))
    drum = Cylinder(body="arm", start=np.array([[0, 0, -9.0]]), end=np.array([[0, 0, 9.0]]), radius=np.array([6.0]))
    here = placed("drum", drum, corner=lift())

    (one,) = pair(here, ball, Memory(), compiled=compiled)

    assert one.found.distance == pytest.approx(10 - 6, abs=1e-5)
    assert one.found.spot.solid == "drum"
