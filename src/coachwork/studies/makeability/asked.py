"""What other studies are told of the parts: which are asked for, and which of them stand made just so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from coachwork.catalogue.processes import PROCESSES
from coachwork.studies.makeability.joints import PLACED
from coachwork.studies.makeability.specs.door import DoorSpec, latches, longest_latch_mm
from coachwork.studies.makeability.specs.every import OwnSpec, Wanted
from coachwork.studies.makeability.weight import mass_g
from coachwork.studies.parts import is_missing
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
