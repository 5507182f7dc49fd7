"""The plane that a shell is symmetric about, found by laying its mirror image onto it.

Directions all over the half-sphere are tried on few points, the best refined on many: closest points, matched across
the tangent plane there (Chen and Medioni 1992), the worst quarter left out, since a scan has holes and a vehicle has a
fuel filler. The unknowns are the plane's own three, so the answer is a plane at every step.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from coachwork.errors import Unsure
from coachwork.scans.mesh import Mesh, Numbers

KEPT = 0.75  # share of the points that the mirror image is laid on by
JUDGED = 0.97  # share that planes are judged by: nose on tail fits as well as left on right but for the ends
STARTS = 160  # directions on the half-sphere, 11 degrees apart
ALONG = 0.5  # cosine: a direction given by eye may lie 30 degrees out of the plane
CLOSE = 0.005  # of the size: a plane from the axes of inertia that mirrors within this is not searched any further
TWICE = 2.0  # the second best plane has to be worse by this factor, or we do not know which it is


@dataclass(frozen=True, eq=False, kw_only=True)
class Plane:
    """All points p with p . normal = distance.

    rms, rest : of nearly all points, distance between shell and mirror image; and that of the best other plane
    """

    normal: Numbers  # (3,)
    distance: float
    rms: float
    rest: float

    def mirrored(self, points: Numbers) -> Numbers:
        """The other side's points, (..., 3)."""
        return np.asarray(points - 2 * (points @ self.normal - self.distance)[..., None] * self.normal)


def symmetry_plane(mesh: Mesh, random: np.random.Generator, *, along: Sequence[Numbers] = ()) -> Plane:
    """The plane that halves the mesh best.

    along  : directions (3,) known to lie roughly in the plane, such as from tail to nose
    Raises : Unsure where two planes do about as well, or none does
    """
    points, normals = mesh.sampled(60_000, random)
    middle = points.mean(axis=0)  # tilt and distance are nearly independent about here
    cloud = _Cloud.of(points - middle, normals)
    # The normal of a plane of symmetry is a principal axis of inertia; holes and dirt turn those a little.
    axes = np.linalg.eigh(cloud.points.T @ cloud.points)[1].T
    plane = _best_from(cloud, axes, along)
    if plane is None or plane.rms > CLOSE * cloud.size or plane.rest < TWICE * plane.rms:
        plane = _best_from(cloud, np.concatenate([axes, _half_sphere(STARTS)]), along)
    if plane is None or plane.rms > 0.01 * cloud.size:
        raise Unsure("no plane of symmetry: the mesh is not one whole shell, or has large holes on one side")
    if plane.rest < TWICE * max(plane.rms, 1e-4 * cloud.size):
        raise Unsure(
            "two planes of symmetry do about as well; give points at both ends and on the roof: "
            "--landmark nose=x,y,z --landmark tail=x,y,z --landmark roof=x,y,z"
        )
    distance = plane.distance + float(plane.normal @ middle)
    return Plane(normal=plane.normal, distance=distance, rms=plane.rms, rest=plane.rest)


@dataclass(frozen=True, eq=False)
class _Cloud:
    """Points all over the mesh (n, 3) about its middle, their normals, and few of them to begin with."""

    points: Numbers
    normals: Numbers
    tree: cKDTree
    few: cKDTree  # far from the answer, closest points take long to find among many
    size: float

    @classmethod
    def of(cls, points: Numbers, normals: Numbers) -> _Cloud:
        size = float(np.linalg.norm(np.ptp(points, axis=0)))
        return cls(points, normals, cKDTree(points), cKDTree(points[:3000]), size)


def _best_from(cloud: _Cloud, starts: Numbers, along: Sequence[Numbers]) -> Plane | None:
    """The best plane that any of these normals (n, 3) leads to, and how good the best other one is."""
    points, normals = cloud.points, cloud.normals
    few, few_normals = points[:3000], normals[:3000]
    rough = []
    for normal in starts[_holds(starts, along)]:
        plane = Plane(normal=normal, distance=0.0, rms=np.inf, rest=np.inf)
        rough.append(_refined(plane, few[:500], few, few_normals, cloud.few, steps=4))
    rough = [plane for plane in rough if _holds(plane.normal, along)]
    ranked = _apart(sorted(rough, key=lambda plane: plane.rms))[:5]
    if not ranked:
        return None
    better = [_refined(plane, few, points, normals, cloud.tree, steps=6) for plane in ranked]
    best, *others = _apart(sorted(better, key=lambda plane: plane.rms))
    plane = _refined(best, points[:20_000], points, normals, cloud.tree, steps=6)
    return replace(plane, rest=min((other.rms for other in others), default=np.inf))


def _holds(normal: Numbers, along: Sequence[Numbers]) -> NDArray[np.bool_]:
    """Whether planes with these normals (..., 3) hold all of the directions, roughly."""
    held = np.ones(normal.shape[:-1], dtype=bool)
    for way in along:
        held &= np.abs(normal @ way) < ALONG * max(float(np.linalg.norm(way)), 1e-300)
    return held


def _half_sphere(count: int) -> Numbers:
    """Directions spread evenly (a Fibonacci lattice), (count, 3)."""
    i = np.arange(count) + 0.5
    z, angle = i / count, i * np.pi * (1 + 5**0.5)
    flat = np.sqrt(1 - z * z)
    return np.stack([flat * np.cos(angle), flat * np.sin(angle), z], axis=1)


def _apart(planes: list[Plane]) -> list[Plane]:
    """Those that are not the same plane as a better one; 15 degrees apart at least."""
    kept: list[Plane] = []
    for plane in planes:
        if all(abs(plane.normal @ other.normal) < np.cos(np.radians(15)) for other in kept):
            kept.append(plane)
    return kept


def _refined(plane: Plane, points: Numbers, onto: Numbers, normals: Numbers, tree: cKDTree, *, steps: int) -> Plane:
    """Gauss-Newton on the plane's tilt (two) and distance (one); residuals across the tangent planes of `onto`.

    Mirrored p is p - 2 (p . n - d) n; a small tilt w (at right angles to n) and a shift s change it by
    -2 ((p . w) n + (p . n - d) w) + 2 s n.
    """
    normal, distance = plane.normal, plane.distance
    rms = np.inf
    for _ in range(steps):
        side = np.eye(3)[np.argmin(np.abs(normal))]
        first = np.cross(normal, side)
        first /= np.linalg.norm(first)
        tilts = np.stack([first, np.cross(normal, first)])
        height = points @ normal - distance
        image = points - 2 * height[:, None] * normal
        apart, nearest = tree.query(image)
        across = normals[nearest]
        residual = np.einsum("ij,ij->i", across, image - onto[nearest])
        kept = apart <= np.quantile(apart, KEPT)
        toward = across @ normal
        slopes = np.stack([-2 * ((points @ tilt) * toward + height * (across @ tilt)) for tilt in tilts], axis=1)
        slopes = np.column_stack([slopes, 2 * toward])[kept]
        judged = apart <= np.quantile(apart, JUDGED)
        rms = float(np.sqrt(np.mean(residual[judged] ** 2)))
        change, *_ = np.linalg.lstsq(slopes, -residual[kept], rcond=None)
        turned = normal + np.clip(change[:2], -0.3, 0.3) @ tilts
        size = float(np.linalg.norm(turned))
        shift = float(np.clip(change[2], -0.2 * np.ptp(height), 0.2 * np.ptp(height)))
        normal, distance = turned / size, (distance + shift) / size
    return Plane(normal=normal, distance=distance, rms=rms, rest=np.inf)
