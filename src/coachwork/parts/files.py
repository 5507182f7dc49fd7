"""A part's files: STEP for the CAD and the print shop, 3MF and STL for the printer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
THEN = datetime(2000, 1, 1, tzinfo=UTC)  # in every STEP file: the same part, the same bytes


def write_step(shape: Any, file: Path, *, name: str) -> None:
    """One named solid, mm."""
    import build123d as b

    solid = shape.solids()[0]
    solid.label = name
    b.export_step(solid, file, timestamp=THEN)


def write_assembly(parts: Sequence[tuple[str, Path, Sequence[Sequence[Sequence[float]]]]], file: Path) -> None:
    """Every part in its places on the vehicle, each under its name: (name, its STEP file, rows of its poses)."""
    import build123d as b
    from OCP.gp import gp_Trsf

    children = []
    for name, step, poses in parts:
        solid = b.import_step(step).solids()[0]
        for i, pose in enumerate(poses, start=1):
            motion = gp_Trsf()
            motion.SetValues(*(float(value) for row in pose[:3] for value in row))
            placed = solid.moved(b.Location(motion))
            placed.label = name if len(poses) == 1 else f"{name}-{i}"
            children.append(placed)
    b.export_step(b.Compound(label="vehicle", children=children), file, timestamp=THEN)


def write_stl(vertices: Numbers, faces: NDArray[np.int64], file: Path) -> None:
    """Binary, mm (STL itself knows no unit)."""
    import trimesh

    trimesh.Trimesh(vertices=vertices, faces=faces, process=False).export(file)


def write_3mf(vertices: Numbers, faces: NDArray[np.int64], file: Path, *, name: str, number: str) -> None:
    """One object with its name and number, standing on the plate; the unit, millimetre, stands in the file."""
    import lib3mf

    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    mesh = model.AddMeshObject()
    mesh.SetName(name)
    mesh.SetPartNumber(number)
    positions = [_position(lib3mf, point) for point in vertices]
    triangles = [_corners(lib3mf, face) for face in faces]
    mesh.SetGeometry(positions, triangles)
    low = vertices.min(axis=0)
    shift = wrapper.GetTranslationTransform(*(float(-v) for v in low))
    item = model.AddBuildItem(mesh, shift)
    item.SetPartNumber(number)
    model.QueryWriter("3mf").WriteToFile(str(file))


def _position(lib3mf: Any, point: Numbers) -> Any:
    position = lib3mf.Position()
    for i in range(3):
        position.Coordinates[i] = float(point[i])
    return position


def _corners(lib3mf: Any, face: NDArray[np.int64]) -> Any:
    triangle = lib3mf.Triangle()
    for i in range(3):
        triangle.Indices[i] = int(face[i])
    return triangle
