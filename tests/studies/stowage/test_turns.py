"""Ports and faces turn with their box."""

import numpy as np
import pytest

from coachwork.studies.stowage.turns import AXIS, FACES, Turn, exit_point, turns_on

OWN = np.array([[40.0, 30.0, 20.0]])


def test_there_are_24_turns_all_different_and_none_a_mirror():
    """A box has 24 proper rotations; a mirrored one would swap its left and right ports (determinant -1)."""
    matrices = [turn.matrix for turn in turns_on(FACES)]

    assert len({m.tobytes() for m in matrices}) == 24
    assert all(round(np.linalg.det(m)) == 1 for m in matrices)


@pytest.mark.parametrize("turn", turns_on(FACES), ids=lambda turn: turn.words)
def test_the_face_that_is_said_to_be_down_is(turn):
    assert turn.side_of(turn.down) == "bottom"


@pytest.mark.parametrize(
    ("turned", "front", "left"),
    [(None, "front", "left"), ("left", "left", "rear"), ("about", "rear", "right"), ("right", "right", "front")],
)
def test_quarters_seen_from_above(turned, front, left):
    """By hand: after a quarter to the left, a box's front looks to the vehicle's left, its left side to the rear."""
    assert Turn("bottom", turned).side_of("front") == front
    assert Turn("bottom", turned).side_of("left") == left


def test_tipped_onto_its_left_side_it_is_as_wide_as_it_was_high():
    """By hand: 40 long, 30 wide, 20 high; on its left side 20 wide and 30 high, its top to the vehicle's left."""
    turn = Turn("left", None)

    assert turn.sizes(OWN)[0].tolist() == [40.0, 20.0, 30.0]
    assert turn.side_of("top") == "left"
    assert turn.side_of("right") == "top"


@pytest.mark.parametrize("turn", turns_on(FACES), ids=lambda turn: turn.words)
@pytest.mark.parametrize("face", FACES)
def test_an_exit_stays_on_its_face(turn, face):
    """After any turn it is half a box's size off the middle on the side its face looks to."""
    at = turn.offset(exit_point(face, OWN, across_mm=np.array([3.0]), up_mm=np.array([-2.0])))[0]
    axis, sense = AXIS[turn.side_of(face)]

    assert at[axis] == pytest.approx(sense * turn.sizes(OWN)[0, axis] / 2)
    assert sorted(abs(at[a]) for a in range(3) if a != axis) == pytest.approx([2.0, 3.0])
