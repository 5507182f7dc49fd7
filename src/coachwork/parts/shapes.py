"""Plain solids that parts are put together from, along the axes. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from coachwork.catalogue.screws import SCREWS
from coachwork.studies.makeability.specs.holes import HoleSpec

Point2 = tuple[float, float]
OVER = 0.5  # how far a cutting tool stands out of what it cuts, so that no two faces lie in one plane


def joined(solid: Any, pieces: Sequence[Any]) -> Any:
    """All of them as one."""
    return solid.fuse(*pieces).clean() if pieces else solid


def cut(solid: Any, tools: Sequence[Any]) -> Any:
    """What is left of a solid."""
    return solid.cut(*tools).clean() if tools else solid


def block(x0: float, x1: float, y0: float, y1: float, z0: float, z1: float, *, round_mm: float = 0.0) -> Any:
    """A box between two corners, its upright edges rounded."""
    import build123d as b

    solid = b.Pos((x0 + x1) / 2, (y0 + y1) / 2, (z0 + z1) / 2) * b.Box(x1 - x0, y1 - y0, z1 - z0)
    most = min(x1 - x0, y1 - y0) / 2 - 0.05
    if round_mm > 0.05 and most > 0.05:
        solid = b.fillet(solid.edges().filter_by(b.Axis.Z), min(round_mm, most))
    return solid


def prism(points: Sequence[Sequence[float]], z0: float, z1: float, *, chamfer_mm: float = 0.0) -> Any:
    """A polygon seen from above, between two heights; its lower edge chamfered, less where a side is too short."""
    import build123d as b

    face = b.make_face(b.Polyline(*[(float(x), float(y), z0) for x, y in points], close=True))
    solid = b.extrude(face, z1 - z0, dir=(0, 0, 1))
    for size in (chamfer_mm, chamfer_mm / 2, chamfer_mm / 4) if chamfer_mm > 0 else ():
        try:
            return b.chamfer(solid.faces().sort_by(b.Axis.Z)[0].edges(), size)
        except ValueError:  # a side is shorter than what its two chamfers take off it
            continue
    return solid


def plate(points: Sequence[Point2], x0: float, x1: float, *, round_mm: float = 0.0) -> Any:
    """A polygon (y, z) seen from the front, between two x; corners rounded."""
    import build123d as b

    face = b.make_face(b.Polyline(*[(x0, float(y), float(z)) for y, z in points], close=True))
    solid = b.extrude(face, x1 - x0, dir=(1, 0, 0))
    if round_mm > 0:
        solid = b.fillet(solid.edges().filter_by(b.Axis.X), round_mm)
    return solid


def side(points: Sequence[Point2], y0: float, y1: float) -> Any:
    """A polygon (x, z) seen from the side, between two y."""
    import build123d as b

    face = b.make_face(b.Polyline(*[(float(x), y0, float(z)) for x, z in points], close=True))
    return b.extrude(face, y1 - y0, dir=(0, 1, 0))


def rod(start: Iterable[float], axis: Iterable[float], diameter: float, length: float) -> Any:
    """A cylinder from a point along a unit vector."""
    import build123d as b

    plane = b.Plane(origin=tuple(start), z_dir=tuple(axis))
    return plane * b.Cylinder(diameter / 2, length, align=(b.Align.CENTER, b.Align.CENTER, b.Align.MIN))


def cone(start: Iterable[float], axis: Iterable[float], diameter: float, end_diameter: float, length: float) -> Any:
    """From one diameter at a point to another, along a unit vector."""
    import build123d as b

    plane = b.Plane(origin=tuple(start), z_dir=tuple(axis))
    return plane * b.Cone(diameter / 2, end_diameter / 2, length, align=(b.Align.CENTER, b.Align.CENTER, b.Align.MIN))


def cove(x: float, y0: float, y1: float, z: float, radius: float, *, ahead: bool) -> Any:
    """The fillet between a floor at z and an upright face at x, on its front or its rear."""
    way = 1 if ahead else -1
    if radius < 0.1:
        return None
    xs = sorted((x, x + way * radius))
    return block(xs[0], xs[1], y0, y1, z, z + radius) - rod(
        (x + way * radius, y0 - OVER, z + radius), (0, 1, 0), 2 * radius, y1 - y0 + 2 * OVER
    )


def drill(hole: HoleSpec, shrink_mm: float) -> list[Any]:
    """What cuts the hole: drawn larger by what the process takes off, but for passages."""
    feature = hole.as_hole(shrink_mm)
    at, axis = np.array(hole.at_mm), np.array(hole.axis)
    over = OVER if hole.depth_mm is not None or hole.sunk else 0.01
    end = feature.depth_mm + (OVER if hole.depth_mm is None else 0.0)
    tools = [rod(at - over * axis, axis, feature.drawn_mm, over + end)]
    if hole.sunk:
        head = SCREWS[hole.screw].countersunk_head_mm + 0.4
        depth = (head - feature.drawn_mm) / 2
        tools.append(cone(at - 0.1 * axis, axis, head + 0.2, feature.drawn_mm - 0.02, depth + 0.11))
    return tools


def grown(corners: Sequence[Sequence[float]], by: float) -> list[Point2]:
    """A polygon, counter-clockwise, with every side moved out; sides meet in their corners' mitres."""
    points = np.asarray(corners, dtype=float)
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    before /= np.linalg.norm(before, axis=1)[:, None]
    after /= np.linalg.norm(after, axis=1)[:, None]
    out_before, out_after = (np.column_stack([d[:, 1], -d[:, 0]]) for d in (before, after))
    mitre = out_before + out_after
    mitre /= np.sum(mitre * out_before, axis=1)[:, None]
    return [(float(x), float(y)) for x, y in points + by * mitre]


def engraved(text: str, *, at: tuple[float, float, float], below: bool, size: float, depth: float = 0.5,
             upright: bool = False) -> Any:  # fmt: skip
    """Letters to cut out of a face at `at`; read from below, or from above. The typeface comes with matplotlib."""
    import build123d as b
    from matplotlib import font_manager

    font = font_manager.findfont(font_manager.FontProperties(family="DejaVu Sans", weight="bold"))
    z_dir, x_dir = ((0, 0, -1), (1, 0, 0)) if below else ((0, 0, 1), (1, 0, 0))
    if upright:
        x_dir = (0, 1, 0)
    plane = b.Plane(origin=at, x_dir=x_dir, z_dir=z_dir)
    sketch = plane * b.Text(text, font_size=size, font_path=font)
    return b.extrude(sketch, depth, dir=tuple(-v for v in z_dir)) + b.extrude(sketch, 0.2, dir=z_dir)
