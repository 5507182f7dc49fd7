"""Which finite elements a suspension arm needs: its pins and the damper's screw, a wheel's load in two directions."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.corner import EndName
from coachwork.catalogue.materials import Material
from coachwork.elasticity.fittings import Bore, Fitting
from coachwork.elasticity.job import Wanted
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import Hole, PartSolid

ARMS: dict[str, EndName] = {
    "front-arm-left": "front", "front-arm-right": "front", "rear-arm-left": "rear", "rear-arm-right": "rear",
}  # fmt: skip
LIFTED = "lifted"
HINGE, OUTER, DAMPER = "inner-pin.bore", "outer-pin.bore", "damper.hole"
ACCURACY = 0.05  # of its give, which is a small part of what the landing hangs on


def arm_job(part: PartSolid, material: Material) -> Wanted:
    """Lifted, and pulled, at the outer pin. Raises CannotBe where it lacks one of the three holes."""
    hinge, outer, damper = (_named(part, name) for name in (HINGE, OUTER, DAMPER))
    axis = np.array(hinge.axis)
    reach, damped = (_middle(hole) - _middle(hinge) for hole in (outer, damper))
    out = reach - axis * (reach @ axis)
    if np.linalg.norm(out) < 1.0:
        raise CannotBe(f"{part.name}: {HINGE} and {OUTER} lie on one line; an arm has its pins apart")
    out = out / np.linalg.norm(out)
    up = np.cross(axis, out)
    lever = float(np.cross(damped, up) @ axis)
    if abs(lever) < 1.0:
        raise CannotBe(f"{part.name}: {DAMPER} lies on the hinge pin's line, and cannot carry the wheel")
    pushed = -float(np.cross(reach, up) @ axis) / lever * up
    watch = {
        LIFTED: _balanced({OUTER: (reach, up), DAMPER: (damped, pushed)}),
        "pulled": _balanced({OUTER: (reach, out)}),
    }
    return Wanted(
        path=Path(part.step), poisson=material.poisson, fittings=tuple(_wall(hole) for hole in (hinge, outer, damper)),
        blocks={}, watch=watch, accuracy=ACCURACY,
    )  # fmt: skip


def _balanced(forces: dict[str, tuple[Numbers, Numbers]]) -> dict[str, list[float]]:
    """Forces at arms from the hinge's middle, which takes what is left of them."""
    left = np.concatenate([
        -np.sum([force for _, force in forces.values()], axis=0),
        -np.sum([np.cross(arm, force) for arm, force in forces.values()], axis=0),
    ])  # fmt: skip
    told = {name: [*(float(n) for n in force), 0.0, 0.0, 0.0] for name, (_, force) in forces.items()}
    return {HINGE: [float(n) for n in left], **told}


def _named(part: PartSolid, name: str) -> Hole:
    found = next((hole for hole in part.holes if hole.name == name), None)
    if found is None:
        raise CannotBe(f"{part.name}: it names no hole {name}; its strength needs {HINGE}, {OUTER} and {DAMPER}")
    return found


def _middle(hole: Hole) -> Numbers:
    return np.array(hole.centre_mm) + np.array(hole.axis) * hole.depth_mm / 2


def _wall(hole: Hole) -> Fitting:
    x, y, z = (float(number) for number in _middle(hole))
    wall = Bore(at_mm=(x, y, z), axis=hole.axis, radius_mm=hole.drawn_mm / 2, length_mm=hole.depth_mm)
    return Fitting(name=hole.name, patches=(wall,))
