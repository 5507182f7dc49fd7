"""A swing must satisfy what defines it: the distance holds, the circle is kept, the drawn side is kept."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from coachwork.geometry.circle_sphere import Pin, swing
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import length, unit

coordinate = st.floats(-50, 50)
point = st.tuples(coordinate, coordinate, coordinate).map(np.array)


def draw(pin_point, direction, body_point, ball):
    """A case worth asking about: nothing within a tenth of the pin, so that angles are well defined."""
    if length(direction) < 0.1:
        return None
    pin = Pin(pin_point, unit(direction))
    off_axis = [length(np.cross(p - pin_point, pin.direction)) for p in (body_point, ball)]
    return pin if min(off_axis) > 0.1 else None


@given(point, point, point, point, st.floats(-3.0, 3.0))
def test_the_answer_lies_on_circle_and_sphere(pin_point, direction, body_point, ball, angle):
    pin = draw(pin_point, direction, body_point, ball)
    if pin is None:
        return
    distance = length(Motion.about(pin.point, pin.direction, np.array(angle)).at(body_point) - ball)
    found = swing(pin, body_point, drawn_ball=ball, ball=ball, distance=distance)
    if not found.room > 1e-3:  # in line with the pin the angle is as uncertain as the root of the rounding
        return
    moved = found.motion.at(body_point)
    np.testing.assert_allclose(length(moved - ball), distance, atol=1e-8)
    np.testing.assert_allclose(length(moved - pin.point), length(body_point - pin.point), atol=1e-9)
    np.testing.assert_allclose(np.dot(moved - body_point, pin.direction), 0.0, atol=1e-9)
    np.testing.assert_allclose(found.cosine**2 + found.sine**2, 1.0, atol=1e-9)


@given(point, point, point, point)
def test_the_drawn_distance_gives_the_drawn_pose(pin_point, direction, body_point, ball):
    pin = draw(pin_point, direction, body_point, ball)
    if pin is None:
        return
    found = swing(pin, body_point, drawn_ball=ball, ball=ball, distance=length(body_point - ball))
    if not found.room > 1e-3:
        return
    np.testing.assert_allclose(found.angle, 0.0, atol=1e-7)


def test_a_right_triangle_by_hand():
    """Pin along z at the origin, point at (3, 0, 0), ball at (0, 4, 0): 5 apart as drawn; sqrt(3^2 + 4^2) = 5."""
    pin = Pin(np.zeros(3), np.array([0.0, 0.0, 1.0]))
    drawn = {"drawn_ball": np.array([0.0, 4.0, 0.0]), "ball": np.array([0.0, 4.0, 0.0])}
    found = swing(pin, np.array([3.0, 0.0, 0.0]), **drawn, distance=np.array([5.0, 1.0, 7.0, 0.75, 7.25]))
    np.testing.assert_allclose(found.angle[:3], [0.0, np.pi / 2, -np.pi / 2], atol=1e-7)
    assert np.isnan(found.angle[3:]).all()
    np.testing.assert_allclose(found.room, [2.0, 0.0, 0.0, -0.25, -0.25], atol=1e-12)


def test_a_ball_out_of_the_plane_keeps_its_height():
    """As above with the ball 12 higher: distances are hypotenuses, 13 for 5 in the plane (5, 12, 13)."""
    pin = Pin(np.zeros(3), np.array([0.0, 0.0, 1.0]))
    ball = np.array([0.0, 4.0, 12.0])
    found = swing(pin, np.array([3.0, 0.0, 0.0]), drawn_ball=ball, ball=ball, distance=np.array([13.0, 11.0]))
    np.testing.assert_allclose(found.angle[0], 0.0, atol=1e-12)
    np.testing.assert_allclose(found.room, [np.hypot(7, 12) - 13, 11 - np.hypot(1, 12)], atol=1e-12)
