"""What other studies are told of the parts: which are asked for, and which of them stand made just so."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from coachwork.catalogue.processes import PROCESSES
from coachwork.studies.makeability.specs.door import DoorSpec, latches, longest_latch_mm
from coachwork.studies.makeability.specs.every import Wanted
from coachwork.studies.parts import is_missing
from coachwork.studies.solids import Latch, PartSolid


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
        """The latches of the doors that we draw; material: the build's, empty for the process's usual one."""
        for name, each in self.wanted.items():
            if is_missing(each.spec) or is_missing(each.settings) or not isinstance(each.spec, DoorSpec):
                continue
            process = each.settings.process
            of = material.strip() or PROCESSES[process].usual_material
            for latch in latches(each.spec, each.settings.gap_mm):
                yield Latched(part=name, process=process, material=of, latch=latch,
                              longest_mm=longest_latch_mm(each.spec.bay))  # fmt: skip
