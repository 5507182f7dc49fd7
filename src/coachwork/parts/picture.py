"""A shaded picture of a part: one ray a pixel against its triangles, lines where surfaces meet at an angle."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
PAPER = np.array([1.0, 1.0, 1.0])
BODY = np.array([0.62, 0.74, 0.80])
BELOW = np.array([0.88, 0.76, 0.57])  # the same, seen from below: the underside is not mistaken for the top
INK = np.array([0.12, 0.16, 0.20])


def shaded(vertices: Numbers, faces: NDArray[np.int64], *, towards: Numbers, up: Numbers, width: int) -> Numbers:
    """Pixels (rows, columns, 3), 0 to 1, no higher than wide; parallel projection, `towards`: from part to eye."""
    import trimesh
    from trimesh.ray.ray_pyembree import RayMeshIntersector

    mesh = trimesh.Trimesh(vertices=vertices, faces=faces, process=False)
    back = towards / np.linalg.norm(towards)
    right = np.cross(up, back)
    right /= np.linalg.norm(right)
    top = np.cross(back, right)
    flat = np.column_stack([vertices @ right, vertices @ top])
    low, high = flat.min(axis=0), flat.max(axis=0)
    margin = 0.03 * float(np.max(high - low))
    low, high = low - margin, high + margin
    step = float(np.max(high - low)) / width  # a post is no wider on paper than it is high
    columns = (low[0] + high[0]) / 2 + step * (np.arange(width) - (width - 1) / 2)
    rows = np.arange(high[1], low[1], -step)
    grid_x, grid_y = np.meshgrid(columns, rows)
    far = float(np.max(vertices @ back)) + 10.0
    origins = grid_x[..., None] * right + grid_y[..., None] * top + far * back
    origins = origins.reshape(-1, 3)
    hit = RayMeshIntersector(mesh).intersects_first(origins, np.broadcast_to(-back, origins.shape))
    normals = np.where((hit >= 0)[:, None], mesh.face_normals[hit], 0.0).reshape(*grid_x.shape, 3)
    depth = np.where(hit >= 0, np.sum(mesh.triangles_center[hit] * back, axis=1), -1e3)
    plane = np.sum(mesh.face_normals[hit] * mesh.triangles_center[hit], axis=1)
    along = np.sum(mesh.face_normals[hit] * back, axis=1)
    start = np.sum(mesh.face_normals[hit] * origins, axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        exact = far - (start - plane) / along
    depth = np.where((hit >= 0) & (np.abs(along) > 1e-6), exact, depth).reshape(grid_x.shape)
    light = -0.35 * right + 0.55 * top + 0.75 * back + np.array([0.0, 0.0, 0.35 * np.sign(back[2])])
    light /= np.linalg.norm(light)
    lit = 0.45 + 0.60 * np.clip(normals @ light, 0, 1)
    base = BODY if back[2] >= 0 else BELOW
    image = np.where((hit >= 0).reshape(grid_x.shape)[..., None], np.clip(base * lit[..., None], 0, 1), PAPER)
    edge = _edges(normals, depth, step)
    return np.asarray(image * (1 - edge[..., None]) + INK * edge[..., None])


def _edges(normals: Numbers, depth: Numbers, step: float) -> Numbers:
    """How much ink a pixel gets: where normals turn by more than some 25 degrees, or the depth jumps."""
    ink = np.zeros(depth.shape)
    for axis in (0, 1):
        turn = 1 - np.sum(normals * np.roll(normals, 1, axis=axis), axis=-1)
        jump = np.abs(depth - np.roll(depth, 1, axis=axis))
        both = (depth > -999) | (np.roll(depth, 1, axis=axis) > -999)
        ink = np.maximum(ink, np.where(both & (turn > 0.1), 0.55, 0.0))
        ink = np.maximum(ink, np.where(both & (jump > 12 * step), 0.9, 0.0))
    return ink


def write_picture(mesh_file: Path, picture: Path, *, width: int = 640) -> None:
    """The part from above and from below, one over the other, as a PNG."""
    import trimesh
    from matplotlib import image

    mesh = trimesh.load_mesh(mesh_file)
    vertices, faces = np.asarray(mesh.vertices, dtype=float), np.asarray(mesh.faces)
    views = []
    fine = 2 * width  # two rays a pixel each way, then averaged: clean edges
    for towards in (np.array([0.75, -0.95, 0.85]), np.array([0.75, -0.95, -0.85])):
        big = shaded(vertices, faces, towards=towards, up=np.array([0.0, 0.0, 1.0]), width=fine)
        rows = big.shape[0] // 2
        views.append(big[: 2 * rows].reshape(rows, 2, width, 2, 3).mean(axis=(1, 3)))
    image.imsave(picture, np.clip(np.concatenate(views), 0, 1))
