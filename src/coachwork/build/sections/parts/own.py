"""A part that the builder drew: its STEP file, where its datum lies, and which of its holes are which."""

from __future__ import annotations

from typing import Annotated, Literal

from coachwork.build.entries import Ask, Length, Note, Point
from coachwork.build.section import Section

Into = Literal["up", "down", "left", "right", "front", "rear"]
_FRAME = "; x from the front axle line forward, y from the centreline to the left, z from the flat underside up"


class DrilledHole(Section):
    """A round hole of a part, under a name of your own; "front-bolts.left" is one of the pattern front-bolts."""

    at: Annotated[
        Point, Ask(how="middle of the hole in the face that the screw goes in by" + _FRAME, sign="any",
                   usual=(-800, 800))
    ] = Point()  # fmt: skip
    into: Annotated[Into, Note("which way the screw or pin goes in")] = "up"
    screw: Annotated[str, Note('the screw it is for, "M3"; left out: none')] = ""
    purpose: Annotated[
        Literal["clearance", "thread-forming", "pin", "bearing", "passage"],
        Note("what it is for: a screw passes through it, cuts its thread in it, or it takes a pin, bearing or wire"),
    ] = "clearance"
    diameter: Annotated[
        Length, Ask(how="the finished hole; left out: that of its screw", usual=(0.8, 60))
    ] = Length()  # fmt: skip
    depth: Annotated[Length, Ask(how="how deep it is; left out: right through", usual=(1, 120))] = Length()
    length: Annotated[
        Length, Ask(how="the screw under its head (a countersunk one all over); left out: not asked what it meets",
                    usual=(2, 80))
    ] = Length()  # fmt: skip


class BearingPad(Section):
    """A flat rectangle of your own drawing that another part bears on, such as a lip; under a name of your own."""

    at: Annotated[Point, Ask(how="middle of the rectangle" + _FRAME, sign="any", usual=(-800, 800))] = Point()
    faces: Annotated[Into, Note("which way the face looks, out of the material")] = "down"
    along: Annotated[Literal["x", "y", "z"], Note("the axis that its length lies along")] = "x"
    length: Annotated[Length, Ask(how="its length", usual=(1, 400))] = Length()
    width: Annotated[Length, Ask(how="its width", usual=(0.5, 100))] = Length()
    held: Annotated[bool, Note("held sideways too, as by a pin or a tongue; else it only pushes")] = False


class OwnLatch(Section):
    """A cantilever snap of your own drawing, under a name of your own."""

    root: Annotated[Point, Ask(how="middle of the beam's root" + _FRAME, sign="any", usual=(-800, 800))] = Point()
    runs: Annotated[Into, Note("which way the beam runs, from its root to its free end")] = "left"
    bends: Annotated[Into, Note("which way it is pushed aside as it closes")] = "rear"
    length: Annotated[Length, Ask(how="from root to free end", usual=(2, 80))] = Length()
    thickness: Annotated[Length, Ask(how="in the direction it bends", usual=(0.5, 10))] = Length()
    width: Annotated[Length, Ask(how="across that", usual=(0.5, 60))] = Length()
    pushed: Annotated[Length, Ask(how="how far its free end is pushed aside", usual=(0.1, 10))] = Length()


class Drawn(Section):
    """What every part can say: whether the builder drew it, and holes of its own."""

    step: Annotated[str, Note("your own drawing of it, a STEP file in the build's folder; left out: ours")] = ""
    datum: Annotated[
        Point, Ask(how="where the chassis's zero (front axle line, centreline, underside) lies in the file's own "
                   "coordinates", sign="any", usual=(-2000, 2000), guess="0 mm")
    ] = Point()  # fmt: skip
    file_up: Annotated[Literal["z", "y"], Note("which axis of the file points up")] = "z"
    file_forward: Annotated[Literal["x", "-x", "y", "-y"], Note("which axis of the file points forward")] = "x"
    process: Annotated[
        Literal["powder-bed nylon", "filament", "resin", "cut sheet"] | None, Note("how it is made; left out: [making]")
    ] = None
    holes: dict[str, DrilledHole] = {}
    pads: Annotated[
        dict[str, BearingPad], Note("your own drawing: where chassis and battery door bear on each other")
    ] = {}
    latches: Annotated[dict[str, OwnLatch], Note("your own drawing: its latches")] = {}
