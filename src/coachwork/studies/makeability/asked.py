"""What other studies are told of the parts: which are asked for, and which of them stand made just so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from coachwork.catalogue.processes import PROCESSES
from coachwork.studies.makeability.joints import PLACED
from coachwork.studies.makeability.specs.chassis import ChassisSpec
from coachwork.studies.makeability.specs.door import DoorSpec, latches, longest_latch_mm
from coachwork.studies.makeability.specs.every import OwnSpec, Wanted
from coachwork.studies.makeability.specs.post import PostSpec
from coachwork.studies.makeability.weight import mass_g
from coachwork.studies.parts import Part, is_missing, need
from coachwork.studies.solids import Latch, PartSolid, PartWeight, PartWeights


@dataclass(frozen=True, kw_only=True)
class Latched:
    """A latch of a part that is asked for, made or not, and what it is made of.

    longest_mm : that there is room for; None where that is not known
    """

    part: str
    process: str
    material: str
    latch: Latch
    longest_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Posted:
    """A body post that is asked for, made or not, what it and its floor are made of, and how thick that is."""

    part: str
    made_of: tuple[str, str]  # material, process
    floor_of: tuple[str, str]
    floor_mm: float
    spec: PostSpec


@dataclass(frozen=True, kw_only=True)
class AskedParts:
    """By the parts' names.

    wanted : all that are asked for    made : those that stand made as the build asks now
    """

    wanted: Mapping[str, Wanted] = field(default_factory=dict)
    made: Mapping[str, PartSolid] = field(default_factory=dict)

    def latched(self, material: str) -> Iterator[Latched]:
        """Of the doors that we draw, and those named of the builder's own; material: the build's, or empty: usual."""
        for name, each in self.wanted.items():
            if is_missing(each.spec) or is_missing(each.settings):
                continue
            process = each.settings.process
            of = material.strip() or PROCESSES[process].usual_material
            if isinstance(each.spec, OwnSpec):
                yield from (Latched(part=name, process=process, material=of, latch=one) for one in each.spec.latches)
            if not isinstance(each.spec, DoorSpec):
                continue
            for latch in latches(each.spec, each.settings.gap_mm):
                yield Latched(part=name, process=process, material=of, latch=latch,
                              longest_mm=longest_latch_mm(each.spec.bay))  # fmt: skip

    def posted(self, material: str) -> Part[tuple[Posted, ...]]:
        """Posts that we draw, on a chassis that we draw; material: the build's, or empty: usual.

        One that lacks a number, and the rest do not share its load: what it lacks is told in place of all.
        """
        posts = {name: each for name, each in self.wanted.items() if name.startswith("post-")}
        floor = self.wanted.get("chassis")
        if not posts or floor is None:
            return ()
        for each in (floor, *posts.values()):
            for part in (each.spec, each.settings):
                if is_missing(part):
                    return part
        if not isinstance(floor.spec, ChassisSpec):
            return ()
        return tuple(
            Posted(part=name, made_of=_made_of(each, material), floor_of=_made_of(floor, material),
                   floor_mm=floor.spec.floor_mm, spec=each.spec)
            for name, each in posts.items() if isinstance(each.spec, PostSpec)
        )  # fmt: skip

    def weights(self) -> PartWeights:
        """By the names of parts and of kinds of part, such as "front-arms"; a kind only where all of it is made."""
        found = {name: weight for name, part in self.made.items() if (weight := _weight(part)) is not None}
        kinds: dict[str, list[str]] = {}
        for name, each in self.wanted.items():
            kinds.setdefault(each.key.split(".")[1], []).append(name)
        for kind, names in kinds.items():
            if kind not in found and all(name in found for name in names):
                found[kind] = _together([found[name] for name in names])
        return PartWeights(each=found)


def _made_of(each: Wanted, material: str) -> tuple[str, str]:
    process = need(each.settings).process
    return material.strip() or PROCESSES[process].usual_material, process


def _weight(part: PartSolid) -> PartWeight | None:
    if part.measured is None:
        return None
    at = part.on_chassis(part.measured.centre_mm) if part.name.startswith(PLACED) else None
    return PartWeight(mass_g=part.pieces * mass_g(part, part.measured), at_mm=at)


def _together(weights: list[PartWeight]) -> PartWeight:
    whole = sum(each.mass_g for each in weights)
    places = [each.at_mm for each in weights]
    if any(at is None for at in places):
        return PartWeight(mass_g=whole, at_mm=None)
    moments = [sum(each.mass_g * each.at_mm[i] for each in weights if each.at_mm is not None) for i in range(3)]
    x, y, z = (moment / whole for moment in moments)
    return PartWeight(mass_g=whole, at_mm=(x, y, z))
