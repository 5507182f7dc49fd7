"""The shell as found in its scan: both sides, the nose, and the room over the deck, with what was measured on top.

The elevations are pictures of the mesh itself, one line of sight a pixel, so that a wrong axis or a missed arch shows;
circles, sill and dimensions are drawn from the numbers.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from coachwork.errors import CoachworkError
from coachwork.papers.charts import SETTINGS
from coachwork.scans.ceiling import Ceiling
from coachwork.scans.found import FoundShell
from coachwork.scans.mesh import Numbers
from coachwork.scans.rays import Rays

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

PIXEL = 1 / 400  # of the length
MARGIN = 0.03
INK = "#0b3866"
LINE: dict[str, Any] = {"color": INK, "linewidth": 1.2}
HALO: dict[str, Any] = {"boxstyle": "round,pad=0.15", "facecolor": "white", "edgecolor": "none", "alpha": 0.8}


@dataclass(frozen=True, kw_only=True)
class View:
    """One elevation: where the eye is, and which way is right and up in the picture; unit vectors of the shell."""

    name: str
    toward: tuple[float, float, float]  # the way the eye looks
    right: tuple[float, float, float]
    up: tuple[float, float, float] = (0.0, 0.0, 1.0)


LEFT = View(name="left side", toward=(0, -1, 0), right=(-1, 0, 0))
RIGHT = View(name="right side", toward=(0, 1, 0), right=(1, 0, 0))
NOSE = View(name="nose", toward=(-1, 0, 0), right=(0, 1, 0))


def draw(found: FoundShell, ceiling: Ceiling, target: Path) -> None:
    """Write the drawing as SVG or PNG, by the file's name. Raises CoachworkError for another."""
    kind = target.suffix.lower()
    if kind not in (".svg", ".png"):
        raise CoachworkError(f"{target}: a drawing is an .svg or a .png file")
    import matplotlib as mpl

    settings: Any = {**SETTINGS, "svg.hashsalt": "shell"}
    with mpl.rc_context(settings):
        figure = _figure(found, ceiling)
        out = io.BytesIO()
        extra: dict[str, Any] = {"Date": None, "Title": "The shell as found"} if kind == ".svg" else {}
        figure.savefig(out, format=kind[1:], dpi=160, metadata={**extra, "Creator": "coachwork"} if extra else {})
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(out.getvalue())


def _figure(found: FoundShell, ceiling: Ceiling) -> Figure:
    from matplotlib.figure import Figure  # not pyplot: it would look for a display

    wide = found.width.value / found.length.value
    figure = Figure(figsize=(11, 7.6), layout="constrained")
    grid = figure.add_gridspec(2, 2, width_ratios=[1.0, max(wide, 0.45)])
    rays = Rays(found.mesh)
    for view, place in ((LEFT, grid[0, 0]), (RIGHT, grid[1, 0]), (NOSE, grid[0, 1])):
        axes = figure.add_subplot(place)
        _elevation(axes, found, rays, view)
    _room(figure.add_subplot(grid[1, 1]), found, ceiling)
    return figure


def _elevation(axes: Axes, found: FoundShell, rays: Rays, view: View) -> None:
    right, up = np.array(view.right, dtype=float), np.array(view.up, dtype=float)
    picture, extent = _picture(found, rays, view)
    axes.imshow(picture, extent=extent, origin="lower", cmap="gray", vmin=0, vmax=1, interpolation="nearest")
    low, high = extent[0], extent[1]
    axes.plot([low, high], [0, 0], linestyle=(0, (6, 3)), linewidth=0.9, color=INK)
    axes.set_title(view.name, loc="left", fontsize=10, fontweight="bold")
    axes.set_aspect("equal")
    axes.set_xticks([])
    axes.set_ylabel("mm over the sill", fontsize=8)
    axes.tick_params(labelsize=8)
    for side in ("top", "right", "bottom"):
        axes.spines[side].set_visible(False)
    if view is NOSE:
        _dimension(axes, -found.right.value, found.left.value, below=1, text=f"width {found.width.value:.1f}")
        return
    seen = "left" if view is LEFT else "right"
    for wheel, arch in found.arches.items():
        if wheel.endswith(seen):
            at = float(np.array([arch.x, 0.0, arch.z]) @ right)
            turn = np.linspace(0, 2 * np.pi, 181)
            axes.plot(at + arch.radius * np.cos(turn), arch.z + arch.radius * np.sin(turn), **LINE)
            axes.plot([at], [arch.z], marker="+", markersize=9, **LINE)
            axes.annotate(f"{wheel}\nradius {arch.radius:.1f}", (at, arch.z + 0.45 * arch.radius * up[2]),
                          ha="center", fontsize=8, color=INK, bbox=HALO)  # fmt: skip
    _lengths(axes, found, right[0])


def _lengths(axes: Axes, found: FoundShell, sign: float) -> None:
    nose, tail = sign * found.nose.value, -sign * found.tail.value
    ends = [np.mean([arch.x for arch in found.pair(end) or ()]) for end in ("front", "rear") if found.pair(end)]
    stops = [nose, *(sign * float(x) for x in ends), tail]
    for start, end in pairwise(stops):
        _dimension(axes, min(start, end), max(start, end), below=1, text=f"{abs(end - start):.1f}")
    _dimension(axes, min(nose, tail), max(nose, tail), below=2, text=f"length {found.length.value:.1f}")


def _dimension(axes: Axes, low: float, high: float, *, below: int, text: str) -> None:
    """A dimension line under the picture; `below` counts rows."""
    height = -0.075 * below * 450 - 20
    arrow: dict[str, Any] = {"arrowstyle": "<->", "color": INK, "linewidth": 0.9, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", (low, height), (high, height), arrowprops=arrow, annotation_clip=False)
    axes.text((low + high) / 2, height, text, ha="center", va="center", fontsize=8, color=INK, bbox=HALO)
    bottom, top = axes.get_ylim()
    axes.set_ylim(min(bottom, height - 12), top)


def _picture(found: FoundShell, rays: Rays, view: View) -> tuple[Numbers, tuple[float, float, float, float]]:
    """Brightness (rows, columns), NaN for nothing there, and its left, right, bottom, top."""
    toward, right, up = (np.array(way, dtype=float) for way in (view.toward, view.right, view.up))
    across, high = found.mesh.vertices @ right, found.mesh.vertices @ up
    margin, pixel = MARGIN * found.length.value, PIXEL * found.length.value
    u = np.arange(across.min() - margin, across.max() + margin, pixel)
    v = np.arange(high.min() - margin, high.max() + margin, pixel)
    grid_v, grid_u = np.meshgrid(v, u, indexing="ij")
    start = float((found.mesh.vertices @ toward).min()) - 1.0
    origins = grid_u.reshape(-1, 1) * right + grid_v.reshape(-1, 1) * up + start * toward
    which = rays.faces(origins, np.broadcast_to(toward, origins.shape))
    light = -0.7 * toward + 0.8 * up + 0.5 * right
    normals = found.mesh.normals[which]
    facing = np.where((normals @ toward)[:, None] > 0, -normals, normals)  # the winding is not to be trusted
    shade = 0.25 + 0.65 * np.clip(facing @ (light / np.linalg.norm(light)), 0, 1)
    picture = np.where(which >= 0, shade, np.nan).reshape(grid_u.shape)
    return picture, (float(u[0]), float(u[-1]), float(v[0]), float(v[-1]))


def _room(axes: Axes, found: FoundShell, ceiling: Ceiling) -> None:
    """Seen from above, nose up the page."""
    heights = ceiling.z_mm[::-1] if ceiling.x_mm[0] > ceiling.x_mm[-1] else ceiling.z_mm
    extent = (float(ceiling.y_mm[-1]), float(ceiling.y_mm[0]), float(ceiling.x_mm[0]), float(ceiling.x_mm[-1]))
    image = axes.imshow(heights[:, ::-1], extent=extent, origin="lower", cmap="cividis", aspect="equal",
                        vmin=float(np.nanquantile(heights, 0.1)) - 1.0, vmax=float(np.nanmax(heights)))  # fmt: skip
    bar = axes.figure.colorbar(image, ax=axes, shrink=0.8)
    bar.ax.tick_params(labelsize=8)
    bar.set_label("mm over the sill", fontsize=8)
    axes.set_title("room over the deck", loc="left", fontsize=10, fontweight="bold")
    axes.tick_params(labelsize=8)
    axes.set_xlabel("mm to the left", fontsize=8)
    axes.set_ylabel("mm ahead of the front arches", fontsize=8)
