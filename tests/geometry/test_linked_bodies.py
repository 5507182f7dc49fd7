"""The general solver on mechanisms that can be worked out by hand, and its derivatives against differences."""

import numpy as np
import pytest

from coachwork.geometry.linked_bodies import NotAssembledError, assemble, mobility
from coachwork.geometry.mechanism import Body, Distance, Inclination, Pose, Position, Turn, equations

X, Y, Z = np.eye(3)
ORIGIN = np.zeros(3)


def crank_and_rocker(crank_end=(0.0, 3.0, 0.0), coupler=5.0):
    """A planar four-bar about z: crank 3 at the origin, rocker 4 at (5, 0, 0), both drawn upright."""
    crank = Body(joint="hinge", point=ORIGIN, direction=Z)
    rocker = Body(joint="hinge", point=5.0 * X, direction=Z)
    tips = {"body": crank, "point": np.array(crank_end), "other": rocker, "other_point": np.array([5.0, 4.0, 0.0])}
    return crank, rocker, Distance(**tips, distance=np.array(coupler))


def test_a_crank_and_its_rocker_by_hand():
    """Crank a quarter turn on: its tip is at (-3, 0); rocker's tip is 4 from (5, 0) and sqrt(26) from there."""
    crank, rocker, coupler = crank_and_rocker(coupler=np.sqrt(26.0))
    found = assemble([crank, rocker], [Turn(body=crank, angle=np.array(np.pi / 2)), coupler]).checked()
    tip = found.motion(rocker).at(np.array([5.0, 4.0, 0.0]))
    along = (26.0 - 16.0 + 64.0) / 16.0  # from the crank's tip, along the line of 8 to the rocker's pin
    np.testing.assert_allclose(tip, [-3.0 + along, np.sqrt(26.0 - along**2), 0.0], atol=1e-10)


def test_freedoms_of_textbook_linkages():
    """A four-bar has one, one bar more and it is a frame; a body on six links has none, on five one."""
    crank, rocker, coupler = crank_and_rocker()
    assert mobility([crank, rocker], [coupler]).freedoms == 1
    brace = Distance(body=crank, point=3.0 * Y, other_point=np.array([4.0, 4.0, 0.0]), distance=np.array(np.sqrt(17.0)))
    assert mobility([crank, rocker], [coupler, brace]).freedoms == 0

    rng = np.random.default_rng(2)
    plate = Body(joint="free", point=ORIGIN)
    legs = [
        Distance(body=plate, point=p, other_point=q, distance=np.linalg.norm(p - q))
        for p, q in rng.normal(0, 10, (6, 2, 3))
    ]
    assert mobility([plate], legs).freedoms == 0
    assert mobility([plate], legs[:5]).freedoms == 1
    doubled = mobility([plate], [*legs[:5], legs[0]])
    assert (doubled.freedoms, doubled.redundant) == (1, 1)


def test_freedoms_do_not_hang_on_the_unit_of_length():
    rng = np.random.default_rng(4)
    ends = rng.normal(0, 10, (4, 2, 3))
    for unit in (1e-3, 1.0, 1e3):
        plate = Body(joint="free", point=ORIGIN)
        legs = [
            Distance(body=plate, point=unit * p, other_point=unit * q, distance=unit * np.linalg.norm(p - q))
            for p, q in ends
        ]
        level = Inclination(body=plate, direction=Y, against=Z, value=np.array(0.0))
        assert mobility([plate], [*legs, level]).freedoms == 1


def test_derivatives_are_those_of_the_constraints():
    """Central differences of step 1e-6 through every kind of joint, one on another: errors and rounding under 1e-8."""
    rng = np.random.default_rng(9)
    base = Body(joint="free", point=rng.normal(size=3))
    middle = Body(joint="hinge", point=rng.normal(size=3), direction=rng.normal(size=3), on=base)
    tip = Body(joint="ball", point=rng.normal(size=3), on=middle)
    constraints = [
        Distance(body=tip, point=rng.normal(size=3), other_point=5 + rng.normal(size=3), distance=np.array(1.0)),
        Distance(
            body=tip, point=rng.normal(size=3), other=base, other_point=rng.normal(size=3), distance=np.array(1.0)
        ),
        Position(body=middle, point=rng.normal(size=3), direction=rng.normal(size=3), value=np.array(1.0)),
        Inclination(body=tip, direction=rng.normal(size=3), against=rng.normal(size=3), value=np.array(0.1)),
        Turn(body=middle, angle=np.array(0.2)),
    ]
    start = Pose.drawn([base, middle, tip], ()).moved(rng.normal(0, 0.5, 10))
    _, jacobian = equations(start, constraints)
    for rate in range(10):
        step = 1e-6 * np.eye(10)[rate]
        ahead, behind = (equations(start.moved(sign * step), constraints)[0] for sign in (1, -1))
        np.testing.assert_allclose(jacobian[:, rate], (ahead - behind) / 2e-6, atol=1e-7)


def test_each_pose_converges_or_fails_on_its_own():
    """Coupler lengths from too short to too long: only 5 +- what crank and rocker can bridge."""
    crank, rocker, coupler = crank_and_rocker(coupler=np.array([0.5, 5.0, 50.0]))
    found = assemble([crank, rocker], [Turn(body=crank, angle=np.array(0.0)), coupler])
    np.testing.assert_array_equal(found.converged, [False, True, False])
    assert np.isnan(found.motion(rocker).shift[[0, 2]]).all()
    assert np.abs(found.residual[1]).max() < 1e-11
    assert np.isfinite(found.residual).all()
    with pytest.raises(NotAssembledError, match="2 poses stay open by up to") as raised:
        found.checked()
    # At best the rocker's tip is 4 on from its pin, in line: 50 - (sqrt(34) + 4) stay open, or more.
    assert raised.value.residual >= 50.0 - (np.sqrt(34.0) + 4.0) - 1e-9
    assert raised.value.poses == 2


def test_constraints_that_yield_share_the_misfit_evenly():
    """A slider between two links of 10, 21 apart: each must stretch by half a unit."""
    slider = Body(joint="free", point=ORIGIN)
    links = [Distance(body=slider, point=ORIGIN, other_point=end * X, distance=np.array(10.0)) for end in (-12.0, 9.0)]
    held = [Position(body=slider, point=ORIGIN, direction=axis, value=np.array(0.0)) for axis in (Y, Z)]
    level = [
        Inclination(body=slider, direction=one, against=other, value=np.array(0.0))
        for one, other in ((X, Y), (Y, Z), (Z, X))
    ]
    found = assemble([slider], [*links, *held, *level], yielding=links).checked()
    np.testing.assert_allclose(found.residual, [0.5, 0.5, 0, 0, 0, 0, 0], atol=1e-9)
    np.testing.assert_allclose(found.motion(slider).shift, [-1.5, 0.0, 0.0], atol=1e-9)


def test_walking_in_stages_ends_at_the_same_place():
    crank, rocker, coupler = crank_and_rocker(coupler=np.sqrt(26.0))
    wanted = [Turn(body=crank, angle=np.linspace(-0.8, 0.8, 5)), coupler]
    at_once, walked = (assemble([crank, rocker], wanted, stages=stages).checked() for stages in (1, 6))
    np.testing.assert_allclose(walked.motion(rocker).shift, at_once.motion(rocker).shift, atol=1e-10)
    assert walked.iterations >= 6
