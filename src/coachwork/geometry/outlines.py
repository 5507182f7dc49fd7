"""The outline of a section of a solid of revolution, as points one can draw or look along."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from coachwork.geometry.sections import Barrel, Polygon
from coachwork.geometry.vectors import Array

ROUNDING = 8  # points of a quarter of a tyre's shoulder


def outline_of(section: Barrel | Polygon) -> Array:
    """A closed outline of the section to turn about its axis: radius and height, (n, 2)."""
    if isinstance(section, Polygon):
        corners = section.corners[0]
        return np.concatenate([corners, corners[:1]])
    outer, half, shoulder, crown = (
        float(np.ravel(value)[0]) for value in (section.outer, section.half_width, section.shoulder, section.crown)
    )
    inner = 0.0 if section.inner is None else float(np.ravel(section.inner)[0])
    edge = half - shoulder
    lean = float(np.arcsin(min(edge / (crown - shoulder), 1.0))) if np.isfinite(crown) else 0.0
    corner = outer - crown + (crown - shoulder) * np.cos(lean) if np.isfinite(crown) else outer - shoulder
    bend = np.linspace(np.pi / 2, lean, ROUNDING)
    tread = np.linspace(lean, -lean, ROUNDING + 1)
    side = np.stack([corner + shoulder * np.cos(bend), edge + shoulder * np.sin(bend)], axis=-1)
    over = (
        np.stack([outer - crown + crown * np.cos(tread), crown * np.sin(tread)], axis=-1)
        if np.isfinite(crown)
        else np.stack([np.full(tread.size, outer), np.linspace(edge, -edge, tread.size)], axis=-1)
    )
    other = side[::-1] * np.array([1.0, -1.0])
    return np.concatenate([[[inner, half]], side, over, other, [[inner, -half]], [[inner, half]]])


def divided(outline: Array, piece: float) -> Array:
    """The same with a point at least every so far, (m, 2).

    >>> divided(np.array([[0.0, 0.0], [0.0, 3.0]]), 1.5).tolist()
    [[0.0, 0.0], [0.0, 1.5], [0.0, 3.0]]
    """
    points = [outline[:1]]
    for start, end in pairwise(outline):
        count = max(1, int(np.ceil(np.linalg.norm(end - start) / piece - 1e-9)))
        points.append(start + (end - start) * np.arange(1, count + 1)[:, None] / count)
    return np.concatenate(points)
