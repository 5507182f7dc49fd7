"""Kind (c): a live axle, one rigid body across the vehicle, on links with a ball at either end, or on leaf springs.

    3-link + panhard : two lower links, one upper, one sideways bar            4 links, 2 freedoms: heave and roll
    4-link           : two lower, two upper ones splayed in the plan view      4 links, 2 freedoms
    4-link + panhard : one link too many; 1 freedom is left, and roll strains  5 links, 1 freedom
    leaf springs     : each front half as its equivalent link; the leaves hold the axle sideways and against wind-up

Any list of links will do. Solved by `geometry.linked_bodies`: heave and roll are driven, the links close the loops.
Where there are too many links for that, they stretch by the least sum of squares, which is what equally stiff links
(and whatever they are screwed to) would do. The frame is the chassis's, both sides in it: here right is not mirrored.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.linked_bodies import Mobility, assemble, mobility
from coachwork.geometry.mechanism import Body, Constraint, Distance, Inclination, Position
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array, frozen, length

X, Y, Z = np.eye(3)
# Equivalent link of a leaf spring's half: the clamped end moves on an arc of three quarters of its length, whose centre
# lies a quarter of the way in from the eye. After SAE HS-788, Manual on Design and Application of Leaf Springs (from
# memory); for leaves of constant thickness and width along the half it is nearer 0.83, so an arc some 10 % flatter.
LEAF_ARC_SHARE = 0.75


@dataclass(frozen=True, eq=False, kw_only=True)
class AxleLink:
    """A link between a ball on the chassis and a ball on the axle, drawn, (..., 3)."""

    name: str  # the builder's word for it, for reports
    chassis_ball: Array
    axle_ball: Array
    length_mm: Array | None = None  # (...), the drawn distance if left out

    def __post_init__(self) -> None:
        """Fill in the length left out, write-protect the arrays."""
        drawn = length(np.subtract(self.axle_ball, self.chassis_ball))
        object.__setattr__(self, "length_mm", frozen(drawn if self.length_mm is None else self.length_mm))
        object.__setattr__(self, "chassis_ball", frozen(self.chassis_ball))
        object.__setattr__(self, "axle_ball", frozen(self.axle_ball))


@dataclass(frozen=True, eq=False, kw_only=True)
class AxlePoses:
    """The axle in many poses; every array has the batch axes (...)."""

    axle: Motion  # NaN where no pose was found
    assembles: NDArray[np.bool_]  # (...), with links that may stretch: True although they do
    roll_rad: Array  # (...), positive lifts the left wheel over the chassis
    stretch_mm: Array  # (..., links), by which each link would have to be longer; 0 where it need not
    open_mm: Array  # (...), by how far the worst link misses where no pose was found, else 0


@dataclass(frozen=True, eq=False, kw_only=True)
class LiveAxle:
    """The links, and the point whose height is the axle's heave, drawn, (..., 3), on the axle's own line."""

    links: tuple[AxleLink, ...]
    centre: Array
    held_by_leaves: bool = False  # leaves keep the centre from moving sideways and the axle from turning about its line

    def mobility(self) -> Mobility:
        """Freedoms that the links leave to the axle: two are wanted, heave and roll. First order, as drawn."""
        body, links, leaves = self._parts()
        return mobility([body], [*links, *leaves])

    def poses(self, *, heave_mm: Array, roll_rad: Array | None = None) -> AxlePoses:
        """Where the axle is for a rise of its centre and a roll over the chassis, both (...).

        roll_rad : left out, an axle with one freedom takes the roll that its links impose
        More links than freedoms to take away: with a roll given they yield, and `stretch_mm` is what it costs.
        Roll is the slope of the axle's line over the chassis's y axis, whichever way the axle is yawed.
        """
        body, links, leaves = self._parts()
        constraints: list[Constraint] = [*links, *leaves]
        heave = Position(body=body, point=self.centre, direction=Z, value=self.centre[..., 2] + heave_mm)
        constraints.append(heave)
        if roll_rad is not None:
            sine = np.sin(np.asarray(roll_rad, dtype=float))
            constraints.append(Inclination(body=body, direction=Y, against=Z, value=sine))
        yielding = links if len(constraints) > 6 else ()
        if len(constraints) < 6:
            raise ValueError(f"{len(constraints)} conditions cannot place an axle, which can move in 6 ways")
        found = assemble([body], constraints, yielding=yielding)
        axle = found.motion(body)
        stretch = found.residual[..., : len(links)]
        ok = found.converged
        return AxlePoses(
            axle=axle,
            assembles=ok,
            roll_rad=np.arcsin(axle.turn(Y)[..., 2]),
            stretch_mm=np.where(ok[..., None], stretch, 0.0),
            open_mm=np.where(ok, 0.0, np.nan_to_num(np.abs(stretch).max(axis=-1), nan=np.inf)),
        )

    def roll_centre_height_mm(self, *, heave_mm: Array, roll_rad: Array) -> Array:
        """Height over the datum plane at which roll moves the axle's transverse plane up and down only: (...).

        Central difference over 2e-4 rad of roll: off by the axle's size times 1e-8, and rounding of the same order.
        """
        step = 1e-4
        ahead, behind = (self.poses(heave_mm=heave_mm, roll_rad=roll_rad + sign * step).axle for sign in (1, -1))
        now = self.poses(heave_mm=heave_mm, roll_rad=roll_rad).axle
        centre = now.at(self.centre)
        above = centre + Z  # two points of the axle one above the other give its sideways speed as a line over height
        low, high = ((ahead.at(now.back(p)) - behind.at(now.back(p)))[..., 1] / (2 * step) for p in (centre, above))
        return np.asarray(centre[..., 2] - low / (high - low))

    def _parts(self) -> tuple[Body, list[Distance], list[Constraint]]:
        body = Body(joint="free", point=self.centre)
        links = [
            Distance(body=body, point=each.axle_ball, other_point=each.chassis_ball, distance=_length(each))
            for each in self.links
        ]
        if not self.held_by_leaves:
            return body, links, []
        sideways = Position(body=body, point=self.centre, direction=Y, value=np.asarray(self.centre)[..., 1])
        return body, links, [sideways, Inclination(body=body, direction=X, against=Z, value=np.zeros(()))]


def leaf_sprung(*, left_eye: Array, left_clamp: Array, right_eye: Array, right_clamp: Array, centre: Array) -> LiveAxle:
    """An axle on two leaf springs, from their fixed eyes and where they are clamped to the axle, drawn, (..., 3).

    Left out: wind-up under drive and braking, the leaves' sideways give, the shackle's effect on the eye. The axle's
    rotation about its own line is held, which a real leaf does only as far as it is stiff.
    """
    links = tuple(
        AxleLink(name=name, chassis_ball=clamp + LEAF_ARC_SHARE * (eye - clamp), axle_ball=clamp)
        for name, eye, clamp in (("left leaf", left_eye, left_clamp), ("right leaf", right_eye, right_clamp))
    )
    return LiveAxle(links=links, centre=centre, held_by_leaves=True)


def _length(link: AxleLink) -> Array:
    assert link.length_mm is not None
    return link.length_mm
