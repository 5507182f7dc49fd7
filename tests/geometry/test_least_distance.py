"""Signed distances of round solids against formulas, brute force, and a collision library."""

from __future__ import annotations

from itertools import pairwise

import fcl
import numpy as np
import pytest

from coachwork.geometry.box_tree import BoxTree
from coachwork.geometry.least_distance import between
from coachwork.geometry.rigid import Motion
from coachwork.geometry.sections import Barrel, Polygon
from coachwork.geometry.solids import Capsule, Revolved

X, Y, Z = np.eye(3)


def tyre(centre, axis, *, outer=34.5, half_width=11.5, shoulder=3.0, crown=60.0, inner=None):
    """Tyres at centres (n, 3)."""
    ring = None if inner is None else np.array([inner])
    section = Barrel(
        outer=np.array([outer]), half_width=np.array([half_width]), shoulder=np.array([shoulder]),
        crown=np.array([crown]), inner=ring,
    )  # fmt: skip
    return Revolved(centre=np.atleast_2d(centre), axis=np.atleast_2d(axis), section=section)


def torus(centre, axis, *, large, small):
    """A ring of round section."""
    section = Polygon(corners=np.array([[[large, 0.0]]]), rounding=np.array([small]))
    return Revolved(centre=np.atleast_2d(centre), axis=np.atleast_2d(axis), section=section)


def random_directions(rng, count):
    vectors = rng.normal(size=(count, 3))
    return vectors / np.linalg.norm(vectors, axis=-1, keepdims=True)


def wall(z, size=500.0):
    """The plane at height z, as far as it matters."""
    return np.array([[[[-size, -size, z], [size, -size, z], [0.0, 2 * size, z]]]])


@pytest.mark.parametrize("tilt_deg", [0, 20, 45, 70, 90])
def test_torus_over_a_plane(tilt_deg):
    """The lowest point of a torus with its axis tilted by t from the normal: centre - large sin t - small."""
    tilt = np.radians(tilt_deg)
    axis = np.array([np.sin(tilt), 0.0, np.cos(tilt)])

    found = between(torus([1.0, 2.0, 50.0], axis, large=20.0, small=6.0), wall(3.0))

    assert found.distance[0] == pytest.approx(50 - 3 - 20 * np.sin(tilt) - 6, abs=1e-5)


@pytest.mark.parametrize("where", [(0.0, 0.0, 0.0), (3.0, 1.0, 2.0), (30.0, 0.0, 0.0), (20.0, 4.0, 0.5), (25, 20, 9)])
def test_torus_and_sphere(where):
    """|way from the tube's centre circle| - both radii (elementary; also inside the hole and through the tube)."""
    point = np.array(where, dtype=float)
    ball = point[None, None, None]

    found = between(torus(np.zeros(3), Z, large=20.0, small=6.0), ball, thickness=2.5)

    expected = np.hypot(np.hypot(point[0], point[1]) - 20, point[2]) - 6 - 2.5
    assert found.distance[0] == pytest.approx(expected, abs=1e-9)


BOX = np.array([[x, y, z] for x in (10, 30) for y in (-8, 8) for z in (-4, 4)], dtype=float)
FACES = np.array(
    [[0, 1, 3], [0, 3, 2], [4, 6, 7], [4, 7, 5], [0, 4, 5], [0, 5, 1], [2, 3, 7], [2, 7, 6], [0, 2, 6], [0, 6, 4],
     [1, 5, 7], [1, 7, 3]]
)  # fmt: skip


@pytest.mark.parametrize(
    ("centre", "axis", "expected"),
    [
        ((0.0, 0.0, 0.0), Z, 10 - 7.0),  # side of the cylinder, face of the box
        ((20.0, 0.0, 20.0), Z, 20 - 4 - 5.0),  # end of the cylinder, face of the box
        ((0.0, 20.0, 0.0), Z, np.hypot(10, 12) - 7.0),  # side of the cylinder, upright edge of the box
        ((0.0, 0.0, 20.0), Z, np.hypot(10 - 7, 20 - 5 - 4)),  # rim of the cylinder, edge of the box
        ((4.0, 0.0, 0.0), Z, -1.0),  # one millimetre into the face
    ],
)
def test_cylinder_and_box(centre, axis, expected):
    """Worked by hand: the cylinder has radius 7 and half-height 5, the box spans 10..30, -8..8, -4..4."""
    cylinder = tyre(centre, axis, outer=7.0, half_width=5.0, shoulder=0.0, crown=np.inf)

    assert between(cylinder, BOX[FACES][None]).distance[0] == pytest.approx(expected, abs=1e-5)


def test_capsules_and_lines():
    """Two crossed rods, 12 apart, radii 3 and 2."""
    rod = Capsule(start=np.array([[-50.0, 0, 0]]), end=np.array([[50.0, 0, 0]]), radius=np.array([3.0]))
    other = np.array([[[[1.0, -50, 12], [1.0, 40, 12]]]])

    found = between(rod, other, thickness=2.0)

    assert found.distance[0] == pytest.approx(12 - 3 - 2, abs=1e-5)
    np.testing.assert_allclose(found.on_solid[0], [1, 0, 3], atol=0.02)
    np.testing.assert_allclose(found.on_piece[0], [1, 0, 10], atol=0.02)


SOLIDS = {
    "tyre": lambda n, rng: tyre(rng.normal(size=(n, 3)), random_directions(rng, n)),
    "cylinder": lambda n, rng: tyre(rng.normal(size=(n, 3)), random_directions(rng, n), shoulder=0.0, crown=np.inf),
    "tyre with a hole": lambda n, rng: tyre(rng.normal(size=(n, 3)), random_directions(rng, n), inner=19.0),
    "torus": lambda n, rng: torus(rng.normal(size=(n, 3)), random_directions(rng, n), large=25.0, small=5.0),
    "rim": lambda n, rng: Revolved(
        centre=rng.normal(size=(n, 3)), axis=random_directions(rng, n),
        section=Polygon(corners=np.array([[[15.0, -9.0], [19.0, -10.0], [19.0, 8.0], [14.0, 8.0]]]),
                        rounding=np.array([0.3])),
    ),
    "capsule": lambda n, rng: Capsule(
        start=rng.normal(size=(n, 3)) * 9, end=rng.normal(size=(n, 3)) * 9, radius=np.array([6.0])
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", SOLIDS)
def test_bounds_lie_below_the_distance_everywhere(kind):
    """What the whole search rests on: over random pieces no point is nearer than the bound says; nor over boxes."""
    rng = np.random.default_rng(7)
    n = 4000
    solids = SOLIDS[kind](n, rng)
    corners = rng.normal(size=(n, 1, 3)) * 20 + rng.normal(size=(n, 3, 3)) * rng.uniform(0.1, 20, size=(n, 1, 1))
    seen = solids.signed(corners.mean(axis=1))
    bound = solids.below(seen, corners).min(axis=1)
    low, high = corners.min(axis=1), corners.max(axis=1)
    seen_box = solids.signed((low + high) / 2)
    box_bound = solids.below_box(seen_box, (high - low) / 2)

    for _ in range(20):
        inside = np.einsum("nk,nki->ni", rng.dirichlet([0.5, 0.5, 0.5], size=n), corners)
        distance = solids.signed(inside).distance
        assert (distance >= bound - 1e-9).all()
        assert (distance >= box_bound - 1e-9).all()
        assert (solids.signed(low + rng.uniform(size=(n, 3)) * (high - low)).distance >= box_bound - 1e-9).all()


@pytest.mark.parametrize("kind", SOLIDS)
def test_gradient_is_the_distance_s_slope(kind):
    rng = np.random.default_rng(3)
    n, step = 2000, 1e-6
    solids = SOLIDS[kind](n, rng)
    points, way = rng.normal(size=(n, 3)) * 25, random_directions(rng, n)
    seen, ahead = solids.signed(points), solids.signed(points + step * way)

    slope = (ahead.distance - seen.distance) / step
    # Creases of the depth, where two faces are equally near, have no slope: they are few.
    assert np.mean(np.abs(slope - np.sum(way * seen.gradient, axis=-1)) > 1e-4) < 0.002


@pytest.mark.parametrize("kind", SOLIDS)
def test_agrees_with_brute_force_to_a_ten_thousandth(kind):
    """100 random poses against a triangle sampled ever finer around its best point, by nothing but `signed`."""
    rng = np.random.default_rng(11)
    n = 100
    solids = SOLIDS[kind](n, rng)
    corners = rng.normal(size=(n, 1, 3)) * 25 + rng.normal(size=(n, 3, 3)) * 10

    found = between(solids, corners[:, None])

    quarters = np.array(
        [[[1, 0, 0], [0.5, 0.5, 0], [0.5, 0, 0.5]], [[0.5, 0.5, 0], [0, 1, 0], [0, 0.5, 0.5]],
         [[0.5, 0, 0.5], [0, 0.5, 0.5], [0, 0, 1]], [[0.5, 0.5, 0], [0, 0.5, 0.5], [0.5, 0, 0.5]]]
    )  # fmt: skip
    for i in range(n):
        pieces, least = corners[i][None], np.inf
        for _ in range(20):  # the best 1,000 of ever smaller quarters: 10 mm / 2^20 in the end
            pieces = np.einsum("qab,pbi->qpai", quarters, pieces).reshape(-1, 3, 3)
            distance = solids.take(np.full(3 * len(pieces), i)).signed(pieces.reshape(-1, 3)).distance
            least = min(least, distance.min())
            pieces = pieces[np.argsort(distance.reshape(-1, 3).min(axis=1))[:1000]]
        assert found.distance[i] == pytest.approx(least, abs=1e-4)


def rods(rng, count):
    """Capsules; the last one is a ball."""
    start = rng.normal(size=(count, 3)) * 8
    end = start + rng.normal(size=(count, 3)) * 20
    end[-1] = start[-1]
    return Capsule(start=start, end=end, radius=rng.uniform(0.5, 6.0, count))


@pytest.mark.parametrize("compiled", [False, True])
@pytest.mark.parametrize("kind", ["tyres", "rods"])
def test_tree_agrees_with_looking_at_every_triangle(compiled, kind):
    """Two parts, 50 poses: nothing culled that held the least distance, over each pose and over all."""
    rng = np.random.default_rng(5)
    solids = rods(rng, 50) if kind == "rods" else tyre(rng.normal(size=(50, 3)) * 8, random_directions(rng, 50))
    parts = [rng.normal(size=(700, 1, 3)) * 40 + rng.normal(size=(700, 3, 3)) * 4, BOX[FACES]]
    tree = BoxTree.over(parts)

    each = tree.least(solids, over_all=False, compiled=compiled)
    overall = tree.least(solids, over_all=True, compiled=compiled)

    plain = np.stack([between(solids, part[None]).distance for part in parts], axis=-1)
    np.testing.assert_allclose(each.distance.reshape(50, 2), plain, atol=2e-5)
    np.testing.assert_allclose(overall.distance, plain.min(axis=0), atol=2e-5)
    assert (each.piece.reshape(50, 2)[:, 1] >= 700).all()
    again = between(solids.take(overall.solid), tree.triangles[overall.piece][:, None]).distance
    np.testing.assert_allclose(again, overall.distance, atol=2e-5)


def test_a_rod_is_a_section_turned_about_its_line():
    """Distance and direction, outside, inside and past its ends; on the line itself there is no direction."""
    rng = np.random.default_rng(8)
    count = 2000
    solids = rods(rng, count)
    points = np.concatenate([rng.normal(size=(count - 4, 3)) * 15, (solids.start + solids.end)[-4:] / 2])
    seen, turned = solids.signed(points), solids.turned().signed(points)
    np.testing.assert_allclose(turned.distance, seen.distance, atol=1e-9)
    np.testing.assert_allclose(turned.gradient[:-4], seen.gradient[:-4], atol=1e-7)


def test_what_is_beyond_the_distance_asked_for_is_not_looked_at():
    rng = np.random.default_rng(2)
    solids = tyre(rng.normal(size=(9, 3)) * 30, random_directions(rng, 9))
    tree = BoxTree.over([BOX[FACES] + 15.0])
    full = tree.least(solids, over_all=False)

    near = tree.least(solids, over_all=False, within=5.0)

    np.testing.assert_allclose(near.distance, np.minimum(full.distance, 5.0), atol=2e-5)
    assert ((near.solid < 0) == (full.distance >= 5.0)).all()


def library_mesh(around):
    """The tyre's surface as flat triangles for the library, vertices on the round surface."""
    half, shoulder, crown, outer = 11.5, 3.0, 60.0, 34.5
    edge, middle = half - shoulder, outer - crown
    slope = np.arcsin(edge / (crown - shoulder))
    count = max(4, around // 10)
    over, off = np.linspace(-slope, slope, count), np.linspace(slope, np.pi / 2, count)[1:]
    corner = middle + (crown - shoulder) * np.cos(slope)
    side = np.concatenate(
        [np.stack([corner + shoulder * np.cos(off), edge + shoulder * np.sin(off)], axis=-1), [[0.0, half]]]
    )
    line = np.concatenate(
        [(side * [1, -1])[::-1], np.stack([middle + crown * np.cos(over), crown * np.sin(over)], axis=-1), side]
    )
    angle = np.linspace(0, 2 * np.pi, around, endpoint=False)
    vertices = np.stack(
        [line[:, :1] * np.cos(angle), np.repeat(line[:, 1:], around, axis=1), line[:, :1] * np.sin(angle)], axis=-1
    ).reshape(-1, 3)
    i, j = (a.ravel() for a in np.meshgrid(np.arange(len(line) - 1), np.arange(around), indexing="ij"))
    a, b = i * around + j, i * around + (j + 1) % around
    return vertices, np.concatenate([np.stack([a, b, a + around], -1), np.stack([b, b + around, a + around], -1)])


def library_model(vertices, faces):
    model = fcl.BVHModel()
    model.beginModel(len(vertices), len(faces))
    model.addSubModel(vertices, faces)
    model.endModel()
    return model


def library_distance(model, centre, axis, other):
    """Distance of the two surfaces, and whether they cross."""
    turn = Motion.between(np.zeros(3), np.zeros(3), Y, axis).rotation
    wheel = fcl.CollisionObject(model, fcl.Transform(turn, centre))
    distance = fcl.distance(wheel, other, fcl.DistanceRequest(), fcl.DistanceResult())
    crossing = fcl.collide(wheel, other, fcl.CollisionRequest(), fcl.CollisionResult()) > 0
    return distance, crossing


def test_sign_agrees_with_a_collision_library_on_a_thousand_poses():
    """python-fcl, surface against surface: a patch that reaches through the tyre's side crosses it.

    Its tyre lies within 0.02 mm inside the round one (the sagitta of 200 chords, 34.5 (1 - cos(pi / 200)) = 0.004 mm,
    and of the shoulder's), so that poses nearer than that to touching may differ; there are a handful.
    """
    rng = np.random.default_rng(1)
    vertices, faces = library_mesh(200)
    model = library_model(vertices, faces)
    patch = np.array([[-60.0, -60, 0], [60, -60, 0], [60, 60, 0], [-60, 60, 0]])
    sheet = patch[np.array([[0, 1, 2], [0, 2, 3]])]
    other = fcl.CollisionObject(library_model(patch, np.array([[0, 1, 2], [0, 2, 3]])))
    centre, axis = rng.uniform(-1, 1, size=(1000, 3)) * [40, 40, 45], random_directions(rng, 1000)

    ours = between(tyre(centre, axis), sheet[None]).distance

    theirs = [library_distance(model, c, a, other)[1] for c, a in zip(centre, axis, strict=True)]
    sure = np.abs(ours) > 0.02
    assert sure.sum() > 980
    assert 200 < np.sum(ours < 0) < 950
    assert ((ours < 0) == np.array(theirs))[sure].all()


def test_distance_agrees_with_a_collision_library_and_more_so_with_a_finer_tyre():
    """python-fcl's tyre has flat triangles inside the round one: its distances are too large, by less each time."""
    rng = np.random.default_rng(4)
    centre, axis = rng.uniform(-1, 1, size=(60, 3)) * [20, 20, 6] + [0, 0, 48], random_directions(rng, 60)
    low = BOX[FACES] - [20, 0, 0]
    other = fcl.CollisionObject(library_model(BOX - [20, 0, 0], FACES))
    ours = between(tyre(centre, axis), low[None]).distance
    apart = ours > 0.1
    assert apart.sum() > 40

    errors = []
    for around in (50, 100, 200, 400):
        vertices, faces = library_mesh(around)
        model = library_model(vertices, faces)
        pairs = zip(centre[apart], axis[apart], strict=True)
        theirs = np.array([library_distance(model, c, a, other)[0] for c, a in pairs])
        assert (theirs > ours[apart] - 1e-4).all(), "flat triangles lie inside"
        errors.append(np.max(theirs - ours[apart]))

    assert errors[-1] < 0.005
    # Chords: the error falls with the square of their number. Half of that is asked for, the shoulder being coarser.
    assert all(fine < coarse / 2 for coarse, fine in pairwise(errors)), errors
