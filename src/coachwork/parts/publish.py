"""Puts the files of made parts where the builder looks for them, with drawings, an assembly and a list."""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Mapping
from pathlib import Path

from coachwork.parts.store import assembly_of
from coachwork.studies.solids import PartSolid

SUFFIXES = (".step", ".3mf", ".stl")
LIST = "parts.csv"
ASSEMBLY = "assembly.step"


def publish(parts: Mapping[str, PartSolid], folder: Path, *, pictures: bool = False) -> None:
    """Copy, replace what is older, and leave other files of the builder's alone."""
    folder.mkdir(parents=True, exist_ok=True)
    for part in parts.values():
        kept = Path(part.step).parent
        for suffix in SUFFIXES:
            _copy(kept / f"{part.name}{suffix}", folder / f"{part.name}{suffix}")
        for suffix in (".svg", ".dxf"):
            if not (kept / f"{part.name}{suffix}").is_file():
                _draw(part, kept)
            _copy(kept / f"{part.name}{suffix}", folder / f"{part.name}{suffix}")
        if pictures:
            picture = kept / f"{part.name}.png"
            if not picture.is_file():
                from coachwork.parts.picture import write_picture

                write_picture(Path(part.mesh), picture)
            _copy(picture, folder / picture.name)
    assembly = assembly_of(parts.values())
    if assembly is not None and assembly.is_file():
        _copy(assembly, folder / ASSEMBLY)
    (folder / LIST).write_text(_table(parts), encoding="utf-8")


def _draw(part: PartSolid, kept: Path) -> None:
    from coachwork.parts.drawing import write_drawing

    write_drawing(part, kept / f"{part.name}.svg", kept / f"{part.name}.dxf")


def _copy(source: Path, target: Path) -> None:
    if not target.is_file() or target.read_bytes() != source.read_bytes():
        shutil.copyfile(source, target)


def _table(parts: Mapping[str, PartSolid]) -> str:
    """What to order, for the print shop."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(["number", "part", "pieces", "process", "material", "volume cm3", "x mm", "y mm", "z mm", "file"])
    for part in parts.values():
        held = part.measured
        sizes = [f"{v:.1f}" for v in held.size_mm] if held is not None else ["", "", ""]
        volume = f"{held.volume_mm3 / 1000:.2f}" if held is not None else ""
        rows.writerow([part.number, part.name, part.pieces, part.process, part.material, volume, *sizes,
                       f"{part.name}.3mf"])  # fmt: skip
    return text.getvalue()
