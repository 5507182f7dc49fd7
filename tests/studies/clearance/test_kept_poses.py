"""Poses taken from a set that was made before are those made by themselves."""

import numpy as np

from coachwork.studies.clearance.kept_poses import MOST_KEPT, KeptPoses


def test_some_poses_of_a_set_are_taken_from_it_and_others_made(lift):
    corner, kept, made = lift(), KeptPoses(), []

    def make(shares):
        made.append(len(shares))
        return corner.bodies(shares)

    grid = corner.grid
    kept.at(np.zeros((1, 3)), make, samples=1)
    whole = kept.at(grid, make, samples=1)
    assert kept.at(grid.copy(), make, samples=1) is whole
    some = grid[np.abs(grid[:, 1]) < 1e-9]
    taken = kept.at(some, make, samples=1)
    beyond = kept.at(np.r_[some, [[0.01, 0.02, 0]]], make, samples=1)

    assert made == [1, len(grid), len(some) + 1]
    alone = corner.bodies(some)
    assert taken.count == alone.count == len(some)
    for body, motion in alone.motions.items():
        np.testing.assert_array_equal(taken.motions[body].rotation, motion.rotation)
        np.testing.assert_array_equal(taken.motions[body].shift, motion.shift)
        assert len(beyond.motions[body].shift) in (1, len(some) + 1)


def test_many_samples_of_a_pose_are_kept_as_they_are(lift):
    """The rows are samples there, and no poses."""
    kept, pose = KeptPoses(), np.array([[0.5, 0.5, 0]])

    def make(shares):
        return lift().bodies(np.repeat(shares, 7, axis=0))

    first = kept.at(pose, make, samples=7)
    assert first.count == 7
    assert kept.at(pose, make, samples=7) is first


def test_what_is_kept_does_not_grow_for_ever(lift):
    kept = KeptPoses()
    for i in range(3 * MOST_KEPT):
        kept.at(np.array([[i / 1000, 0, 0]]), lift().bodies, samples=1)
    assert len(kept._sets) <= MOST_KEPT
    assert len(kept._places) <= MOST_KEPT
