"""`[prototype]` and `[shell]`: the outside dimensions of the full-size vehicle and of the scale body.

Both tables use the same names, so that each pair gives a scale. Names and meanings follow SAE J1100 (codes such as
L103) and ISO 612 (clauses such as 6.1), both cited from memory; where neither names a dimension we do.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, ClassVar, Literal

from coachwork.build.entries import Ask, Length, Note, Point
from coachwork.build.section import Section
from coachwork.quantity import Source

Along = Literal["length", "width", "height"]

# Which way each shared dimension runs; the fit of scales groups them by it.
ALONG: dict[str, Along] = {
    "length": "length",
    "width": "width",
    "height": "height",
    "wheelbase": "length",
    "front_overhang": "length",
    "rear_overhang": "length",
    "sill_height": "height",
    "arch_opening_front": "length",
    "arch_opening_rear": "length",
    "windscreen_width": "width",
    "windscreen_height": "height",
    "cab_door_width": "length",
    "cab_door_height": "height",
    "load_door_width": "width",
    "load_door_height": "height",
    "roof_width": "width",
    "headlamp_spacing": "width",
    "headlamp_height": "height",
    "bumper_width": "width",
    "waist_height": "height",
}

# Spans of road vehicles, from the bubble car to the coach, mm. Common practice, no source; only to notice a wrong unit.
FULL_SIZE: dict[str, tuple[float, float]] = {
    "length": (1800, 19000),
    "width": (900, 3500),
    "height": (900, 4600),
    "wheelbase": (1200, 8500),
    "front_overhang": (150, 4000),
    "rear_overhang": (150, 6000),
    "sill_height": (80, 1500),
    "arch_opening_front": (350, 1900),
    "arch_opening_rear": (350, 1900),
    "windscreen_width": (500, 2700),
    "windscreen_height": (200, 2200),
    "cab_door_width": (350, 2000),
    "cab_door_height": (500, 2700),
    "load_door_width": (350, 2800),
    "load_door_height": (300, 3800),
    "roof_width": (600, 2800),
    "headlamp_spacing": (200, 2500),
    "headlamp_height": (250, 1800),
    "bumper_width": (700, 3000),
    "waist_height": (500, 3000),
}
SMALLEST, LARGEST = 1 / 32, 1 / 4  # scales of hard bodies, as build.scale has them


class Outline(Section):
    """Dimensions that a vehicle and its scale body share."""

    length: Annotated[
        Length, Ask(how="foremost to rearmost point of the body, bumpers included", code="SAE L103, ISO 612 6.1")
    ] = Length()
    width: Annotated[
        Length, Ask(how="widest point of the body across, without mirrors", code="SAE W103, ISO 612 6.2")
    ] = Length()
    height: Annotated[
        Length,
        Ask(how="ground to the highest point of the roof, without aerial or beacons", code="SAE H100, ISO 612 6.3"),
    ] = Length()
    wheelbase: Annotated[
        Length,
        Ask(
            how="centre of the front wheel arch to centre of the rear one, along the body", code="SAE L101, ISO 612 6.4"
        ),
    ] = Length()
    front_overhang: Annotated[
        Length,
        Ask(how="foremost point to the centre of the front wheel arch, along the body", code="SAE L104, ISO 612 6.6"),
    ] = Length()
    rear_overhang: Annotated[
        Length,
        Ask(how="centre of the rear wheel arch to the rearmost point, along the body", code="SAE L105, ISO 612 6.7"),
    ] = Length()
    sill_height: Annotated[Length, Ask(how="ground to the lower edge of the body side, halfway between the axles")] = (
        Length()
    )
    arch_opening_front: Annotated[
        Length, Ask(how="front wheel arch, fore and aft, edge to edge at the height of the wheel centre")
    ] = Length()
    arch_opening_rear: Annotated[
        Length, Ask(how="rear wheel arch, fore and aft, edge to edge at the height of the wheel centre")
    ] = Length()
    windscreen_width: Annotated[Length, Ask(how="windscreen glass across, at its widest")] = Length()
    windscreen_height: Annotated[
        Length, Ask(how="windscreen glass from lower to upper edge, straight up (not along the slope)")
    ] = Length()
    cab_door_width: Annotated[Length, Ask(how="cab door, gap to gap, along the body")] = Length()
    cab_door_height: Annotated[Length, Ask(how="cab door, gap to gap, straight up")] = Length()
    load_door_width: Annotated[Length, Ask(how="rear load door opening across, gap to gap")] = Length()
    load_door_height: Annotated[Length, Ask(how="rear load door, gap to gap, straight up")] = Length()
    roof_width: Annotated[Length, Ask(how="roof across between the gutters")] = Length()
    headlamp_spacing: Annotated[Length, Ask(how="left headlamp centre to right headlamp centre")] = Length()
    headlamp_height: Annotated[Length, Ask(how="ground to headlamp centre")] = Length()
    bumper_width: Annotated[Length, Ask(how="front bumper, tip to tip")] = Length()
    waist_height: Annotated[Length, Ask(how="ground to the lower edge of the side windows")] = Length()


class Prototype(Outline):
    """The full-size vehicle, from its published data or a tape."""

    TABLE: ClassVar[str] = "prototype"
    ORDER: ClassVar[int] = 10
    INSTRUMENT: ClassVar[Source | None] = Source.PUBLISHED
    USUAL: ClassVar[Mapping[str, tuple[float, float]]] = FULL_SIZE

    name: str = ""
    track_front: Annotated[
        Length,
        Ask(
            how="front wheel centre plane to front wheel centre plane",
            code="SAE W101, ISO 612 6.5",
            usual=(750, 2700),
        ),
    ] = Length()
    track_rear: Annotated[
        Length,
        Ask(how="rear wheel centre plane to rear wheel centre plane", code="SAE W102, ISO 612 6.5", usual=(750, 2700)),
    ] = Length()
    tyre_diameter: Annotated[
        Length, Ask(how="outside diameter of the tyre, from its size marking or a tape", usual=(350, 1900))
    ] = Length()
    turning_circle: Annotated[
        Length,
        Ask(
            how="turning circle diameter, kerb to kerb, from its handbook (or state your own aim under [wanted])",
            usual=(4000, 30000),
        ),
    ] = Length()


class Arch(Section):
    """The two wheel arches over one axle, measured on the shell."""

    from_nose_left: Annotated[
        Length, Ask(how="left side: foremost point of the shell to the arch centre, along the body", usual=(10, 800))
    ] = Length()
    from_nose_right: Annotated[
        Length, Ask(how="right side: foremost point of the shell to the arch centre, along the body", usual=(10, 800))
    ] = Length()
    across: Annotated[
        Length,
        Ask(
            how="left arch lip to right arch lip, outside to outside, at the height of the wheel centre",
            usual=(60, 500),
        ),
    ] = Length()
    top: Annotated[Length, Ask(how="lower edge of the body side up to the top of the arch opening", usual=(5, 150))] = (
        Length()
    )
    lip: Annotated[Length, Ask(how="thickness of the shell at the arch lip", usual=(0.3, 8), guess="2.0 ± 1.0 mm")] = (
        Length()
    )


_MARK: Any = {"sign": "any", "source": Source.SCAN}


class Landmarks(Section):
    """Points of the mesh, in its file's own numbers (no unit), where `coachwork measure` asks for them."""

    nose: Annotated[Point, Ask(how="a point at the shell's nose, as the mesh's viewer shows it", **_MARK)] = Point()
    tail: Annotated[Point, Ask(how="a point at the shell's tail, as the mesh's viewer shows it", **_MARK)] = Point()
    roof: Annotated[Point, Ask(how="a point on the shell's roof, as the mesh's viewer shows it", **_MARK)] = Point()
    front_left_arch: Annotated[Point, Ask(how="a point in the opening of the left front arch", **_MARK)] = Point()
    front_right_arch: Annotated[Point, Ask(how="a point in the opening of the right front arch", **_MARK)] = Point()
    rear_left_arch: Annotated[Point, Ask(how="a point in the opening of the left rear arch", **_MARK)] = Point()
    rear_right_arch: Annotated[Point, Ask(how="a point in the opening of the right rear arch", **_MARK)] = Point()


class Shell(Outline):
    """The scale body, measured with callipers or by scan; heights from the ground line you mean it to stand on."""

    TABLE: ClassVar[str] = "shell"
    ORDER: ClassVar[int] = 11
    USUAL: ClassVar[Mapping[str, tuple[float, float]]] = {
        name: (low * SMALLEST, high * LARGEST) for name, (low, high) in FULL_SIZE.items()
    }

    mesh: Annotated[
        str, Note(how="file of a scan of the shell (STL, OBJ, PLY, GLB, 3MF or STEP), seen from the build's folder")
    ] = ""
    mesh_units: Annotated[
        Literal["mm", "cm", "m", "in", "ft"] | None,
        Note(how="unit of the scan's file (mm, cm, m, in, ft), where its length cannot tell"),
    ] = None
    landmarks: Landmarks = Landmarks()
    front: Arch = Arch()
    rear: Arch = Arch()


class Detail(Section):
    """A dimension of your own, taken on both vehicles."""

    along: Along
    prototype: Annotated[Length, Ask(how="this detail on the full-size vehicle", source=Source.PUBLISHED)] = Length()
    shell: Annotated[Length, Ask(how="the same detail on the shell")] = Length()


class Details(Section):
    """`[details]`: dimensions that the standard names do not cover, under names of your own."""

    TABLE: ClassVar[str] = "details"
    ORDER: ClassVar[int] = 12
    NAMES: ClassVar[str | None] = "each"

    each: dict[str, Detail] = {}
