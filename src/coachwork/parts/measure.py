"""What is measured on the solid itself: walls, gaps, holes, hollows, overhangs. Nothing is taken from its spec.

Walls : rays from points spread over the surface, about two a square millimetre, straight into the material, to the
        face they come out of; only where that face looks the other way to within 37 degrees, so that wedges and rounded
        edges do not count as walls, and where the wall goes on for 0.8 mm, so that the ridges of an engraving do not.
        Gaps: the same, outwards. What is thin over less than that both ways is missed, but not beside a hole: there
        is measured all round besides.
Holes : cylinders of the CAD kernel, matched to the holes wanted by axis and place.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachwork.studies.solids import Hole, HoleFound, Measured, ThinSpot

Numbers = NDArray[np.float64]
FACING = 0.8  # cosine: opposite faces of a wall look away from each other to within 37 degrees
APART_MM = 6.0  # of two thin spots that are both told
SPOTS = 12
DEEP_MM = 0.8  # a thin ridge that ends within 0.56 mm (this, at 45 degrees) is no wall, such a groove no gap
BATCH = 400
PER_MM2 = 2.0
MOST_POINTS = 400_000
FAR_MM = 200.0
LOST_MM = 2.0  # a hole farther from its place than this is another one
WELDED_MM = 1e-3  # no part has features this small, and an STL file keeps 2e-5 apart at 250 mm


def measure(shape: Any, holes: Sequence[Hole], *, driver_mm: float, wanted_mm: float = 3.0) -> Measured:
    """Of a solid of the CAD kernel.

    wanted_mm : walls and gaps wider than this are not told
    """
    import trimesh

    vertices, faces = triangles(shape)
    mesh = trimesh.Trimesh(vertices=vertices, faces=faces, process=True)
    box = shape.bounding_box(optimal=True)
    thin, narrow = _walls(mesh, holes, wanted_mm)
    centre = shape.center()
    return Measured(
        solids=len(shape.solids()), valid=bool(shape.is_valid), watertight=bool(mesh.is_watertight),
        volume_mm3=float(shape.volume), area_mm2=float(shape.area), centre_mm=(centre.X, centre.Y, centre.Z),
        low_mm=(box.min.X, box.min.Y, box.min.Z), size_mm=(box.size.X, box.size.Y, box.size.Z),
        hull_mm=_hull(mesh), thin=thin, narrow=narrow, holes=tuple(_found(shape, mesh, holes, driver_mm)),
        trapped_cm3=_trapped(shape), overhang_mm2=_overhang(mesh),
    )  # fmt: skip


def triangles(shape: Any, *, tolerance_mm: float = 0.02, angle_rad: float = 0.15) -> tuple[Numbers, NDArray[np.int64]]:
    """Corners (n, 3) and faces (m, 3) of the solid's surface, corners of neighbours merged.

    Corners nearer than a micrometre to each other are one: the kernel leaves out the triangles between them.
    """
    points, faces = shape.tessellate(tolerance_mm, angle_rad)
    corners = np.array([(p.X, p.Y, p.Z) for p in points])
    first, place = _welded(corners)
    merged = place[np.array(faces, dtype=np.int64)]
    kept = merged[(merged[:, 0] != merged[:, 1]) & (merged[:, 1] != merged[:, 2]) & (merged[:, 0] != merged[:, 2])]
    return corners[first], kept


def _welded(corners: Numbers) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """One corner of each heap of them, (heaps,), and the heap of each corner, (n,)."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    count = len(corners)
    one, other = cKDTree(corners).query_pairs(WELDED_MM, output_type="ndarray").T
    touching = coo_array((np.ones(len(one), dtype=bool), (one, other)), shape=(count, count))
    _, heap = connected_components(touching, directed=False)
    _, first = np.unique(heap, return_index=True)
    return first, heap.astype(np.int64)


def _walls(mesh: Any, holes: Sequence[Hole], wanted: float) -> tuple[tuple[ThinSpot, ...], tuple[ThinSpot, ...]]:
    points, normals = _spread(mesh)
    walls, opposite = _across(mesh, points, -normals, normals)
    gaps, over = _across(mesh, points, normals, normals)
    return (
        _spots(mesh, (points + opposite) / 2, -normals, walls, wanted, holes, inside=True),
        _spots(mesh, (points + over) / 2, normals, gaps, wanted, (), inside=False),
    )


def _spread(mesh: Any) -> tuple[Numbers, Numbers]:
    """Points over the surface with their normals: evenly, the same each time, and at least one in each triangle."""
    import trimesh

    count = int(min(MOST_POINTS, PER_MM2 * mesh.area))
    points, face = trimesh.sample.sample_surface(mesh, count, seed=1)
    points = np.concatenate([points, mesh.triangles_center])
    normals = np.concatenate([mesh.face_normals[face], mesh.face_normals])
    return np.asarray(points), np.asarray(normals)


def _across(mesh: Any, points: Numbers, ways: Numbers, normals: Numbers) -> tuple[Numbers, Numbers]:
    """(distance to the face opposite, inf where it does not face back; the point there)."""
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    start = points + 1e-3 * ways
    hit, ray, face = RayMeshIntersector(mesh).intersects_location(start, ways, multiple_hits=False)
    distance, there = np.full(len(points), np.inf), points.copy()
    facing = np.abs(np.sum(mesh.face_normals[face] * normals[ray], axis=1)) > FACING
    reach = np.linalg.norm(hit - points[ray], axis=1)
    distance[ray[facing]] = reach[facing]
    there[ray[facing]] = hit[facing]
    return distance, there


def _spots(
    mesh: Any, points: Numbers, ways: Numbers, widths: Numbers, wanted: float, holes: Sequence[Hole], *, inside: bool
) -> tuple[ThinSpot, ...]:
    """The least of each neighbourhood, least first; of those that are a wall or a gap, not a ridge or a scratch."""
    order = np.argsort(widths, kind="stable")
    order = order[widths[order] < wanted]
    points, ways, widths = points[order], ways[order], widths[order]
    left = np.ones(len(order), dtype=bool)
    spots: list[ThinSpot] = []
    while left.any() and len(spots) < SPOTS:
        some = np.flatnonzero(left)[:BATCH]
        goes_on = _goes_on(mesh, points[some], ways[some], widths[some], inside=inside)
        left[some[~goes_on]] = False
        for i in some[goes_on]:
            if left[i] and len(spots) < SPOTS:
                left &= np.linalg.norm(points - points[i], axis=1) > APART_MM
                x, y, z = (round(float(v), 3) for v in points[i])
                spots.append(ThinSpot(point_mm=(x, y, z), wall_mm=float(widths[i]), near=_beside(points[i], holes)))
    return tuple(spots)


def _goes_on(mesh: Any, points: Numbers, ways: Numbers, widths: Numbers, *, inside: bool) -> NDArray[np.bool_]:
    """Whether a wall is about as thin `DEEP_MM` further on, in two directions square to each other.

    Else it is the ridge between two engraved letters or two shallow seats: thin, but carrying nothing.
    """
    least = np.abs(ways).argmin(axis=1)
    across = np.cross(ways, np.eye(3)[least])
    across /= np.linalg.norm(across, axis=1)[:, None]
    other = np.cross(ways, across)
    same = []
    for angle in np.linspace(0, 2 * np.pi, 16, endpoint=False):
        there = points + DEEP_MM * (np.cos(angle) * across + np.sin(angle) * other)
        ahead, out = _first(mesh, there, ways)
        behind, in_ = _first(mesh, there, -ways)
        within = (out > 0) & (in_ > 0) if inside else (out < 0) & (in_ < 0)
        same.append(within & (ahead + behind < 1.5 * widths + 0.1))
    held = np.array(same)
    return np.asarray((held & np.roll(held, 4, axis=0)).any(axis=0))


def _first(mesh: Any, starts: Numbers, ways: Numbers) -> tuple[Numbers, Numbers]:
    """(distance to the first face, inf for none; cosine with its normal: positive where the ray leaves the solid)."""
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    hit, ray, face = RayMeshIntersector(mesh).intersects_location(starts, ways, multiple_hits=False)
    distance, leaves = np.full(len(starts), np.inf), np.zeros(len(starts))
    distance[ray] = np.linalg.norm(hit - starts[ray], axis=1)
    leaves[ray] = np.sum(mesh.face_normals[face] * ways[ray], axis=1)
    return distance, leaves


def _beside(point: Numbers, holes: Iterable[Hole]) -> str:
    """The hole whose wall the point lies in: within 4 mm of its rim."""
    for hole in holes:
        rel = point - hole.centre_mm
        along = float(rel @ hole.axis)
        off = float(np.linalg.norm(rel - along * np.array(hole.axis)))
        if -2.0 < along < hole.depth_mm + 2.0 and off < hole.drawn_mm / 2 + 4.0:
            return hole.name
    return ""


@dataclass(frozen=True, eq=False)
class Cylinder:
    """An inner cylinder of the solid: a point of its axis, the axis, and where on it the cylinder begins and ends."""

    point: Numbers
    axis: Numbers
    radius: float
    begins: float
    ends: float

    def off(self, at: Numbers) -> float:
        """Distance of a point from the axis."""
        rel = at - self.point
        return float(np.linalg.norm(rel - (rel @ self.axis) * self.axis))

    def reaches(self, at: Numbers) -> bool:
        """Whether it goes on to within 3 mm of a point, along the axis."""
        along = float((at - self.point) @ self.axis)
        return self.begins - 3.0 <= along <= self.ends + 3.0


def _found(shape: Any, mesh: Any, holes: Sequence[Hole], driver: float) -> Iterable[HoleFound]:
    cylinders = list(_cylinders(shape))
    for hole in holes:
        at, axis = np.array(hole.centre_mm), np.array(hole.axis)
        near = [each for each in cylinders
                if abs(float(each.axis @ axis)) > 0.999 and each.off(at) < LOST_MM and each.reaches(at)]  # fmt: skip
        # One of its own size is this hole sooner than another that is a little nearer.
        best = min(near, key=lambda each: each.off(at) + 0.3 * abs(2 * each.radius - hole.drawn_mm), default=None)
        yield HoleFound(
            name=hole.name, off_mm=best.off(at) if best is not None else float("nan"),
            diameter_mm=2 * best.radius if best is not None else float("nan"),
            edge_mm=_edge(mesh, best) if best is not None else float("nan"), free_mm=_free(mesh, hole, driver),
        )  # fmt: skip


def _cylinders(shape: Any) -> Iterable[Cylinder]:
    import build123d as b
    from OCP.BRepAdaptor import BRepAdaptor_Surface

    for face in shape.faces():
        if face.geom_type != b.GeomType.CYLINDER:
            continue
        surface = BRepAdaptor_Surface(face.wrapped)
        cylinder = surface.Cylinder()
        axis = cylinder.Axis()
        point = np.array([axis.Location().X(), axis.Location().Y(), axis.Location().Z()])
        way = np.array([axis.Direction().X(), axis.Direction().Y(), axis.Direction().Z()])
        middle = face.center()
        normal = face.normal_at(middle)
        out = np.array([middle.X, middle.Y, middle.Z]) - point
        out = out - way * (out @ way)
        if out @ np.array([normal.X, normal.Y, normal.Z]) > 0:
            continue  # material inside: a boss
        yield Cylinder(point, way, cylinder.Radius(), surface.FirstVParameter(), surface.LastVParameter())


def _edge(mesh: Any, hole: Cylinder) -> float:
    """Least material sideways from the rim, over 72 bearings and at two of five depths.

    One depth alone is no edge but an engraving beside the hole; a countersink is no part of the cylinder.
    """
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    ways = _bearings(hole.axis, 72)
    depths = hole.begins + (hole.ends - hole.begins) * np.linspace(0.1, 0.9, 5)
    origins = np.repeat(hole.point + depths[:, None] * hole.axis, 72, axis=0)
    rays = np.tile(ways, (5, 1))
    hits, ray, _ = RayMeshIntersector(mesh).intersects_location(origins, rays, multiple_hits=True)
    reach = np.linalg.norm(hits - origins[ray], axis=1)
    walls = np.full(len(rays), np.inf)
    for i in np.unique(ray):
        mine = np.sort(reach[ray == i])
        if len(mine) >= 2 and abs(mine[0] - hole.radius) < 0.15:  # into the material at the hole's own wall
            walls[i] = mine[1] - mine[0]
    second = np.sort(walls.reshape(5, 72), axis=0)[1]
    return float(second.min()) if np.isfinite(second).any() else FAR_MM


def _bearings(axis: Numbers, count: int) -> Numbers:
    """(count, 3) unit vectors all round an axis."""
    across = np.cross(axis, [1.0, 0.0, 0.0] if abs(axis[0]) < 0.9 else [0.0, 1.0, 0.0])
    across /= np.linalg.norm(across)
    angles = np.linspace(0, 2 * np.pi, count, endpoint=False)
    return np.asarray(np.cos(angles)[:, None] * across + np.sin(angles)[:, None] * np.cross(axis, across))


def _free(mesh: Any, hole: Hole, driver: float) -> float:
    """Straight way before the entry, for a driver of this thickness."""
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    at, axis = np.array(hole.centre_mm), np.array(hole.axis)
    ring = at + driver / 2 * _bearings(axis, 16)
    starts = np.concatenate([at[None], ring]) - 0.3 * axis
    hits, ray, _ = RayMeshIntersector(mesh).intersects_location(
        starts, np.broadcast_to(-axis, starts.shape), multiple_hits=False
    )
    return float(min([FAR_MM, *(0.3 + np.linalg.norm(hits - starts[ray], axis=1))]))


def _hull(mesh: Any) -> tuple[tuple[float, float, float], ...]:
    """Farthest points in 500 directions spread over the sphere (Fibonacci's spiral)."""
    i = np.arange(500) + 0.5
    z, turn = 1 - 2 * i / 500, np.pi * (1 + 5**0.5) * i
    ways = np.column_stack([np.sqrt(1 - z**2) * np.cos(turn), np.sqrt(1 - z**2) * np.sin(turn), z])
    ways = np.concatenate([ways, np.eye(3), -np.eye(3)])
    corners = np.unique(np.argmax(mesh.vertices @ ways.T, axis=0))
    return tuple((round(float(x), 3), round(float(y), 3), round(float(z), 3)) for x, y, z in mesh.vertices[corners])


def _trapped(shape: Any) -> float:
    """Volume of hollows without a way out, cm3: inner shells of a solid."""
    import build123d as b

    trapped = 0.0
    for solid in shape.solids():
        shells = solid.shells()
        if len(shells) > 1:
            volumes = sorted((abs(b.Solid(shell).volume) for shell in shells), reverse=True)
            trapped += sum(volumes[1:])
    return trapped / 1000


def _overhang(mesh: Any) -> dict[str, float]:
    """Area of faces that hang over at less than 45 degrees from level, off the bed, for each way up, mm2."""
    found = {}
    for axis, name in enumerate("xyz"):
        for sign in (-1.0, 1.0):
            up = np.zeros(3)
            up[axis] = -sign  # it lies on the face that looks this way
            heights = mesh.triangles_center @ up
            low = float((mesh.vertices @ up).min())
            hanging = (mesh.face_normals @ up < -np.cos(np.pi / 4)) & (heights > low + 0.3)
            found[f"{'-' if sign < 0 else '+'}{name}"] = float(mesh.area_faces[hanging].sum())
    return found
