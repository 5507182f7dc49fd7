"""Kind (c): arcs that can be written down, freedoms that can be counted, strain that must come out."""

from dataclasses import replace

import numpy as np
import pytest

from coachwork.geometry.vectors import length
from coachwork.studies.linkage.live_axle import LEAF_ARC_SHARE, AxleLink, LiveAxle, leaf_sprung

CENTRE = np.array([0.0, 0.0, 18.0])
HEAVE = np.linspace(-12.0, 12.0, 7)


def link(name, chassis, axle):
    return AxleLink(name=name, chassis_ball=np.array(chassis, float), axle_ball=np.array(axle, float))


def lowers():
    return [link("lower left", (95, 28, 12), (4, 34, 10)), link("lower right", (95, -28, 12), (4, -34, 10))]


def uppers(splay):
    return [
        link("upper left", (60, 26 - splay, 32), (-2, 26, 34)),
        link("upper right", (60, splay - 26, 32), (-2, -26, 34)),
    ]


PANHARD = link("panhard", (-8, 42, 20), (-8, -40, 20))


@pytest.fixture
def three_link_panhard():
    return LiveAxle(links=(*lowers(), link("upper", (60, 8, 32), (-2, 10, 34)), PANHARD), centre=CENTRE)


@pytest.fixture
def four_link():
    return LiveAxle(links=(*lowers(), *uppers(18)), centre=CENTRE)


@pytest.fixture
def four_link_panhard():
    return LiveAxle(links=(*lowers(), *uppers(18), PANHARD), centre=CENTRE)


@pytest.mark.parametrize("name", ["three_link_panhard", "four_link"])
def test_four_links_leave_heave_and_roll(name, request):
    axle = request.getfixturevalue(name)
    assert (axle.mobility().freedoms, axle.mobility().redundant) == (2, 0)
    found = axle.poses(heave_mm=HEAVE[:, None], roll_rad=np.radians([-8.0, 0.0, 8.0]))
    assert found.assembles.all()
    for each in axle.links:
        now = length(found.axle.at(each.axle_ball) - each.chassis_ball)
        np.testing.assert_allclose(now, np.broadcast_to(each.length_mm, now.shape), atol=1e-10)
    np.testing.assert_allclose(found.axle.at(CENTRE)[..., 2], np.broadcast_to(18 + HEAVE[:, None], (7, 3)), atol=1e-10)
    np.testing.assert_allclose(np.degrees(found.roll_rad), np.broadcast_to([-8.0, 0.0, 8.0], (7, 3)), atol=1e-9)
    assert np.all(found.axle.at(CENTRE + np.array([0.0, 75.0, 0.0]))[:, 2, 2] > found.axle.at(CENTRE)[:, 2, 2])
    assert not found.stretch_mm[np.abs(found.stretch_mm) > 1e-10].size


def test_four_links_and_panhard_have_one_freedom(four_link_panhard):
    """Six ways to move, five links that each take one away."""
    assert four_link_panhard.mobility().freedoms == 1


def test_a_roll_that_nobody_asked_for_comes_with_heave(four_link_panhard):
    """With one freedom, heave alone places the axle, and the panhard's arc tilts it; no link is strained by that."""
    found = four_link_panhard.poses(heave_mm=HEAVE)
    assert found.assembles.all()
    assert np.abs(found.roll_rad[[0, -1]]).min() > 1e-3
    for each in four_link_panhard.links:
        now = length(found.axle.at(each.axle_ball) - each.chassis_ball)
        np.testing.assert_allclose(now, np.full(7, each.length_mm), atol=1e-10)


def test_the_link_too_many_is_strained_by_roll(four_link_panhard):
    """The stretches are true, and no small move of the axle at that heave and roll has a smaller sum of squares."""
    roll = np.radians(6.0)
    found = four_link_panhard.poses(heave_mm=0.0, roll_rad=roll)
    assert found.assembles
    assert found.stretch_mm.shape == (5,)
    assert np.abs(found.stretch_mm).max() > 0.05

    def stretches(motion):
        return np.array(
            [length(motion.at(e.axle_ball) - e.chassis_ball) - e.length_mm for e in four_link_panhard.links]
        )

    np.testing.assert_allclose(stretches(found.axle), found.stretch_mm, atol=1e-12)

    best = np.sum(found.stretch_mm**2)
    from coachwork.geometry.rigid import Motion

    rng = np.random.default_rng(3)
    for _ in range(200):
        # Yaw about z and pitch about the axle's own line change neither roll nor the centre's height.
        yaw = Motion.about(CENTRE, np.array([0.0, 0.0, 1.0]), rng.normal(0, 1e-3))
        pitch = Motion.about(CENTRE, np.array([0.0, 1.0, 0.0]), rng.normal(0, 1e-3))
        aside = Motion.by(np.array([*rng.normal(0, 0.05, 2), 0.0]))
        here = Motion.by(found.axle.at(CENTRE) - CENTRE)
        moved = aside @ here @ yaw @ here.inverse @ found.axle @ pitch
        assert np.isclose(moved.turn(np.array([0.0, 1.0, 0.0]))[2], np.sin(roll), atol=1e-12)
        assert np.isclose(moved.at(CENTRE)[2], 18.0, atol=1e-10)
        assert np.sum(stretches(moved) ** 2) > best


def test_taking_the_panhard_off_cures_it(four_link_panhard):
    links = tuple(link for link in four_link_panhard.links if link.name != "panhard")
    assert len(links) == len(four_link_panhard.links) - 1
    cured = replace(four_link_panhard, links=links)
    assert cured.mobility().freedoms == 2
    assert np.abs(cured.poses(heave_mm=0.0, roll_rad=np.radians(6.0)).stretch_mm).max() < 1e-10


def test_the_panhards_arc_is_a_circle(three_link_panhard):
    """A level bar of length L, trailing links level and alike: heave z moves the axle aside by L - sqrt(L^2 - z^2).

    The bar's axle end is towards the right, so the axle is drawn left, to the chassis end.
    """
    parallel = LiveAxle(
        links=(
            link("lower left", (95, 30, 10), (0, 30, 10)),
            link("lower right", (95, -30, 10), (0, -30, 10)),
            link("upper", (95, 0, 34), (0, 0, 34)),
            link("panhard", (0, 42, 18), (0, -40, 18)),
        ),
        centre=CENTRE,
    )
    found = parallel.poses(heave_mm=HEAVE, roll_rad=np.zeros(1))
    bar, arm = 82.0, 95.0
    aside, forward = bar - np.sqrt(bar**2 - HEAVE**2), arm - np.sqrt(arm**2 - HEAVE**2)
    centre = found.axle.at(CENTRE)
    # The parallel links follow the sideways move on spheres: the axle goes forward by a hair more than by their arc.
    forward = arm - np.sqrt(arm**2 - HEAVE**2 - centre[:, 1] ** 2)
    np.testing.assert_allclose(centre[:, 0], forward, atol=1e-10)
    # The bar in turn sees that forward move.
    aside = bar - np.sqrt(bar**2 - HEAVE**2 - forward**2)
    np.testing.assert_allclose(centre[:, 1], aside, atol=1e-10)
    np.testing.assert_allclose(found.axle.angle, 0.0, atol=1e-10)


def test_a_panhard_sets_the_roll_centre_near_its_middle(three_link_panhard):
    """Textbook: an axle on a panhard bar rolls about where the bar crosses the centre plane, here level at 20.

    Exact for trailing links that do not steer the axle in roll; ours do a little, so half a millimetre is allowed.
    """
    height = three_link_panhard.roll_centre_height_mm(heave_mm=0.0, roll_rad=0.0)
    assert abs(height - 20.0) < 0.5


def test_leaves_move_the_axle_on_three_quarters_of_their_half(four_link):
    """Level leaf halves of 60 mm: the axle moves forward by R - sqrt(R^2 - z^2), R = 45."""
    ends = {"eye": 60.0, "clamp": 0.0}
    points = {
        f"{side}_{end}": np.array([x, y, 14.0]) for side, y in (("left", 30), ("right", -30)) for end, x in ends.items()
    }
    axle = leaf_sprung(**points, centre=CENTRE)
    assert axle.mobility().freedoms == 2
    found = axle.poses(heave_mm=HEAVE, roll_rad=np.zeros(1))
    radius = LEAF_ARC_SHARE * 60.0
    np.testing.assert_allclose(found.axle.at(CENTRE)[:, 0], radius - np.sqrt(radius**2 - HEAVE**2), atol=1e-10)
    np.testing.assert_allclose(found.axle.at(CENTRE)[:, 1], 0.0, atol=1e-10)


def test_out_of_reach_says_so_without_nan(three_link_panhard):
    found = three_link_panhard.poses(heave_mm=np.array([0.0, 150.0]), roll_rad=np.zeros(1))
    np.testing.assert_array_equal(found.assembles, [True, False])
    assert found.open_mm[0] == 0.0
    assert found.open_mm[1] > 1.0
    assert np.isfinite(found.stretch_mm).all()


def test_too_few_links_are_refused():
    with pytest.raises(ValueError, match="cannot place an axle"):
        LiveAxle(links=tuple(lowers()), centre=CENTRE).poses(heave_mm=0.0, roll_rad=0.0)
