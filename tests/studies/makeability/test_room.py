"""Does a part fit, however it is turned: against what geometry says."""

import itertools
import math

import numpy as np
import pytest

from coachwork.studies.makeability.room import best_turn


def box(*sizes: float) -> np.ndarray:
    return np.array(list(itertools.product(*((0.0, size) for size in sizes))))


def test_a_box_in_a_box_lies_flat():
    """Longest side to longest: 200 - 100, 110 - 50 and 60 - 20 are left; no box is thinner than its thinnest side."""
    roomed = best_turn(box(100, 50, 20), np.array([110.0, 60.0, 200.0]))

    assert roomed.left_mm == pytest.approx(40.0, abs=0.01)
    assert roomed.room_mm == (200.0, 110.0, 60.0)


def test_a_thin_rod_lies_along_the_cube_s_diagonal():
    """sqrt(3) times the side, less nothing for its thickness."""
    rod = box(340.0, 0.0, 0.0)

    assert best_turn(rod, np.array([200.0] * 3)).left_mm == pytest.approx(200 - 340 / math.sqrt(3), abs=0.3)


def test_a_plate_fits_a_square_bed_only_when_turned():
    """A strip of 270 x 10 in a square of 200: turned 45 degrees it takes (270 + 10) / sqrt(2) = 198.0; it is 5 thick,
    so that under a ceiling of 7 no tilt can leave more than 2.
    """
    roomed = best_turn(box(270.0, 10.0, 5.0), np.array([200.0, 200.0, 7.0]))

    assert roomed.left_mm == pytest.approx(2.0, abs=0.02)


def test_what_is_too_long_is_told_by_how_much():
    roomed = best_turn(box(300.0, 250.0, 250.0), np.array([250.0] * 3))

    assert roomed.left_mm == pytest.approx(-50.0, abs=0.5)
    one, other = roomed.ends_mm
    assert abs(one[0] - other[0]) == pytest.approx(300.0), "the ends along the side that is too long"


def test_turning_the_part_beforehand_changes_nothing():
    part, room = box(180.0, 90.0, 30.0), np.array([170.0, 120.0, 100.0])
    angle = 0.6
    turn = np.array([[math.cos(angle), -math.sin(angle), 0], [math.sin(angle), math.cos(angle), 0], [0, 0, 1]])

    assert best_turn(part @ turn.T, room).left_mm == pytest.approx(best_turn(part, room).left_mm, abs=0.3)
