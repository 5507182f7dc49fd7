"""Everything that takes up space, each thing in its place: built from the build's sections, one part for each lack."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from coachwork.build import NotMeasured
from coachwork.build.sections.corner import EndName
from coachwork.geometry.box_tree import pays_to_compile
from coachwork.scans.seated import SeatedShell
from coachwork.studies.clearance import things
from coachwork.studies.clearance.corner_scene import EndScene, end_scene
from coachwork.studies.clearance.inputs import Sections, shift, still
from coachwork.studies.clearance.made import made_parts
from coachwork.studies.clearance.search import Placed, Surroundings
from coachwork.studies.clearance.shapes import Bodies, Scan
from coachwork.studies.clearance.things import Thing
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.linkage.result import LinkageResult
from coachwork.studies.memory import Memory
from coachwork.studies.parts import Part, attempt, is_missing, need
from coachwork.studies.solids import StandingParts
from coachwork.studies.watch import UNWATCHED, Watch

ENDS: tuple[EndName, EndName] = ("front", "rear")
NOTHING = StandingParts()


@dataclass(frozen=True, eq=False, kw_only=True)
class Scene:
    """All of it."""

    ends: Mapping[EndName, EndScene]
    standing: Part[tuple[Placed, ...]]  # envelopes that do not move
    scan: Part[Placed]
    made: tuple[Placed, ...] = ()  # parts that stand made on the chassis
    watch: Watch = UNWATCHED
    memory: Memory = field(default_factory=Memory)

    @cached_property
    def compiled(self) -> bool:
        """Whether there is so much to search that the compiled loops pay."""
        meshes = (*self.made, *(() if is_missing(self.scan) else (self.scan,)))
        shapes = [shape for mesh in meshes for shape in mesh.thing.shapes]
        return pays_to_compile(sum(len(shape.faces) for shape in shapes if isinstance(shape, Scan)))

    @property
    def still(self) -> tuple[Any, ...]:
        """What does not move."""
        return (self.standing, self.scan, self.made)

    def placed(self, key: str) -> Placed:
        """A thing by its key. Raises KeyError."""
        return self._by_key[key]

    def surroundings(self, end: EndName, side: Side) -> Surroundings:
        """The shell (its scan, else this wheel's measured arch) and all that stands on the chassis, as one tree."""
        if is_missing(self.scan):
            arches = [arch for arch in _there(self.ends[end].arches) if side in arch.key]
            things = (*arches, *_there(self.standing), *self.made)
            return Surroundings.of(things, self.memory, self.watch, name=f"what stands at the {end} {side}")
        return self.with_scan

    @cached_property
    def with_scan(self) -> Surroundings:
        """The shell first."""
        things = (need(self.scan), *_there(self.standing), *self.made)
        return Surroundings.of(things, self.memory, self.watch, name="what stands")

    @cached_property
    def _meshes(self) -> Surroundings:
        """The scanned shell and the made parts."""
        if is_missing(self.scan):
            return Surroundings.of(self.made, self.memory, self.watch, name="what is made")
        return self.with_scan.only([i for i, (part, _) in enumerate(self.with_scan.parts) if part.thing.is_mesh])

    def meshes_for(self, kind: str) -> Surroundings | None:
        """Those that this kind of thing is not to touch; None where there is none."""
        if is_missing(self.scan) and not self.made:
            return None
        chosen = [i for i, (part, _) in enumerate(self._meshes.parts) if kind not in part.thing.may_touch]
        return self._meshes.only(chosen) if chosen else None

    @cached_property
    def _by_key(self) -> dict[str, Placed]:
        found = [placed for end in self.ends.values() for side in end.sides.values() for placed in side.all()]
        for part in (self.standing, self.made, self.scan, *(end.arches for end in self.ends.values())):
            if not is_missing(part):
                found += part if isinstance(part, tuple) else (part,)
        return {placed.key: placed for placed in found}


def _there(part: Part[tuple[Placed, ...]]) -> tuple[Placed, ...]:
    return () if is_missing(part) else part


def scene(
    of: Sections,
    linkage: LinkageResult,
    scan: Part[SeatedShell],
    made: StandingParts = NOTHING,
    watch: Watch = UNWATCHED,
    memory: Memory | None = None,
) -> Scene:
    """Build it; raises nothing. Remembered are its pieces, each as one object, so that what stands on them is, too."""
    memory = memory or Memory()

    def end(name: EndName) -> EndScene:
        result = getattr(linkage, name)
        return memory.once_reading(f"what hangs at the {name}", (result,), lambda: end_scene(name, of, result))

    def shell(scan: SeatedShell) -> Placed:
        given = (scan.vertices_mm, scan.faces, scan.moved, of.samples)
        return memory.once("the shell", given, lambda: _scan_of(scan, still(of.samples, np.zeros((1, 3)))))

    return Scene(
        ends={name: end(name) for name in ENDS},
        standing=memory.once_reading("what stands", (), lambda: attempt(standing, of)),
        made=memory.once_reading("what is made", (made.triangles,), lambda: made_parts(of, made)),
        scan=scan if is_missing(scan) else shell(scan),
        watch=watch,
        memory=memory,
    )


def _scan_of(scan: SeatedShell, bodies: Bodies) -> Placed:
    shape = Scan(vertices=scan.vertices_mm, faces=scan.faces, moved=scan.moved)
    return Placed(key="shell", name="shell", thing=Thing(name="shell", kind="shell", shapes=(shape,)), still=bodies)


def standing(of: Sections) -> tuple[Placed, ...]:
    """Envelopes that do not move. Raises NotMeasured naming all that they lack."""
    return tuple(_standing(of))


def _standing(of: Sections) -> Iterator[Placed]:
    lacking: list[str] = []
    for name, part in of.envelopes.each.items():
        if part.moves:
            continue
        made = attempt(_standing_one, name, of)
        if is_missing(made):
            lacking += getattr(made, "keys", ())
            if not getattr(made, "keys", ()):
                need(made)
            continue
        yield from made
    if lacking:
        raise NotMeasured(lacking)


def _standing_one(name: str, of: Sections) -> tuple[Placed, ...]:
    part = of.envelopes.each[name]
    moved = shift(of, part.end or "front")
    thing = things.envelope(name, part, key=f"envelopes.{name}")
    words = name.replace("-", " ")
    sides = (False, True) if part.mirrored else (False,)
    return tuple(
        Placed(key=f"{name}{', right' if right else ''}", name=f"{words}, right" if right else words, thing=thing,
               still=still(of.samples, moved, right=right))
        for right in sides
    )  # fmt: skip
