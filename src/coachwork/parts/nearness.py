"""How near made parts come to each other, to the boxes and to the shell, all in their places; kept by content.

Surfaces in triangles, compared in full (geometry/surfaces_apart.py). Where two touch or cross, points half a millimetre
apart on each say how deep they lie in the other, if that is a closed solid: the shell is a surface, and what of it lies
inside a part counts.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.box_tree import BoxTree
from coachwork.geometry.surfaces_apart import apart
from coachwork.studies.makeability.bodies import Block, stamp_of
from coachwork.studies.makeability.joints import placed_parts
from coachwork.studies.solids import SHELL, Nearby, PartSolid, Vector, box_named

Numbers = NDArray[np.float64]
FAR_MM, FAR_FROM_SHELL_MM = 3.0, 20.0  # what is no nearer is not looked at closer
TOUCH_MM = 0.05  # two round surfaces in triangles that touch may overlap by as much: each sags by 0.02 mm
SPACING_MM = 0.5
MOST_POINTS = 200_000
MOST_DEEP = 3_000
KEPT_FILE = "near.json"


@dataclass(frozen=True, kw_only=True, eq=False)
class Body:
    """Triangles (n, 3 corners, 3) in the chassis frame. `content`: another body, another text."""

    name: str
    triangles: Numbers
    content: str
    closed: bool = True


def near_of(
    parts: Iterable[PartSolid], boxes: Mapping[str, tuple[Block, ...]], shell: Body | None, folder: Path,
    tell: Callable[[], None] = lambda: None, wanted_still: Callable[[], bool] = lambda: True,
) -> tuple[Nearby, ...]:  # fmt: skip
    """Each part with each part after it, with each box, and with the shell.

    tell         : called before the first pair that was not looked at before
    wanted_still : asked before each pair; once it says no, the rest is left out
    """
    held = [_part(each) for each in placed_parts(parts)]
    others = [*(_box(name, blocks) for name, blocks in boxes.items()), *([shell] if shell is not None else [])]
    pairs = [*combinations(held, 2), *((one, other) for one in held for other in others)]
    known = _known(folder)
    used: dict[str, Answer] = {}
    found: list[Nearby] = []
    for one, other in pairs:
        key = hashlib.sha256(f"{one.content} {other.content}".encode()).hexdigest()[:24]
        if not wanted_still():
            break
        if key not in known and used.keys() <= known.keys():
            tell()
        used[key] = known[key] if key in known else _between(one, other)
        distance, at = used[key]
        found.append(Nearby(one=one.name, other=other.name, one_is=one.content, other_is=other.content,
                            apart_mm=distance, at_mm=at))  # fmt: skip
    if used.keys() != known.keys():
        folder.mkdir(parents=True, exist_ok=True)
        (folder / KEPT_FILE).write_text(json.dumps(used), encoding="utf-8")
    return tuple(found)


Answer = tuple[float, Vector | None]


def _known(folder: Path) -> dict[str, Answer]:
    try:
        form = json.loads((folder / KEPT_FILE).read_text(encoding="utf-8"))
        return {key: (far, None if at is None else tuple(at)) for key, (far, at) in form.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _between(one: Body, other: Body) -> Answer:
    """Signed distance and where; nowhere for what is no nearer than is looked at."""
    far = FAR_MM if other.closed else FAR_FROM_SHELL_MM
    if _boxes_apart(one, other) >= far:
        return far, None
    near = apart(BoxTree.over([one.triangles]), BoxTree.over([other.triangles]), within=far)
    meets = near.distance == 0.0 or _holds(one, other) or _holds(other, one)
    if meets:
        depth, deepest = max((_deepest(a, b) for a, b in ((one, other), (other, one)) if a.closed),
                             key=lambda found: found[0])  # fmt: skip
        if depth > TOUCH_MM:
            return _answer(-depth, deepest)
    if near.on_one is None or near.on_other is None:
        return far, None
    return _answer(0.0 if meets else near.distance, (near.on_one + near.on_other) / 2)


def _answer(distance: float, at: Numbers) -> Answer:
    x, y, z = (round(float(value), 2) for value in at)
    return round(distance, 3), (x, y, z)


def _boxes_apart(one: Body, other: Body) -> float:
    a, b = (each.triangles.reshape(-1, 3) for each in (one, other))
    gap = np.maximum(a.min(axis=0) - b.max(axis=0), b.min(axis=0) - a.max(axis=0))
    return float(np.linalg.norm(np.maximum(gap, 0.0)))


def _holds(one: Body, other: Body) -> bool:
    """Whether one lies in the other altogether, so that their surfaces do not meet."""
    return one.closed and bool(_mesh(one).contains(other.triangles[:1, 0])[0])


def _deepest(solid: Body, other: Body) -> tuple[float, Numbers]:
    """Of the points of another surface in a solid, the one that lies deepest, and how deep."""
    import trimesh

    mesh = _mesh(solid)
    points = _strewn(other, *mesh.bounds)
    points = points[mesh.contains(points)] if len(points) else points
    if not len(points):
        return 0.0, np.zeros(3)
    points = points[:: max(1, len(points) // MOST_DEEP)]
    _, depth, _ = trimesh.proximity.closest_point(mesh, points)  # type: ignore[no-untyped-call]
    return float(depth.max()), points[int(depth.argmax())]


def _strewn(body: Body, low: Numbers, high: Numbers) -> Numbers:
    """Corners and points evenly over the surface, as far as they lie between two corners."""
    import trimesh

    triangles = body.triangles
    met = ((triangles.max(axis=1) >= low) & (triangles.min(axis=1) <= high)).all(axis=1)
    triangles = triangles[met]
    if not len(triangles):
        return np.zeros((0, 3))
    mesh = trimesh.Trimesh(triangles.reshape(-1, 3), np.arange(3 * len(triangles)).reshape(-1, 3), process=False)
    count = int(min(MOST_POINTS, mesh.area / SPACING_MM**2)) + 1
    over, _ = trimesh.sample.sample_surface(mesh, count, seed=1)
    points = np.concatenate([triangles.reshape(-1, 3), triangles.mean(axis=1), over])
    return np.asarray(points[((points >= low) & (points <= high)).all(axis=1)])


def _mesh(body: Body) -> Any:
    import trimesh

    corners = body.triangles.reshape(-1, 3)
    return trimesh.Trimesh(corners, np.arange(len(corners)).reshape(-1, 3), process=True)


def _part(part: PartSolid) -> Body:
    import trimesh

    rows = np.array(part.chassis_from_part[0])
    placed = trimesh.load_mesh(part.mesh).triangles @ rows[:3, :3].T + rows[:3, 3]
    return Body(name=part.name, triangles=np.asarray(placed), content=part.placed)


def _box(name: str, blocks: Sequence[Block]) -> Body:
    return Body(name=box_named(name), triangles=np.concatenate(list(_faces(blocks))), content=stamp_of(tuple(blocks)))


def _faces(blocks: Sequence[Block]) -> Iterator[Numbers]:
    import trimesh

    for low, high in blocks:
        yield np.asarray(trimesh.creation.box(bounds=np.array([low, high])).triangles)


def shell_body(vertices_mm: Numbers, faces: NDArray[np.int64], content: str) -> Body:
    """The scanned surface where it sits."""
    return Body(name=SHELL, triangles=vertices_mm[faces], content=content, closed=False)
