"""What is kept of a solid: how its fittings move and where it is stressed under unit loads there.

Everything a study asks of a solid is a small sum of these: any load, any support, another material of the same
Poisson's ratio, joined to other solids or not. The finite elements need not run again for any of it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

import numpy as np

from coachwork.build import Numbers

FORMAT = 2
REMAINS = 0.5  # of the error that the third order shows, at most, once it is taken off; measured: 0.17 to 0.31


@dataclass(frozen=True, kw_only=True, eq=False)
class Flexibility:
    """Of one solid, for a Young's modulus of 1 MPa, with n fittings; a load is (force N, couple N mm) at each.

    fittings         : their names
    middle_mm        : (n, 3), what each fitting's rotation and couple are about
    by_load          : (6 n, 6 n), mean displacement and rotation of each fitting by unit loads; up to a rigid motion
    by_weight        : (6 n, 3), by each newton of weight pulling along x, y, z
    centre_mm        : (3,), of the solid's volume
    """

    fittings: tuple[str, ...]
    middle_mm: Numbers
    by_load: Numbers
    by_weight: Numbers
    centre_mm: Numbers

    def __post_init__(self) -> None:
        for field in fields(self):
            if isinstance(array := getattr(self, field.name), np.ndarray):
                array.flags.writeable = False

    def rows(self, fitting: str) -> slice:
        """Where a fitting's six numbers stand. Raises KeyError for a name that is none."""
        if fitting not in self.fittings:
            raise KeyError(fitting)
        start = 6 * self.fittings.index(fitting)
        return slice(start, start + 6)

    @property
    def rigid(self) -> Numbers:
        """(6 n, 6): each fitting's motion by a shift along x, y, z and a turn about these axes through the origin."""
        return rigid_motions(self.middle_mm)

    @property
    def weight_resultant(self) -> Numbers:
        """(6, 3): force and couple about the origin of a newton of weight along x, y, z."""
        return np.vstack([np.eye(3), np.cross(self.centre_mm, np.eye(3)).T])


@dataclass(frozen=True, kw_only=True, eq=False)
class Kept(Flexibility):
    """All that is kept of a solid's finite elements, of the second order.

    places_mm        : (m, 3), the most stressed places of the loads that were watched
    stress_by_load   : (m, 6, 6 n), MPa, components xx yy zz xy yz zx
    stress_by_weight : (m, 6, 3)
    unsure           : (m,), how far apart the elements round a place say its stress is, as a share of it
    sections_mm      : (s, 3), middles of slices across its longest extent
    section_by_load  : (s, 3, 6 n), the slices' mean displacement; up to the same rigid motion as by_load
    section_by_weight : (s, 3, 3)
    watched          : names of the loads that were watched
    watch_error      : (watched,), by how much less it gives under each than with third-order elements, as a share
    imbalance        : the largest reaction where there is no support, by the load; nothing but rounding
    elements, unknowns, seconds : of the mesh that was settled on, second order; of all that was done
    """

    places_mm: Numbers
    stress_by_load: Numbers
    stress_by_weight: Numbers
    unsure: Numbers
    sections_mm: Numbers
    section_by_load: Numbers
    section_by_weight: Numbers
    watched: tuple[str, ...]
    watch_error: Numbers
    volume_mm3: float
    poisson: float
    imbalance: float
    elements: int
    unknowns: int
    seconds: float

    @property
    def left(self) -> float:
        """Of the error, as a share, when the third order's correction is made: the worst of the watched loads."""
        return REMAINS * float(self.watch_error.max())

    def error(self, watched: str) -> float:
        """Of the compliance under a watched load, as a share, to be taken off. Raises ValueError for a name of none."""
        return float(self.watch_error[self.watched.index(watched)])


def rigid_motions(middle_mm: Numbers) -> Numbers:
    """(6 n, 6): motions of points (n, 3) by a shift along x, y, z and a turn about these axes through the origin."""
    blocks = np.zeros((len(middle_mm), 6, 6))
    blocks[:, :3, :3] = blocks[:, 3:, 3:] = np.eye(3)
    blocks[:, :3, 3:] = np.swapaxes(np.cross(np.eye(3), middle_mm[:, None, :]), 1, 2)
    return blocks.reshape(-1, 6)


def save(kept: Kept, path: Path) -> None:
    """One file, whole or not at all."""
    arrays = {f.name: getattr(kept, f.name) for f in fields(kept) if isinstance(getattr(kept, f.name), np.ndarray)}
    plain = {f.name: getattr(kept, f.name) for f in fields(kept) if f.name not in arrays} | {"format": FORMAT}
    part = path.with_suffix(".part")
    with part.open("wb") as file:
        np.savez_compressed(file, plain=np.array(json.dumps(plain)), **arrays)
    part.replace(path)


def load(path: Path) -> Kept | None:
    """What was saved; None where there is nothing, or nothing that this version can read."""
    try:
        with np.load(path, allow_pickle=False) as file:
            plain: dict[str, Any] = json.loads(str(file["plain"]))
            if plain.pop("format") != FORMAT:
                return None
            held: dict[str, Any] = {name: file[name] for name in file.files if name != "plain"}
    except (OSError, ValueError, KeyError):
        return None
    held |= {name: tuple(value) if isinstance(value, list) else value for name, value in plain.items()}
    return Kept(**held)
