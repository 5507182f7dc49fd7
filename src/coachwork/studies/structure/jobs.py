"""Which finite elements a part needs: its screws and pads as fittings, and the loads that decide the mesh."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from coachwork.build import Numbers
from coachwork.catalogue.materials import material_of
from coachwork.elasticity.fittings import Bore, Fitting, Land, Patch, Strip
from coachwork.elasticity.job import Wanted
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import Hole, Pad, PartSolid
from coachwork.studies.structure.arm_jobs import ARMS, arm_job

CHASSIS, DOOR = "chassis", "battery-door"
ENDS = ("front-bolts", "rear-bolts")
ACCURACY = 0.03
COARSE, COARSER = 0.15, 1.5  # accuracy and length of elements, where only a ratio is asked for
HEAD = 1.0  # radius of a screw's head or washer by the screw's diameter; ISO 7089: 7 mm for M3, from memory
GRIPPED = 2.0  # of a clearance hole's wall, in diameters, from where the screw goes in
LONGEST_MM = 30.0  # a longer lip is cut in pieces, each with a mean motion of its own


def job_of(part: PartSolid) -> Wanted:
    """The finite elements of chassis, door or arm. Raises CannotBe where features or its material are not known."""
    material = material_of(part.material, part.process)
    if material is None:
        raise CannotBe(f"{part.name}: there is no material {part.material} in the catalogue")
    if part.name in ARMS:
        return arm_job(part, material)
    screws = {end: [fitting_of_hole(hole) for hole in part.pattern(end)] for end in ENDS if part.name == CHASSIS}
    if lacking := [end for end, held in screws.items() if len(held) < 2]:
        raise CannotBe(f"{part.name}: it names fewer than two holes {lacking[0]}, where that axle's end is screwed on")
    pads = [piece for pad in part.pads for piece in pieces(pad)]
    fittings = (*(fitting for held in screws.values() for fitting in held), *(strip for strip, _ in pads))
    blocks = {end: tuple(fitting.name for fitting in held) for end, held in screws.items()}
    if part.name == CHASSIS:
        watch: dict[str, dict[str, list[float]]] = {
            "twist": {ENDS[0]: [0, 0, 0, 1, 0, 0], ENDS[1]: [0, 0, 0, -1, 0, 0]},
            "bending": {ENDS[0]: [0, 0, 0, 0, 1, 0], ENDS[1]: [0, 0, 0, 0, -1, 0]},
        }
    else:
        watch = {"racking": racking([strip for strip, _ in pads])}
    return Wanted(path=Path(part.step), poisson=material.poisson, fittings=fittings, blocks=blocks, watch=watch,
                  accuracy=ACCURACY)  # fmt: skip


def coarse_job_of(part: PartSolid) -> Wanted:
    """The chassis alone with its screws, to compare changes by: the same coarse mesh errs alike on both.

    Raises CannotBe.
    """
    return replace(job_of(replace(part, pads=())), accuracy=COARSE, coarseness=COARSER)


def fitting_of_hole(hole: Hole) -> Fitting:
    """A screw's: the wall of its hole, and both faces that it clamps, or the wall alone where it cuts its thread there.

    A countersunk head has no face under it; the face that the other part is pressed on to is on the far side, and not
    found where a hole is told deeper than its material is.
    """
    length = hole.depth_mm if hole.purpose == "thread-forming" else min(hole.depth_mm, GRIPPED * hole.diameter_mm)
    middle = np.array(hole.centre_mm) + np.array(hole.axis) * length / 2
    wall = Bore(at_mm=_vector(middle), axis=hole.axis, radius_mm=hole.drawn_mm / 2, length_mm=length)
    far = np.array(hole.centre_mm) + np.array(hole.axis) * hole.depth_mm
    faces = [
        Land(at_mm=_vector(np.array(at)), normal=hole.axis, radius_mm=HEAD * hole.diameter_mm)
        for at in (hole.centre_mm, far)
    ]
    patches: tuple[Patch, ...] = (wall,) if hole.purpose == "thread-forming" else (*faces, wall)
    return Fitting(name=hole.name, patches=patches)


def pieces(pad: Pad) -> Iterator[tuple[Fitting, Pad]]:
    """A pad as one fitting, or several along its length; the same pieces on both parts that bear on each other."""
    count = max(1, int(np.ceil(pad.length_mm / LONGEST_MM)))
    length = pad.length_mm / count
    for k in range(count):
        along = np.array(pad.along) * (k - (count - 1) / 2) * length
        along *= np.sign(np.array(pad.along) @ np.array([1.0, 1e-3, 1e-6]))  # counted from the same end on both
        strip = Strip(at_mm=_vector(np.array(pad.centre_mm) + along), normal=pad.normal, along=pad.along,
                      length_mm=length, width_mm=pad.width_mm)  # fmt: skip
        yield Fitting(name=f"{pad.name}/{k + 1}" if count > 1 else pad.name, patches=(strip,)), pad


def racking(pads: list[Fitting]) -> dict[str, list[float]]:
    """Forces across a door's face at its pads, diagonal corners the same way, in balance."""
    places = np.array([pad.patches[0].at_mm for pad in pads])
    if len(pads) < 4:
        raise CannotBe("the door bears on fewer than four pads, and cannot carry a twist")
    flat = places[:, :2] - places[:, :2].mean(axis=0)
    forces = flat[:, 0] * flat[:, 1]
    rigid = np.column_stack([np.ones(len(pads)), flat])
    forces = forces - rigid @ np.linalg.lstsq(rigid, forces, rcond=None)[0]
    forces = forces / np.abs(forces).max()
    return {pad.name: [0.0, 0.0, float(force), 0.0, 0.0, 0.0] for pad, force in zip(pads, forces, strict=True)}


def _vector(numbers: Numbers) -> tuple[float, float, float]:
    x, y, z = (float(number) for number in numbers)
    return x, y, z
