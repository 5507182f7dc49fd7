"""A corner that only rises and steers, so that its distances can be worked by hand; the demonstration vans."""

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.geometry.rigid import Motion
from coachwork.plan import Plan
from coachwork.studies.clearance.corners import Pose
from coachwork.studies.clearance.shapes import Bodies

VANS = Path(__file__).parents[3] / "examples" / "harbour-mail-van"
UP = np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, eq=False, kw_only=True)
class Lift:
    """Its knuckle rises by 10 mm each way and steers by half a radian about the z axis through `about`."""

    name: str = "front left"
    right: bool = False
    about: np.ndarray = field(default_factory=lambda: np.zeros(3))

    @property
    def grid(self):
        travel, lock = np.meshgrid(np.linspace(-1, 1, 17), np.linspace(-1, 1, 25), indexing="ij")
        return np.stack([travel.ravel(), lock.ravel(), np.zeros(travel.size)], axis=-1)

    def bodies(self, shares):
        turn = Motion.about(self.about, UP, 0.5 * shares[:, 1])
        rise = 10.0 * shares[:, :1] * UP
        still = Motion(np.eye(3)[None], np.zeros((1, 3)))
        motions = {
            "chassis": still,
            "arm": Motion(np.eye(3)[None].repeat(len(shares), 0), rise),
            "knuckle": Motion(turn.rotation, turn.shift + rise),
        }
        return Bodies(motions=motions, count=len(shares), right=self.right, shift=np.zeros((1, 3)))

    def pose(self, share):
        return Pose(wheel=self.name, travel_mm=10 * share[0], travel_share=share[0], lock_share=share[1],
                    steer_rad=0.5 * share[1], roll_rad=(0.0, 0.0), steered=True)  # fmt: skip


@pytest.fixture
def lift():
    return Lift


@pytest.fixture(scope="session")
def found_plan():
    """The van as found, answered once: (build, plan, result)."""
    build = read(VANS / "as-found")
    plan = Plan()
    answers = plan.run(build, only=["clearance"])
    return build, plan, answers["clearance"].result
