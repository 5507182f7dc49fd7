"""A scanned shell as it sits on the chassis: the plain type that studies ask for. No file is read here."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coachwork.geometry.rigid import Motion

Numbers = NDArray[np.float64]
Wheel = Literal["front left", "front right", "rear left", "rear right"]
WHEELS: tuple[Wheel, Wheel, Wheel, Wheel] = ("front left", "front right", "rear left", "rear right")
SeatedBy = Literal["mount heights", "arches", "given"]


@dataclass(frozen=True, kw_only=True, eq=False)
class SeatedArch:
    """One wheel-arch opening, in the chassis frame, the shell seated by the plain numbers.

    centre_mm      : (3,), of the circle through the lip; y is that of the lip's outer edge at the top
    radius_mm      : of that circle
    lip_mm         : thickness of the shell at the lip; NaN where the scan does not show it
    centre_half_mm : half-width of the centre in x and z, and of the radius
    """

    centre_mm: Numbers
    radius_mm: float
    lip_mm: float
    centre_half_mm: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Residual:
    """Arch centre less wheel centre at ride height, seen from the side; (samples,)."""

    x_mm: Numbers  # positive: the arch lies ahead of the wheel
    z_mm: Numbers  # positive: the arch lies above the wheel


@dataclass(frozen=True, kw_only=True, eq=False)
class SeatedShell:
    """The shell's mesh in the chassis frame: x forward from the front axle line, y left from the shell's plane of
    symmetry, z up from the underside datum plane; millimetres.

    vertices_mm      : (n, 3), by the plain numbers, whatever is being sampled; equal points merged
    faces            : (m, 3), corners into `vertices_mm`. Neither closed nor turned one way: there may be holes, a
                       second skin, and triangles wound either way; nothing may hang on the normals' sign
    mm_per_file_unit : the file's points times this are millimetres
    chassis_from_file: carries the file's points, in millimetres, to `vertices_mm`
    moved            : carries `vertices_mm` to where the shell is in each sample: rotation (samples, 3, 3), shift
                       (samples, 3); the identity, one sample, for the plain answer
    seated_by        : what held it
    arches           : those that were found; a wheel may lack
    residuals        : at each wheel that has an arch and a known wheel centre
    surface_half_mm  : half-width of where the surface is, along its normal, from the scan's own noise
    x_half_mm, z_half_mm, y_half_mm, pitch_half_rad : half-widths of the seat that come from the scan alone; those of
                       the build's entries come through `moved`
    """

    vertices_mm: Numbers
    faces: NDArray[np.int64]
    mm_per_file_unit: float
    chassis_from_file: Motion
    moved: Motion
    seated_by: SeatedBy
    arches: Mapping[Wheel, SeatedArch]
    residuals: Mapping[Wheel, Residual]
    surface_half_mm: float
    x_half_mm: float
    y_half_mm: float
    z_half_mm: float
    pitch_half_rad: float

    @cached_property
    def content(self) -> str:
        """Of the surface where it sits, to a thousandth: another scan or seat, another text."""
        where = np.round(self.vertices_mm, 3) + 0.0  # no minus nought
        return hashlib.blake2b(where.tobytes() + self.faces.tobytes(), digest_size=16).hexdigest()

    def __post_init__(self) -> None:
        self.vertices_mm.flags.writeable = False
        self.faces.flags.writeable = False
