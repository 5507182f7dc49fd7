"""Joints, supports and one-sided lips between solids whose flexibility is a beam's."""

import numpy as np
import pytest

from coachwork.elasticity.flexibility import Flexibility
from coachwork.elasticity.joined import Body, Joint, Load, NotHeld, rigid_block, settle

LONG, AREA, SECOND, TWIST = 100.0, 80.0, 500.0, 400.0  # a beam along x; modulus 1, shear modulus 1


def beam(start: float = 0.0) -> Flexibility:
    """Euler and Bernoulli's, with fittings a and b at its ends; a is where its flexibility is reckoned from."""
    give = np.zeros((12, 12))
    b = slice(6, 12)
    own = np.diag(
        [LONG / AREA, LONG**3 / (3 * SECOND), LONG**3 / (3 * SECOND), LONG / TWIST, LONG / SECOND, LONG / SECOND]
    )
    own[1, 5] = own[5, 1] = LONG**2 / (2 * SECOND)
    own[2, 4] = own[4, 2] = -(LONG**2) / (2 * SECOND)
    give[b, b] = own
    middles = np.array([[start, 0, 0], [start + LONG, 0, 0]])
    return Flexibility(fittings=("a", "b"), middle_mm=middles, by_load=give, by_weight=np.zeros((12, 3)),
                       centre_mm=middles.mean(axis=0))  # fmt: skip


def six(**parts: float) -> np.ndarray:
    return np.array([parts.get(name, 0.0) for name in ("x", "y", "z", "rx", "ry", "rz")])


def test_a_cantilever_bends_by_the_book():
    settled = settle([Body(solid=beam())], [Joint(one=(0, "a"))], [Load(on=(0, "b"), six=six(z=1))])

    assert settled.motion(0, "b")[2] == pytest.approx(LONG**3 / (3 * SECOND))
    assert settled.joints[0] == pytest.approx([0, 0, 1, 0, -LONG, 0])  # what the support is pushed with


def test_two_beams_in_a_row_are_one_of_twice_the_length():
    bodies = [Body(solid=beam()), Body(solid=beam(LONG))]
    joints = [Joint(one=(0, "a")), Joint(one=(0, "b"), other=(1, "a"))]

    settled = settle(bodies, joints, [Load(on=(1, "b"), six=six(z=1))])

    assert settled.motion(1, "b")[2] == pytest.approx((2 * LONG) ** 3 / (3 * SECOND))


def test_held_at_both_ends_it_bends_by_the_book():
    """Roark: F L^3 / (192 E I), from memory."""
    bodies = [Body(solid=beam()), Body(solid=beam(LONG))]
    joints = [Joint(one=(0, "a")), Joint(one=(0, "b"), other=(1, "a")), Joint(one=(1, "b"))]

    settled = settle(bodies, joints, [Load(on=(0, "b"), six=six(z=1))])

    assert settled.motion(0, "b")[2] == pytest.approx((2 * LONG) ** 3 / (192 * SECOND))


def test_a_stiff_block_turns_as_one_piece():
    """Two beams side by side under one block: a couple about x pulls one up and pushes the other down."""
    left, right = beam(), beam()
    for solid, y in ((left, 10.0), (right, -10.0)):
        solid.middle_mm.flags.writeable = True
        solid.middle_mm[:, 1] = y
    block = rigid_block(np.array([LONG, 0, 0]), {"l": np.array([LONG, 10, 0]), "r": np.array([LONG, -10, 0])})
    ball = np.eye(6)[:3]
    joints = [
        Joint(one=(0, "a")),
        Joint(one=(1, "a")),
        Joint(one=(0, "b"), other=(2, "l"), along=ball),
        Joint(one=(1, "b"), other=(2, "r"), along=ball),
        Joint(one=(2, "block"), along=np.eye(6)[[4]]),
    ]

    settled = settle([Body(solid=left), Body(solid=right), block], joints, [Load(on=(2, "block"), six=six(rx=20))])

    assert settled.motion(2, "block")[3] == pytest.approx(LONG**3 / (3 * SECOND) / 10)


@pytest.mark.parametrize(("pull", "carried"), [(1.0, 0.0), (-1.0, 1.0)])
def test_a_lip_pushes_and_never_pulls(pull: float, carried: float):
    """A beam that lies on a support: lifted it comes off and bends alone; pressed it stays put."""
    lip = Joint(one=(0, "b"), along=six(z=-1)[None, :], only_push=True)

    settled = settle([Body(solid=beam())], [Joint(one=(0, "a")), lip], [Load(on=(0, "b"), six=six(z=pull))])

    assert settled.joints[1][0] == pytest.approx(carried, abs=1e-9)
    assert settled.motion(0, "b")[2] == pytest.approx(LONG**3 / (3 * SECOND) if pull > 0 else 0.0, abs=1e-6)


def test_many_lips_obey_their_inequalities():
    """Against any choice of which lips bear: none pulls, none that gapes pushes, none overlaps."""
    generator = np.random.default_rng(7)
    for _ in range(20):
        root = generator.normal(size=(12, 12))
        solid = Flexibility(fittings=("a", "b"), middle_mm=np.zeros((2, 3)), by_load=root @ root.T,
                            by_weight=np.zeros((12, 3)), centre_mm=np.zeros(3))  # fmt: skip
        lips = [Joint(one=(0, "b"), along=np.eye(6)[[k]], only_push=True) for k in range(6)]
        load = generator.normal(size=6)

        settled = settle([Body(solid=solid)], [Joint(one=(0, "a")), *lips], [Load(on=(0, "b"), six=load)])

        pushes = np.array([push[0] for push in settled.joints[1:]])
        gaps = -settled.motion(0, "b")
        assert pushes.min() > -1e-9
        assert gaps.min() > -1e-6 * np.abs(gaps).max() - 1e-9
        assert np.abs(pushes * gaps).max() < 1e-6 * max(1.0, np.abs(gaps).max())


def test_what_nothing_holds_is_said():
    with pytest.raises(NotHeld, match="not held"):
        settle([Body(solid=beam())], [Joint(one=(0, "a"), along=np.eye(6)[:3])], [Load(on=(0, "b"), six=six(z=1))])


def test_shifts_tied_at_two_places_do_not_hold_a_turn_of_the_whole():
    """Two meshes see one pad's middle a little apart; the joint must not mind a common turn."""
    bodies = [Body(solid=beam()), Body(solid=beam(LONG + 0.1))]
    joints = [Joint(one=(0, "a")), Joint(one=(0, "b"), other=(1, "a"))]

    settled = settle(bodies, joints, [Load(on=(0, "b"), six=six(ry=1))])

    turn = settled.motion(0, "b")[4]
    assert settled.motion(1, "a")[2] - settled.motion(0, "b")[2] == pytest.approx(-0.1 * turn)
    assert np.abs(settled.joints[1]).max() < 1e-9
