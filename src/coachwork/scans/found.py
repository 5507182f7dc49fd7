"""A shell found in a mesh: its frame, its arches, its overall dimensions, each with its half-width."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from coachwork.errors import Unsure
from coachwork.geometry.rigid import Motion
from coachwork.quantity import LENGTH, Measured, Source
from coachwork.scans.arches import Arch, Side, find_arches
from coachwork.scans.axes import SillLine, sill_line, upright
from coachwork.scans.extents import Reach, reach
from coachwork.scans.hints import Hints
from coachwork.scans.mesh import Mesh, Numbers
from coachwork.scans.noise import roughness, spacing
from coachwork.scans.nose import Nose, nose_end
from coachwork.scans.seated import Wheel
from coachwork.scans.symmetry import symmetry_plane

Progress = Callable[[str, int, int], None]  # what is about to be done, how much is done, of how much
STAGES = ("plane of symmetry", "roof and sill", "wheel arches", "overall dimensions")
SQUARE = 0.02  # of the wheelbase: arches of one axle further apart than this along the body are not one axle's


@dataclass(frozen=True, eq=False, kw_only=True)
class FoundShell:
    """The shell in its own frame: x forward, y left, z up; origin on the centreline at the front arches' centre (or in
    the middle of the length where there is no pair), at the height of the sill, the lower edge of the sides.

    mesh                 : in that frame, mm
    shell_from_file      : carries the file's points, in mm, there
    mm_per_file_unit     : what the file's numbers were multiplied with first
    noise_mm, spacing_mm : standard deviation of a vertex across the surface; median edge
    symmetry_mm          : rms distance between the shell and its mirror image
    arches               : those found, by wheel
    nose, tail, top, left, right : how far the body reaches, from the frame's origin
    unsure               : sentences, each on something the builder has to settle
    """

    mesh: Mesh
    shell_from_file: Motion
    mm_per_file_unit: float
    noise_mm: float
    spacing_mm: float
    symmetry_mm: float
    sill: SillLine
    which_end: Nose
    arches: Mapping[Wheel, Arch]
    nose: Reach
    tail: Reach
    top: Reach
    left: Reach
    right: Reach
    unsure: tuple[str, ...]

    def pair(self, end: str) -> tuple[Arch, Arch] | None:
        """Left and right arch of an axle, where both were found."""
        left, right = (self.arches.get(f"{end} {side}") for side in ("left", "right"))  # type: ignore[call-overload]
        return None if left is None or right is None else (left, right)

    @property
    def length(self) -> Measured:
        """Foremost to rearmost point."""
        return length(self.nose.value + self.tail.value, np.hypot(self.nose.half, self.tail.half))

    @property
    def width(self) -> Measured:
        """Widest, across."""
        return length(self.left.value + self.right.value, np.hypot(self.left.half, self.right.half))

    @property
    def roof_over_sill(self) -> Measured:
        """Lower edge of the sides to the highest point."""
        return length(self.top.value, np.hypot(self.top.half, self.sill.half_height))

    @property
    def wheelbase(self) -> Measured | None:
        """Arch centre to arch centre, the mean of both sides."""
        front, rear = self.pair("front"), self.pair("rear")
        if front is None or rear is None:
            return None
        value = (front[0].x + front[1].x - rear[0].x - rear[1].x) / 2
        return length(value, np.linalg.norm([arch.half_x for arch in (*front, *rear)]) / 2)


def length(value: float, half: float | np.floating) -> Measured:
    """A length by scan."""
    return Measured(float(value), float(half), Source.SCAN, LENGTH)


def find_shell(
    mesh: Mesh, *, mm_per_file_unit: float, hints: Hints, random: np.random.Generator,
    progress: Progress = lambda *_: None,
) -> FoundShell:  # fmt: skip
    """From a tidy mesh in mm, in whatever pose. Raises Unsure where no frame can be laid through it."""
    marks = {name: point * mm_per_file_unit for name, point in hints.marks.items()}
    progress(STAGES[0], 0, len(STAGES))
    noise, apart = roughness(mesh), spacing(mesh)
    along = []
    if {"nose", "tail"} <= marks.keys():
        along.append(marks["nose"] - marks["tail"])
        if "roof" in marks:
            along.append(marks["roof"] - (marks["nose"] + marks["tail"]) / 2)
    plane = symmetry_plane(mesh, random, along=along)
    progress(STAGES[1], 1, len(STAGES))
    motion = upright(mesh, plane, marks, random)
    body = mesh.placed(motion.at(mesh.vertices))
    line = sill_line(body, noise=noise, spacing=apart)
    level = Motion.about(np.zeros(3), np.array([0.0, 1.0, 0.0]), np.arctan(line.slope))
    motion = Motion.by(np.array([0.0, 0.0, -line.height / np.hypot(1, line.slope)])) @ level @ motion
    body = mesh.placed(motion.at(mesh.vertices))
    marks = {name: motion.at(point) for name, point in marks.items()}
    progress(STAGES[2], 2, len(STAGES))
    inside = {side: tuple(point for name, point in marks.items() if name.endswith(f"-{side}-arch"))
              for side in ("left", "right")}  # fmt: skip
    if "nose" in marks or "tail" in marks:
        inside = _sided(inside, marks)
    sides = find_arches(body, sill=0.0, noise=noise, spacing=apart, marks=inside, random=random)  # type: ignore[arg-type]
    progress(STAGES[3], 3, len(STAGES))
    x_axis = np.array([1.0, 0.0, 0.0])
    plus = reach(body, x_axis, noise=noise, random=random)
    minus = reach(body, -x_axis, noise=noise, random=random)
    axles = _axles(sides)
    overhangs = None
    if len(axles) >= 2:
        overhangs = (plus.value - _middle(axles[0]), minus.value + _middle(axles[-1]))
    which = nose_end(body.vertices, marks, hints, overhangs=overhangs)
    if which.end < 0:
        half_turn = Motion(np.diag([-1.0, -1.0, 1.0]), np.zeros(3))
        motion, body = half_turn @ motion, body.placed(half_turn.at(body.vertices))
        sides = {"left": _turned(sides["right"], "left"), "right": _turned(sides["left"], "right")}
        plus, minus = minus, plus
        axles = _axles(sides)
    arches, unsure = _named(sides, axles)
    if not which.sure:
        unsure = (f"which end is the nose: {which.why}", *unsure)
    origin = _middle(axles[0]) if axles else (plus.value - minus.value) / 2
    motion, body = Motion.by(np.array([-origin, 0, 0])) @ motion, body.placed(body.vertices - [origin, 0, 0])
    y_axis, z_axis = np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])
    return FoundShell(
        mesh=body, shell_from_file=motion, mm_per_file_unit=mm_per_file_unit, noise_mm=noise, spacing_mm=apart,
        symmetry_mm=plane.rms, sill=line, which_end=which,
        arches={wheel: replace(arch, x=arch.x - origin) for wheel, arch in arches.items()},
        nose=replace(plus, value=plus.value - origin), tail=replace(minus, value=minus.value + origin),
        top=reach(body, z_axis, noise=noise, random=random), left=reach(body, y_axis, noise=noise, random=random),
        right=reach(body, -y_axis, noise=noise, random=random), unsure=unsure,
    )  # fmt: skip


def _sided(inside: Mapping[str, tuple[Numbers, ...]], marks: Mapping[str, Numbers]) -> dict[str, tuple[Numbers, ...]]:
    """Marks by where they lie; which side is left hangs on the nose, which is not turned to the front yet."""
    points = [point for several in inside.values() for point in several]
    return {side: tuple(point for point in points if (point[1] > 0) == (side == "left")) for side in inside}


def _turned(arches: tuple[Arch, ...], side: Side) -> tuple[Arch, ...]:
    """After half a turn about the vertical."""
    return tuple(replace(arch, x=-arch.x, side=side) for arch in reversed(arches))


def _axles(sides: Mapping[Side, tuple[Arch, ...]]) -> list[tuple[Arch | None, Arch | None]]:
    """Left and right arches that lie across from each other, foremost first."""
    every = sorted([*sides["left"], *sides["right"]], key=lambda arch: -arch.x)
    span = every[0].x - every[-1].x if every else 0.0
    axles: list[tuple[Arch | None, Arch | None]] = []
    for arch in every:
        near = max(SQUARE * span, 0.3 * arch.radius)
        for i, (left, right) in enumerate(axles):
            other = right if arch.side == "left" else left
            if (left if arch.side == "left" else right) is None and other is not None and abs(other.x - arch.x) < near:
                axles[i] = (arch, other) if arch.side == "left" else (other, arch)
                break
        else:
            axles.append((arch, None) if arch.side == "left" else (None, arch))
    return axles


def _middle(axle: tuple[Arch | None, Arch | None]) -> float:
    return float(np.mean([arch.x for arch in axle if arch is not None]))


def _named(sides: Mapping[Side, tuple[Arch, ...]], axles: list[tuple[Arch | None, Arch | None]]
           ) -> tuple[dict[Wheel, Arch], tuple[str, ...]]:  # fmt: skip
    """Arches by wheel, and what is unsure about them."""
    told = []
    if len(axles) != 2:
        told.append(f"the wheel arches: openings at {len(axles)} places along the body were found, not at 2; put a "
                    "landmark inside each, such as --landmark front-left-arch=x,y,z")  # fmt: skip
        axles = [axles[0], axles[-1]] if len(axles) > 2 else axles
    arches: dict[Wheel, Arch] = {}
    for end, axle in zip(("front", "rear"), axles, strict=False):
        for side, arch in zip(("left", "right"), axle, strict=True):
            wheel: Wheel = f"{end} {side}"  # type: ignore[assignment]
            if arch is None:
                told.append(f"the {wheel} arch: none was found across from the other side's; "
                            f"--landmark {end}-{side}-arch=x,y,z helps")  # fmt: skip
            else:
                arches[wheel] = arch
                if not arch.sure:
                    told.append(f"the {wheel} arch: its lip strays {arch.rms:.2f} mm from a circle, of which "
                                f"{np.degrees(arch.arc_rad):.0f} degrees are seen; measure it by hand")  # fmt: skip
    return arches, tuple(told)


__all__ = ["FoundShell", "Progress", "Unsure", "find_shell", "length"]
