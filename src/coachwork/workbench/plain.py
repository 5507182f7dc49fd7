"""Numbers as the page is sent them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachwork.confidence.json_form import Json
from coachwork.geometry.vectors import Array


def numbers(values: Any, places: int = 3) -> list[Json]:
    """Finite numbers, as many decimals as a drawing needs."""
    return [round(float(value), places) for value in np.ravel(values)]


def packed(vertices: Array, faces: NDArray[np.int64], values: Iterable[NDArray[Any]] = ()) -> bytes:
    """A mesh, little-endian: counts of corners, triangles and values (uint32), corners (float32), triangles (uint32),
    then each value at every corner (float32). `page/surface.js` reads it.
    """
    rows = [np.asarray(value, dtype="<f4").tobytes() for value in values]
    head = np.array([len(vertices), len(faces), len(rows)], dtype="<u4").tobytes()
    return b"".join((head, vertices.astype("<f4").tobytes(), faces.astype("<u4").tobytes(), *rows))
