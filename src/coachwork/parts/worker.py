"""Makes parts in a process of its own: python -m coachwork.parts.worker JOB.json

The CAD kernel takes seconds to load and may crash; neither is to take the program along. Told on standard output, one
JSON object a line: {"part", "doing"} as it goes, {"part", "seconds"} when a part is done, {"part", "refused"} for one
that cannot be. Terminating the process cancels; parts that are done stay.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path
from typing import Any

from coachwork.build import read_text
from coachwork.errors import CoachworkError
from coachwork.parts.draw import draw
from coachwork.parts.files import write_3mf, write_assembly, write_step, write_stl
from coachwork.parts.measure import measure, triangles
from coachwork.parts.store import assembly_of, content, keep, kept, place_of
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.own import OwnSpec
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import need
from coachwork.studies.solids import PartSolid


def main(job_file: str) -> int:
    """A job: {"path", "text"} of the build, "names" of the parts."""
    sys.stdout = os.fdopen(os.dup(1), "w", encoding="utf-8")  # ours alone: the CAD kernel prints on standard output
    os.dup2(2, 1)
    job = json.loads(Path(job_file).read_text(encoding="utf-8"))
    build = read_text(job["text"], Path(job["path"]))
    tables = PartTables.of(build)
    for wanted in every_part(tables):
        if wanted.name in job["names"]:
            start = time.perf_counter()
            try:
                make(wanted, build.path.parent, material=tables.making.material)
            except CoachworkError as fault:
                _tell(part=wanted.name, refused=str(fault))
            else:
                _tell(part=wanted.name, seconds=round(time.perf_counter() - start, 2))
    there = [kept(wanted, build.path.parent) for wanted in every_part(tables) if wanted.fingerprint is not None]
    made = [part for part in there if part is not None]
    assembly = assembly_of(made)
    if assembly is not None and not assembly.is_file():
        _tell(part="assembly", doing="writing")
        write_assembly([(part.name, Path(part.step), part.chassis_from_part) for part in made], assembly)
    return 0


def make(wanted: Wanted, folder: Path, *, material: str = "") -> PartSolid:
    """Draw, write, measure; files first, the record last. Raises PartRefused."""
    spec, settings = need(wanted.spec), need(wanted.settings)
    place = place_of(wanted, folder)
    _tell(part=wanted.name, doing="drawing")
    drawn = draw(spec, settings, folder)
    place.mkdir(parents=True, exist_ok=True)
    _tell(part=wanted.name, doing="writing")
    step, mesh = place / f"{wanted.name}.step", place / f"{wanted.name}.stl"
    write_step(drawn.shape, step, name=wanted.name)
    vertices, faces = triangles(drawn.shape)
    write_stl(vertices, faces, mesh)
    write_3mf(vertices, faces, place / f"{wanted.name}.3mf", name=wanted.name, number=wanted.number)
    _tell(part=wanted.name, doing="measuring")
    own = isinstance(spec, OwnSpec)
    part = PartSolid(
        name=wanted.name, number=wanted.number, step=step.name, mesh=mesh.name, content=content(step),
        spec=wanted.fingerprint or "", process=settings.process, material=_material(settings, material), own=own,
        source=spec.step if own else "", source_content=content(folder / spec.step) if own else "",
        chassis_from_part=drawn.chassis_from_part, holes=drawn.holes, pads=drawn.pads, latches=drawn.latches,
        measured=measure(drawn.shape, drawn.holes, driver_mm=settings.driver_mm), pieces=wanted.pieces,
    )  # fmt: skip
    keep(part, place)
    return part


def _material(settings: Settings, material: str) -> str:
    from coachwork.catalogue.processes import PROCESSES

    return material or PROCESSES[settings.process].usual_material


def _tell(**words: Any) -> None:
    """One line to the process that started this one."""
    sys.stdout.write(json.dumps(words) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
