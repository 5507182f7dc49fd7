"""A part as studies see it: a solid in a STEP file, and the features that have names. No CAD is loaded here.

The same for a part of ours and for one that the builder drew: strength, makeability and clearance ask for no more.
`coachwork make` writes these beside the files it makes; the plan hands them to the studies.

Frame: the part's own, in mm. For the chassis and its door that is the chassis frame; `chassis_from_part` says where
else the part is fitted, once for each place (a left and a right arm are two).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Literal, TypeAlias

from coachwork.geometry.vectors import Array

Vector: TypeAlias = tuple[float, float, float]
Purpose: TypeAlias = Literal["clearance", "thread-forming", "pin", "bearing", "passage"]
IN_PLACE: tuple[tuple[float, ...], ...] = ((1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 1, 0), (0, 0, 0, 1))


@dataclass(frozen=True, kw_only=True)
class Hole:
    """A round hole as it should be in the finished part.

    name        : "front-bolts.left-front"; what stands before the dot is its pattern
    centre_mm   : on its axis, in the face that the screw or pin enters by
    axis        : unit vector, from there into the material
    diameter_mm : of the finished hole    drawn_mm : in the file, with what the process takes off or adds
    depth_mm    : along the axis; a through hole's is that of the material
    screw       : thread of the screw it is for, "M3"; empty for a pin or a bearing
    """

    name: str
    centre_mm: Vector
    axis: Vector
    diameter_mm: float
    drawn_mm: float
    depth_mm: float
    through: bool = True
    purpose: Purpose = "clearance"
    screw: str = ""

    @property
    def pattern(self) -> str:
        """The holes that belong together."""
        return self.name.partition(".")[0]


@dataclass(frozen=True, kw_only=True)
class Pad:
    """A flat rectangle that another part bears on.

    normal        : unit vector out of the material
    along         : unit vector of its length, across the normal
    carries       : "normal": pushed only; "shear": held sideways too, as by a pin or a tongue
    """

    name: str
    against: str
    centre_mm: Vector
    normal: Vector
    along: Vector
    length_mm: float
    width_mm: float
    carries: Literal["normal", "shear"] = "normal"


@dataclass(frozen=True, kw_only=True)
class Latch:
    """A cantilever snap: a beam that bends aside by `deflection_mm` while it closes.

    root_mm : middle of the beam's root    along, bends : unit vectors, to its free end, and where it is pushed
    """

    name: str
    root_mm: Vector
    along: Vector
    bends: Vector
    length_mm: float
    thickness_mm: float
    width_mm: float
    deflection_mm: float


@dataclass(frozen=True, kw_only=True)
class ThinSpot:
    """Where the wall is thinnest within some distance of it."""

    point_mm: Vector
    wall_mm: float
    near: str = ""  # the hole it lies beside, if any


@dataclass(frozen=True, kw_only=True)
class HoleFound:
    """What the file holds where a hole should be; NaN where there is no round hole within 2 mm.

    off_mm  : between the axis found and the one wanted, at the entry
    edge_mm : least material from the hole's rim sideways to a free face
    free_mm : straight way before the entry in which a driver meets nothing of the part itself, up to 200 mm
    """

    name: str
    off_mm: float
    diameter_mm: float
    edge_mm: float
    free_mm: float = 200.0


@dataclass(frozen=True, kw_only=True)
class Measured:
    """What was measured on the solid itself, not taken from its spec.

    size_mm, low_mm : of the box round it, along its own axes
    hull_mm         : points whose hull is the part's, but for some tenths of a millimetre
    thin, narrow    : the thinnest spots of wall, and of the gaps between its own faces, thinnest first, mm apart
    trapped_cm3     : of closed hollows that powder or resin cannot leave
    overhang_mm2    : {the face it lies on: area of faces under 45 degrees that nothing holds up}
    """

    solids: int
    valid: bool
    watertight: bool
    volume_mm3: float
    area_mm2: float
    centre_mm: Vector
    low_mm: Vector
    size_mm: Vector
    hull_mm: tuple[Vector, ...]
    thin: tuple[ThinSpot, ...]
    narrow: tuple[ThinSpot, ...]
    holes: tuple[HoleFound, ...]
    trapped_cm3: float
    overhang_mm2: Mapping[str, float]


@dataclass(frozen=True, kw_only=True)
class PartSolid:
    """One part: the file of its solid, its named features, and what was measured on it.

    step    : path of the STEP file    mesh : of its triangles (STL, binary)
    content : SHA-256 of the STEP file, hex; what is computed from it is kept under this
    spec    : SHA-256 of all that it was made from, hex; another spec, another part
    own     : drawn by the builder; then `source` is their file, and `source_content` its SHA-256
    """

    name: str
    number: str
    step: str
    mesh: str
    content: str
    spec: str
    process: str
    material: str
    own: bool = False
    source: str = ""
    source_content: str = ""
    chassis_from_part: tuple[tuple[tuple[float, ...], ...], ...] = (IN_PLACE,)
    holes: tuple[Hole, ...] = ()
    pads: tuple[Pad, ...] = ()
    latches: tuple[Latch, ...] = ()
    measured: Measured | None = None
    pieces: int = 1

    @property
    def placed(self) -> str:
        """Of this solid where it is fitted: another one, or elsewhere, another text."""
        return hashlib.sha256(f"{self.content} {self.chassis_from_part[0]}".encode()).hexdigest()

    def pattern(self, name: str) -> tuple[Hole, ...]:
        """The holes of one pattern, such as "front-bolts"."""
        return tuple(hole for hole in self.holes if hole.pattern == name)

    def on_chassis(self, point_mm: Vector) -> Vector:
        """A point of the part where it is fitted, the first place of several; to a hundredth."""
        rows = self.chassis_from_part[0][:3]
        x, y, z = (round(sum(a * b for a, b in zip(row, (*point_mm, 1.0), strict=True)), 2) for row in rows)
        return x, y, z

    def to_json(self) -> dict[str, Any]:
        """As plain lists, numbers and texts."""
        return asdict(self)

    @classmethod
    def from_json(cls, form: Mapping[str, Any]) -> PartSolid:
        """What `to_json` gave. Raises KeyError or TypeError for another format."""
        held = dict(form)
        for key, kind in (("holes", Hole), ("pads", Pad), ("latches", Latch)):
            held[key] = tuple(kind(**_tuples(each)) for each in held[key])
        held["chassis_from_part"] = _tuple(held["chassis_from_part"])
        if (measured := held["measured"]) is not None:
            measured = _tuples(measured)
            for key in ("thin", "narrow"):
                measured[key] = tuple(ThinSpot(**_tuples(each)) for each in measured[key])
            measured["holes"] = tuple(HoleFound(**_tuples(each)) for each in measured["holes"])
            held["measured"] = Measured(**measured)
        return cls(**held)


SHELL = "shell"  # as what a part comes near to


def box_named(name: str) -> str:
    """A box as what a part comes near to."""
    return f"box {name}"


@dataclass(frozen=True, kw_only=True)
class Nearby:
    """A made part and another body, both in their places, and how near they come.

    other           : another part's name, a box's (`box_named`), or SHELL
    one_is, other_is: what they were then; another body or place, another text (`PartSolid.placed` for a part)
    apart_mm        : of their surfaces; nought where they touch; negative: the deepest point lies so far inside;
                      so much at least where at_mm is None
    at_mm           : halfway between the nearest points, or the deepest one; chassis frame; None: not looked at closer
    """

    one: str
    other: str
    one_is: str
    other_is: str
    apart_mm: float
    at_mm: Vector | None


@dataclass(frozen=True, kw_only=True)
class MadeParts:
    """The parts that stand made in the build's folder, by name.

    Whether they are still what the build asks for is for the studies to say (`PartSolid.spec`).

    reach : {"part/hole" of each screw: {another part in its driver's way: mm of free way before it}}
    near  : parts with parts, boxes and the shell
    """

    parts: Mapping[str, PartSolid] = field(default_factory=dict)
    reach: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    near: tuple[Nearby, ...] = ()

    def __iter__(self) -> Iterator[PartSolid]:
        return iter(self.parts.values())


@dataclass(frozen=True, kw_only=True, eq=False)
class StandingParts:
    """Made parts that stand still on the chassis: {name: triangles (n, 3 corners, 3), chassis frame, mm}.

    Those that stand made as the build asks now, and no others; the same for `PartWeights`.

    near : how near made parts come to the shell, those that do not stand still too
    """

    triangles: Mapping[str, Array] = field(default_factory=dict)
    near: tuple[Nearby, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PartWeight:
    """What a made part weighs, and where its centre of gravity is; None for one that has no place on the chassis."""

    mass_g: float
    at_mm: Vector | None


@dataclass(frozen=True, kw_only=True)
class PartWeights:
    """By the names of made parts, and of kinds of part, such as "front-arms", of which all are made."""

    each: Mapping[str, PartWeight] = field(default_factory=dict)


MADE_FOLDER = Path(".coachwork") / "parts"
MADE_FILE = "made.json"
"""Beside the build file: a list of `PartSolid.to_json()`, under the key "parts"; "format" is 1."""


def _tuple(value: Any) -> Any:
    return tuple(_tuple(each) for each in value) if isinstance(value, list) else value


def _tuples(form: Mapping[str, Any]) -> dict[str, Any]:
    return {key: _tuple(value) if isinstance(value, list) else value for key, value in form.items()}
