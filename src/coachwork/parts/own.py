"""A part that the builder drew: its STEP file, carried into the chassis frame."""

from __future__ import annotations

from pathlib import Path

from coachwork.parts.drawn import DrawnPart, PartRefused, sound
from coachwork.studies.makeability.specs.own import OwnSpec
from coachwork.studies.makeability.specs.settings import Settings


def own_part(spec: OwnSpec, settings: Settings, folder: Path) -> DrawnPart:
    """Its holes, pads and latches are those that the build file names, as the builder drew them. Raises PartRefused."""
    import build123d as b
    from OCP.gp import gp_Trsf

    path = folder / spec.step
    if not path.is_file():
        raise PartRefused(f"{spec.name}: there is no file {spec.step} in the build's folder")
    try:
        read = b.import_step(path)
    except Exception as fault:  # whatever the kernel raises on a file that is none
        raise PartRefused(f"{spec.name}: {spec.step} cannot be read as STEP: {fault}") from fault
    if not read.solids():
        raise PartRefused(f"{spec.name}: {spec.step} holds no solid; export the body, not its surfaces or sketches")
    motion = gp_Trsf()
    motion.SetValues(*(value for row in spec.chassis_from_file for value in row))
    solid = read.solids()[0] if len(read.solids()) == 1 else read
    moved = solid.moved(b.Location(motion))
    if spec.mirrored:
        moved = moved.mirror(b.Plane.XZ)
    holes = tuple(hole.as_hole(0.0) for hole in spec.holes)
    return sound(DrawnPart(shape=moved, holes=holes, pads=spec.pads, latches=spec.latches), spec.name)
