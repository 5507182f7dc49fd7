"""How far a driver has a straight way to each screw before it meets another part, with all parts in their places."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachwork.studies.makeability.joints import on_chassis, placed_parts, screws
from coachwork.studies.solids import PartSolid

Numbers = NDArray[np.float64]
Reach = Mapping[str, Mapping[str, float]]
METHOD = 1  # counted up whenever the same parts would come out otherwise
FAR_MM = 200.0
KEPT = 4


def reach_of(parts: Iterable[PartSolid], folder: Path, *, driver_mm: float) -> Reach:
    """{"part/hole": {other part: mm}} of every screw, all within 200 mm in its driver's way.

    Kept by the solids' content and by their holes: of a part that the builder drew, these stand in the build file.
    """
    placed = placed_parts(parts)
    asked = [(part.name, part.content, part.chassis_from_part, [asdict(hole) for hole in part.holes])
             for part in placed]  # fmt: skip
    text = json.dumps([METHOD, driver_mm, asked])
    file = folder / f"reach-{hashlib.sha256(text.encode()).hexdigest()[:20]}.json"
    try:
        kept: Reach = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        kept = dict(_reach(placed, driver_mm))
        folder.mkdir(parents=True, exist_ok=True)
        file.write_text(json.dumps(kept), encoding="utf-8")
        old = sorted(folder.glob("reach-*.json"), key=lambda p: p.stat().st_mtime, reverse=True)
        for each in old[KEPT:]:
            each.unlink(missing_ok=True)
    return kept


def _reach(placed: list[PartSolid], driver_mm: float) -> Iterator[tuple[str, dict[str, float]]]:
    meshes = {part.name: _mesh(part) for part in placed}
    for part, hole in screws(placed):
        starts, way = _rays(*on_chassis(part, hole), driver_mm)
        met = {name: _first(mesh, starts, way) for name, mesh in meshes.items() if name != part.name}
        yield f"{part.name}/{hole.name}", {name: far for name, far in met.items() if far < FAR_MM}


def _rays(at: Numbers, axis: Numbers, driver_mm: float) -> tuple[Numbers, Numbers]:
    """Starts, the middle and 16 round it as wide as the driver, and the way back out of the hole."""
    across = np.cross(axis, np.eye(3)[np.abs(axis).argmin()])
    across /= np.linalg.norm(across)
    angle = np.linspace(0, 2 * np.pi, 16, endpoint=False)[:, None]
    ring = np.cos(angle) * across + np.sin(angle) * np.cross(axis, across)
    return np.concatenate([at[None], at + driver_mm / 2 * ring]) - 0.3 * axis, -axis


def _first(mesh: Any, starts: Numbers, way: Numbers) -> float:
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    hits, ray, _ = RayMeshIntersector(mesh).intersects_location(
        starts, np.broadcast_to(way, starts.shape), multiple_hits=False
    )
    return round(float(min([FAR_MM, *np.linalg.norm(hits - starts[ray], axis=1)])), 2)


def _mesh(part: PartSolid) -> Any:
    import trimesh

    mesh = trimesh.load_mesh(part.mesh)
    return mesh.apply_transform(np.array(part.chassis_from_part[0]))
