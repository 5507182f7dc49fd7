"""Mesh files to arrays: STL by itself, OBJ, PLY, GLB, 3MF by the mesh library, STEP by a CAD kernel if present."""

from __future__ import annotations

import os
import re
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from coachwork.errors import ScanRefused
from coachwork.scans import claims
from coachwork.scans.mesh import Indices, Numbers

FINENESS_MM, FINENESS_RAD = 0.05, 0.2  # how far the triangles of a STEP file may stray from its surfaces
_BLOCK = 1 << 24
_CORNER = re.compile(rb"vertex\s+(\S{1,32})\s+(\S{1,32})\s+(\S{1,32})")
_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
_LONG_NAMES = {"millimeter": "mm", "millimeters": "mm", "millimetre": "mm", "centimeter": "cm", "centimeters": "cm",
               "meter": "m", "meters": "m", "inch": "in", "inches": "in", "foot": "ft", "feet": "ft"}  # fmt: skip


@dataclass(frozen=True, eq=False)
class FileMesh:
    """Points (n, 3) and triangles (m, 3) as the file has them, and the unit it says they are in, if it does."""

    vertices: Numbers
    faces: Indices
    declared: str | None = None


def read_mesh(path: Path) -> FileMesh:
    """Raises ScanRefused with a sentence for the builder, OSError where there is no such file."""
    kind = path.suffix.lower()
    reader = READERS.get(kind)
    if reader is None:
        known = ", ".join(sorted({name[1:].upper() for name in READERS}))
        raise ScanRefused(f"{path.name}: a mesh file is one of {known}, told by its name's end")
    size = claims.size_of(path)
    try:
        mesh = reader(path, size)
    except (ScanRefused, OSError):
        raise
    except MemoryError:
        raise ScanRefused(f"{path.name} takes more memory than there is; reduce it in your scanner's program") from None
    except Exception as fault:  # a reader of somebody else's may stumble over anything in a broken file
        words = " ".join(str(fault).split()) or type(fault).__name__
        raise ScanRefused(f"{path.name} cannot be read as {kind[1:].upper()}: {words[:200]}") from fault
    if len(mesh.faces) > claims.MOST_TRIANGLES:
        raise claims.too_many(path, len(mesh.faces))
    return mesh


def _stl(path: Path, size: int) -> FileMesh:
    if not claims.stl_is_binary(path, size):
        return _text_stl(path)
    with path.open("rb") as file:
        file.seek(80)
        count = int(np.frombuffer(file.read(4), "<u4")[0])
        rows = np.fromfile(file, dtype=_TRIANGLE, count=count)
    return FileMesh(rows["corners"].reshape(-1, 3).astype(np.float64), np.arange(3 * len(rows)).reshape(-1, 3))


def _text_stl(path: Path) -> FileMesh:
    """A block at a time, so that memory is that of the triangles and not of the text."""
    blocks: list[Numbers] = []
    rest, count = b"", 0
    with path.open("rb") as file:
        while piece := file.read(_BLOCK):
            text = rest + piece
            cut = text.rfind(b"endloop") + 1  # a corner's three numbers all stand before the end of its loop
            text, rest = text[:cut], text[cut:]
            corners = _CORNER.findall(text)
            blocks.append(np.array(corners, dtype="S32").astype(np.float64).reshape(-1, 3))
            count += len(corners)
            if count > 3 * claims.MOST_TRIANGLES:
                raise claims.too_many(path, count // 3)
    if count % 3:
        raise ScanRefused(f"{path.name} is no STL: its {count:,} corners do not make triangles")
    return FileMesh(np.concatenate(blocks), np.arange(count).reshape(-1, 3))


def _obj(path: Path, _: int) -> FileMesh:
    return _by_library(path, "obj", skip_materials=True)


def _ply(path: Path, size: int) -> FileMesh:
    claims.check_ply(path, size)
    return _by_library(path, "ply")


def _glb(path: Path, size: int) -> FileMesh:
    claims.check_glb(path, size)
    return _by_library(path, "glb", declared="m")  # glTF 2.0, section 3.4: all lengths are metres


def _3mf(path: Path, _: int) -> FileMesh:
    claims.check_3mf(path)
    return _by_library(path, "3mf")


def _by_library(path: Path, kind: str, *, declared: str | None = None, **options: Any) -> FileMesh:
    import trimesh

    with path.open("rb") as file:  # a stream, so that nothing beside the file is opened for it
        scene: Any = trimesh.load_scene(file, file_type=kind, process=False, maintain_order=True, **options)
    shapes = {name: shape for name, shape in scene.geometry.items() if hasattr(shape, "faces")}
    placed = [(scene.graph.get(node)) for node in scene.graph.nodes_geometry]
    placed = [(matrix, shapes[name]) for matrix, name in placed if name in shapes]
    total = sum(len(shape.faces) for _, shape in placed)
    if total > claims.MOST_TRIANGLES:
        raise claims.too_many(path, total)
    if not placed:
        return FileMesh(np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64))
    units = {str(shape.metadata.get("units") or shape.units or "") for _, shape in placed} - {""}
    if len(units) == 1:
        (word,) = units
        declared = _LONG_NAMES.get(word.lower(), word.lower())
    vertices, faces, start = [], [], 0
    for matrix, shape in placed:
        vertices.append(np.asarray(shape.vertices, dtype=np.float64) @ matrix[:3, :3].T + matrix[:3, 3])
        faces.append(np.asarray(shape.faces, dtype=np.int64) + start)
        start += len(shape.vertices)
    return FileMesh(np.concatenate(vertices), np.concatenate(faces), declared)


def _step(path: Path, _: int) -> FileMesh:
    claims.check_step(path)
    try:
        import cascadio
    except ImportError:
        raise ScanRefused(f"{path.name}: STEP files are read with the extra step: pip install 'coachwork[step]'; or "
                          "export it as STL from your CAD program") from None  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        glb = Path(folder) / "shell.glb"
        with _hushed():
            failed = cascadio.step_to_glb(str(path), str(glb), FINENESS_MM, FINENESS_RAD)
        if failed or not glb.is_file():
            raise ScanRefused(f"{path.name}: the CAD kernel finds no solid or surface in it")
        mesh = _glb(glb, claims.size_of(glb))
    return FileMesh(mesh.vertices * 1000.0, mesh.faces, "mm")  # the kernel turns the file's unit into metres


@contextmanager
def _hushed() -> Iterator[None]:
    """The kernel writes past Python, straight to the streams, where a program may read our JSON."""
    sys.stdout.flush()
    sys.stderr.flush()
    nowhere = os.open(os.devnull, os.O_WRONLY)
    kept = {stream: os.dup(stream) for stream in (1, 2)}
    try:
        for stream in kept:
            os.dup2(nowhere, stream)
        yield
    finally:
        for stream, old in kept.items():
            os.dup2(old, stream)
            os.close(old)
        os.close(nowhere)


READERS: dict[str, Callable[[Path, int], FileMesh]] = {
    ".stl": _stl, ".obj": _obj, ".ply": _ply, ".glb": _glb, ".3mf": _3mf, ".step": _step, ".stp": _step,
}  # fmt: skip
