"""What holds the made parts together, counted off their own holes: screws, pins, ball bearings."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import Any

from coachwork.papers.item import Item
from coachwork.papers.made_steps import made
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.studies.makeability.specs.arm import ArmSpec
from coachwork.studies.makeability.specs.carrier import CarrierSpec
from coachwork.studies.makeability.specs.chassis import ChassisSpec
from coachwork.studies.makeability.specs.holes import HoleSpec
from coachwork.studies.makeability.specs.own import OwnSpec
from coachwork.studies.makeability.specs.post import BracketSpec
from coachwork.studies.parts import is_missing

One = tuple[str, str, str, int]  # what, rated or sized, what for, how many


def made_fixings(of: Subject) -> Iterator[Item]:
    """Like with like, in the order of the parts; a part that cannot be drawn yet has none."""
    counted: dict[tuple[str, str], dict[str, int]] = {}
    for name in made(of):
        spec = of.result("makeability").wanted[name].spec
        for what, rated, what_for, number in () if is_missing(spec) else _of(spec):
            uses = counted.setdefault((what, rated), {})
            uses[what_for] = uses.get(what_for, 0) + number
    for (what, rated), uses in counted.items():
        yield Item(what=what, number=str(sum(uses.values())), rated=rated, what_for=", ".join(uses))


def _of(spec: Any) -> Iterator[One]:
    match spec:
        case ChassisSpec() | OwnSpec():
            for hole in spec.holes:
                if hole.screw:
                    yield _screw(hole)
        case BracketSpec():
            yield f"screw {spec.screw}", "by the pad in the shell; none where bonded", "brackets to the shell", 2
            across = spec.bore_mm + 2 * spec.wall_mm
            yield f"steel pin {spec.cross_mm:g} mm", f"{ceil(across)} mm long or more", "brackets on their posts", 1
        case ArmSpec():
            yield _cutting(spec.damper_screw), "as the donor's", "dampers' lower ends", 1
        case CarrierSpec():
            yield "ball bearing", f"{spec.ring_mm:g} x {spec.ring_width_mm:g} mm, bore as the axle", "hub carriers", 2


def _screw(hole: HoleSpec) -> One:
    what = _cutting(hole.screw) if hole.purpose == "thread-forming" else f"screw {hole.screw}"
    if hole.screw_mm is not None:
        rated = f"{hole.screw_mm:g} mm long"
    elif hole.purpose == "thread-forming" and hole.depth_mm is not None:
        rated = f"at most {hole.depth_mm:.0f} mm into the part"
    else:
        rated = "length by what it holds"
    pattern, _, name = hole.name.partition(".")
    return f"countersunk {what}" if hole.sunk else what, rated, called(name if pattern == "holes" else pattern), 1


def _cutting(screw: str) -> str:
    return f"screw {screw} that cuts its thread in plastic"
