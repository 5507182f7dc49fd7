"""What to do about each dimension that is off: the knife, the filler or nothing, most visible first."""

from __future__ import annotations

from collections.abc import Sequence

from coachwork.studies.likeness.result import Dimension, Job, Work
from coachwork.studies.wording import first, mm

Remedy = tuple[Work, str]  # {mm} the whole error, {half} half of it, for work shared between two sides

# Name: (when the shell's is too small, when it is too large). A hard body's usual remedies; common practice, no source.
REMEDIES: dict[str, tuple[Remedy, Remedy]] = {
    "length": (
        ("pack out", "cut the body across where its sides are plain and let in {mm}"),
        ("cut", "take {mm} out across the body where its sides are plain"),
    ),
    "width": (
        ("pack out", "split the body along its centreline and let in {mm}"),
        ("cut", "take {mm} out along the body's centreline"),
    ),
    "height": (
        ("pack out", "let in {mm} below the roof, or add it to the lower edge"),
        ("cut", "take {mm} out below the roof, or off the lower edge"),
    ),
    "wheelbase": (
        ("move", "move the arches {mm} further apart"),
        ("move", "move the arches {mm} closer together"),
    ),
    "front-overhang": (("pack out", "pack out the nose by {mm}"), ("cut", "take {mm} off the nose")),
    "rear-overhang": (("pack out", "pack out the tail by {mm}"), ("cut", "take {mm} off the tail")),
    "sill-height": (("cut", "trim {mm} off the lower edge"), ("pack out", "add {mm} to the lower edge")),
    "arch-opening-front": (
        ("cut", "open the front arches by {mm}, {half} fore and {half} aft"),
        ("pack out", "close the front arches by {mm}, {half} fore and {half} aft"),
    ),
    "arch-opening-rear": (
        ("cut", "open the rear arches by {mm}, {half} fore and {half} aft"),
        ("pack out", "close the rear arches by {mm}, {half} fore and {half} aft"),
    ),
    "windscreen-width": (
        ("cut", "open the windscreen {half} at each side"),
        ("pack out", "pack the windscreen's frame in {half} at each side"),
    ),
    "windscreen-height": (
        ("cut", "open the windscreen {mm} upward or downward, whichever edge is off"),
        ("pack out", "pack the windscreen's frame {mm} in at the edge that is off"),
    ),
    "cab-door-width": (
        ("remake", "fill the cab door's gaps and scribe them {mm} further apart"),
        ("remake", "fill the cab door's gaps and scribe them {mm} closer together"),
    ),
    "cab-door-height": (
        ("remake", "fill the cab door's upper or lower gap and scribe it {mm} further out"),
        ("remake", "fill the cab door's upper or lower gap and scribe it {mm} further in"),
    ),
    "load-door-width": (
        ("cut", "open the load door {half} at each side"),
        ("pack out", "pack the load door's frame in {half} at each side"),
    ),
    "load-door-height": (
        ("cut", "open the load door by {mm} at its upper edge"),
        ("pack out", "pack the load door's frame {mm} in at its upper edge"),
    ),
    "roof-width": (
        ("pack out", "pack out the roof's edges by {half} each"),
        ("cut", "take {half} off each edge of the roof"),
    ),
    "headlamp-spacing": (("move", "move each headlamp {half} outward"), ("move", "move each headlamp {half} inward")),
    "headlamp-height": (("move", "move the headlamps {mm} up"), ("move", "move the headlamps {mm} down")),
    "bumper-width": (
        ("remake", "remake the bumper {mm} wider, or add {half} at each tip"),
        ("cut", "cut {half} off each tip of the bumper"),
    ),
    "waist-height": (
        ("pack out", "pack the side windows' lower edge {mm} up"),
        ("cut", "cut the side windows {mm} lower"),
    ),
}
OWN: tuple[Remedy, Remedy] = (("remake", "make it {mm} larger"), ("cut", "take {mm} off"))
WHOLE_BODY = ("length", "width", "height", "wheelbase")  # these are never remade, only cut and let in
REMAKE_ABOVE = 4.0  # times the least visible error: about a tenth of the part; then trimming costs more than a new one


def worklist(dimensions: Sequence[Dimension]) -> tuple[Job, ...]:
    """The first sample's work, most visible first."""
    return tuple(sorted(map(job, dimensions), key=lambda one: -one.seen))


def job(dimension: Dimension) -> Job:
    """What to do about one dimension."""
    error, seen = first(dimension.own_error_mm), abs(first(dimension.own_error_mm / dimension.visible_mm))
    work, text = REMEDIES.get(dimension.name, OWN)[error > 0]
    text = text.format(mm=mm(abs(error)), half=mm(abs(error) / 2))
    if seen <= 1:
        work, text = "leave", f"leave it: {mm(abs(error))} off, the eye sees {mm(dimension.visible_mm)}"
    elif seen > REMAKE_ABOVE and dimension.name not in WHOLE_BODY and work != "remake":
        work, text = "remake", f"remake it, or {text}"
    return Job(
        finding=f"likeness.{dimension.name}", told=dimension.told, work=work, amount_mm=abs(error), seen=seen, text=text
    )
