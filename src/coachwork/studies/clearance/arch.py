"""The measured wheel arch as a solid, where there is no scan: a wall with a round opening, as thick as its lip.

       ___---___          from the side: the circle through the arch's top and the two edges of its opening at the
     /           \\        height of the wheel's centre
    |      o      |       from behind: the wall from the lip's outer face inward by the lip's thickness
----'             '----   sill
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from coachwork.build import Length, Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.outline import Arch, Shell
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.shapes import Bodies, Standing
from coachwork.studies.parts import CannotBe

SEGMENTS = 180  # of the opening: half outside, half inside the circle, by 0.001 mm at a radius of 43
WALL_MM = 20.0  # how far the wall is followed away from the opening


@dataclass(frozen=True, eq=False, kw_only=True)
class Opening:
    """One end's arch openings in the chassis frame; (samples,), mm."""

    x: Numbers
    z: Numbers  # centre of the circle
    radius: Numbers
    sill: Numbers
    outside: Numbers  # y of the left lip's outer face
    lip: Numbers


def opening(
    shell: Shell, changes: Changes, *, end: str, wheel_height: Numbers, ride_height: Length, rear_shift: Numbers | None
) -> Opening:
    """From what was measured of it. Raises NotMeasured; CannotBe where its top is no higher than the wheel's centre.

    wheel_height : of the wheel's centre over the underside, at ride height
    ride_height  : asked only where nothing says how the posts hold the shell
    """
    arch: Arch = getattr(shell, end)
    chord: Length = getattr(shell, f"arch_opening_{end}")
    require(arch.top, arch.across, arch.lip, chord, changes.front_arch_from_axle)
    x = changes.front_arch_from_axle.mm
    if rear_shift is not None:
        require(shell.wheelbase)
        x = x - shell.wheelbase.mm
    if changes.sill_above_underside.known:
        sill = changes.sill_above_underside.mm
    else:
        require(shell.sill_height, ride_height)
        sill = shell.sill_height.mm - ride_height.mm
    top, half = sill + arch.top.mm, chord.mm / 2
    rise = top - wheel_height
    if rise.size == 1 and rise[0] <= 0:
        raise CannotBe(f"the {end} arch's top lies {-rise[0]:.1f} mm below the wheel's centre")
    radius = (half**2 + rise**2) / (2 * np.maximum(rise, 1.0))
    return Opening(
        x=x, z=top - radius, radius=radius, sill=sill, outside=arch.across.mm / 2, lip=np.minimum(arch.lip.mm, 20.0)
    )


def triangles(arch: Opening, *, right: bool, only: int | None = None) -> Array:
    """The lip's edge and both faces of the wall around it, (samples, triangles, 3 corners, 3).

    only : one of the triangles by its number, which is all that many samples are asked for
    """
    numbers = np.broadcast_arrays(arch.x, arch.z, arch.radius, arch.sill, arch.outside, arch.lip)
    x, z, radius, sill, outside, lip = (number[:, None] for number in numbers)
    face, half = divmod((only or 0) // SEGMENTS, 2)
    steps = np.arange(SEGMENTS + 1) if only is None else (only % SEGMENTS) + np.arange(2)
    low = np.arcsin(np.clip((sill - z) / radius, -0.99, 0.99))
    angle = low + (np.pi - 2 * low) * steps / SEGMENTS
    edge = radius * 2 / (1 + np.cos((np.pi - 2 * low) / SEGMENTS / 2))

    def ring(size: Array, across: Array) -> Array:
        points = (x + size * np.cos(angle), across + 0 * angle, z + size * np.sin(angle))
        return np.stack(points, axis=-1)

    inner = outside - lip
    rings = ((edge + WALL_MM, outside), (edge, outside), (edge, inner), (edge + WALL_MM, inner))
    pairs = list(pairwise(rings))
    chosen = pairs if only is None else [pairs[face]]
    faces = [halves for one, other in chosen for halves in _between(ring(*one), ring(*other))]
    corners = np.concatenate(faces, axis=1) if only is None else faces[half]
    return corners * np.array([1.0, -1.0, 1.0]) if right else corners


def _between(one: Array, other: Array) -> list[Array]:
    return [
        np.stack([one[:, :-1], one[:, 1:], other[:, 1:]], axis=2),
        np.stack([one[:, :-1], other[:, 1:], other[:, :-1]], axis=2),
    ]


@dataclass(frozen=True, eq=False, kw_only=True)
class ArchWall(Standing):
    """The wall around one opening, as a shape that stands still."""

    opening: Opening
    right: bool

    def pieces(self, bodies: Bodies) -> tuple[Array, Array]:
        """All triangles."""
        made = triangles(self.opening, right=self.right)
        return made, np.zeros((1, made.shape[1]))

    def piece(self, bodies: Bodies, index: int) -> tuple[Array, Array]:
        """One triangle."""
        return triangles(self.opening, right=self.right, only=index)[:, 0], np.zeros(1)
