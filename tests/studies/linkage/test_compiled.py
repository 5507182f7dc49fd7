"""The compiled closed form is the plain one: same poses, same answers where nothing assembles, any batch axes."""

import numpy as np
import pytest

from coachwork.studies.linkage.camber_link import CamberLinkCorner
from coachwork.studies.linkage.compiled import compiled_poses

ARM = np.radians(np.linspace(-30, 40, 23))[:, None]
RACK = np.linspace(-25.0, 25.0, 41)[:, None] * np.array([0.0, 1.0, 0.0])  # beyond lock at both ends


def same(corner, **drive):
    plain, compiled = corner.poses(**drive), compiled_poses(corner, **drive)
    for body in ("arm", "carrier", "knuckle"):
        for part in ("rotation", "shift"):
            one, other = getattr(getattr(plain, body), part), getattr(getattr(compiled, body), part)
            np.testing.assert_allclose(other, np.broadcast_to(one, other.shape), rtol=0, atol=1e-9)
    assert compiled.knuckle.shift.shape == plain.knuckle.shift.shape
    for name in ("upper_angle_rad", "knuckle_angle_rad", "upper_room_mm", "tie_rod_room_mm"):
        other = getattr(compiled, name)
        np.testing.assert_allclose(other, np.broadcast_to(getattr(plain, name), other.shape), rtol=0, atol=1e-9)
    return compiled


def test_over_travel_and_beyond_lock(front):
    compiled = same(front, arm_angle_rad=ARM, tie_rod_inner=front.tie_rod_inner + RACK)
    assert 0.3 < compiled.assembles.mean() < 0.9


def test_one_pose_and_samples_of_hardpoints_and_lengths(front_hardpoints):
    same(CamberLinkCorner(**front_hardpoints), arm_angle_rad=np.array(0.1))
    rng = np.random.default_rng(5)
    shaken = {name: point + rng.normal(0, 0.1, (6, 1, 1, 3)) for name, point in front_hardpoints.items()}
    many = CamberLinkCorner(**shaken, camber_link_length_mm=29.0 + rng.normal(0, 0.1, (6, 1, 1)))
    same(many, arm_angle_rad=ARM[::5], tie_rod_inner=many.tie_rod_inner + RACK[18:23])


def test_an_unsteered_corner_is_refused(front_hardpoints):
    rear = CamberLinkCorner(**{k: v for k, v in front_hardpoints.items() if not k.startswith(("kingpin", "tie_rod"))})
    with pytest.raises(ValueError, match="only steered corners"):
        compiled_poses(rear, arm_angle_rad=np.zeros(1))
