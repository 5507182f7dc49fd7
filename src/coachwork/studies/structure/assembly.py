"""Chassis, door and the axles' stiff ends joined: how the whole twists and sags, in five idealisations of the door.

open    the door is off
pushed  its lips only push, as far as they bear; what holds it sideways (pins, tongues, fitting edges) holds
slides  no lip lifts, as when it is screwed down with play round the screws; all of them slide
tied    its pads hold in all three directions: no lip lifts, nothing slides
bonded  its pads are welded on, turns and all: more than any door can do

The truth with the door on lies between pushed and tied, and never beyond open and bonded. Slides lies between open and
tied; whether it is above pushed depends on which of the two the door's work needs, to be held down or to be held aside.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import Numbers
from coachwork.elasticity.flexibility import Kept
from coachwork.elasticity.joined import Body, Joint, Load, NotHeld, Settled, rigid_block, settle
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.jobs import CHASSIS, DOOR, ENDS, pieces
from coachwork.studies.structure.strengths import COMMAND, Strengths

Way = Literal["open", "pushed", "slides", "tied", "bonded"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Frame:
    """Chassis, and door where there is one, ready to be loaded.

    modulus_mpa : by part
    """

    strengths: Strengths
    modulus_mpa: Mapping[str, float]

    @property
    def chassis(self) -> Kept:
        """Of the chassis. Raises CannotBe where its finite elements were not run."""
        return kept_of(self.strengths, CHASSIS)

    @property
    def has_door(self) -> bool:
        """Whether a door was made."""
        return DOOR in self.strengths.parts

    def settled(self, way: Way, *, twist_n_mm: float = 0.0, front_n: float = 0.0, weight_n: float = 0.0) -> Settled:
        """Held at the rear end's block; bodies are the chassis, the door unless open, front and rear block.

        front_n, weight_n : lift at the front block, and the chassis's own weight pulling down
        """
        bodies = [Body(solid=self.chassis, modulus_mpa=self.modulus_mpa[CHASSIS])]
        joints: list[Joint] = []
        if way != "open":
            bodies.append(Body(solid=kept_of(self.strengths, DOOR), modulus_mpa=self.modulus_mpa[DOOR]))
            joints += list(_door_joints(self.strengths.parts[CHASSIS], self.strengths.parts[DOOR], way))
        first = len(bodies)
        for end in ENDS:
            middles = {
                name: middle for name, middle in zip(self.chassis.fittings, self.chassis.middle_mm, strict=True)
                if name.partition(".")[0] == end
            }  # fmt: skip
            bodies.append(rigid_block(np.mean(list(middles.values()), axis=0), middles))
            joints += [Joint(one=(0, name), other=(len(bodies) - 1, name)) for name in middles]
        free_to_pitch = np.delete(np.eye(6), 4, axis=0) if front_n or weight_n else np.eye(6)
        joints.append(Joint(one=(first + 1, "block"), along=free_to_pitch))
        if weight_n and not front_n:
            joints.append(Joint(one=(first, "block"), along=np.eye(6)[[2]]))
        load = Load(on=(first, "block"), six=np.array([0, 0, front_n, twist_n_mm, 0, 0]))
        weights = [np.array([0.0, 0.0, -weight_n]), *(np.zeros(3) for _ in bodies[1:])]
        try:
            return settle(bodies, joints, [load], weights)
        except NotHeld as no:
            raise CannotBe(f"chassis and door do not hold together: {no}") from None

    def twist_nmm_per_deg(self, way: Way) -> float:
        """Couple between the axles' ends for each degree, with the third order's correction."""
        settled = self.settled(way, twist_n_mm=1.0)
        stiff = np.pi / 180 / settled.motion(len(settled.bodies) - 2, "block")[3]
        return float(stiff * (1 - self.chassis.error("twist")))

    def sag_mm_per_n(self, way: Way) -> float:
        """Deepest between the axles' ends, which stay where they are, under a newton spread as its own weight."""
        settled = self.settled(way, weight_n=1.0)
        x = self.chassis.sections_mm[:, 0]
        rear, front = sorted(self._ends_mm())
        between = (x > rear) & (x < front)
        if not between.any():
            raise CannotBe("the chassis's longest extent does not lie along the vehicle; both ends' screws must")
        return float(-settled.sections_mm(0)[between, 2].min() / (1 - self.chassis.error("bending")))

    @property
    def span_mm(self) -> float:
        """Between the middles of both ends' screws."""
        rear, front = sorted(self._ends_mm())
        return front - rear

    def _ends_mm(self) -> list[float]:
        """Where along the vehicle the ends' screws have their middles: the blocks, which do not sink."""
        middles = zip(self.chassis.fittings, self.chassis.middle_mm, strict=True)
        at = [(name.partition(".")[0], float(middle[0])) for name, middle in middles]
        return [float(np.mean([x for pattern, x in at if pattern == end])) for end in ENDS]


def kept_of(strengths: Strengths, name: str) -> Kept:
    """What finite elements found of a part. Raises CannotBe with what to run."""
    if name not in strengths.parts:
        raise CannotBe(f"no {name} stands made as the build asks now; run coachwork make, then {COMMAND}")
    if name not in strengths.kept:
        raise CannotBe(f"not computed yet for the {name} as it is now; run {COMMAND}")
    return strengths.kept[name]


def _door_joints(chassis: PartSolid, door: PartSolid, way: Way) -> list[Joint]:
    """At each pad that both parts name. Raises CannotBe where there are none."""
    theirs = {piece.name for pad in door.pads for piece, _ in pieces(pad)}
    joints: list[Joint] = []
    for pad in chassis.pads:
        normal = np.array(pad.normal) / np.linalg.norm(pad.normal)
        along = np.array(pad.along) / np.linalg.norm(pad.along)
        across = np.cross(normal, along)
        for piece, _ in pieces(pad):
            if piece.name not in theirs:
                continue
            ends = (0, piece.name), (1, piece.name)
            if way == "bonded":
                joints.append(Joint(one=ends[0], other=ends[1]))
            elif way == "slides":
                joints.append(Joint(one=ends[0], other=ends[1], along=_shift(normal)))
            elif way == "tied":
                joints.append(Joint(one=ends[0], other=ends[1], along=np.eye(6)[:3]))
            else:
                joints.append(Joint(one=ends[0], other=ends[1], along=_shift(normal), only_push=True))
                if pad.carries == "shear":
                    joints.append(Joint(one=ends[0], other=ends[1], along=np.vstack([_shift(along), _shift(across)])))
    if not joints:
        raise CannotBe("chassis and battery door name no pads of the same name that they bear on each other with")
    return joints


def _shift(direction: Numbers) -> Numbers:
    return np.concatenate([direction, np.zeros(3)])[None, :]
