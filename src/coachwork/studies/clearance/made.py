"""The parts that stand made on the chassis, ours or the builder's own, as bodies that what moves must not meet.

Their surface is the solid's triangles, off by 0.02 mm at most. A bell-crank bears on its boss by design: what lies
round its pivot is a thing of its own, which the steering may touch.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from coachwork.build import Section
from coachwork.build.sections.corner import EndName
from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import Array
from coachwork.studies.clearance.inputs import Sections, shift, still
from coachwork.studies.clearance.search import Placed
from coachwork.studies.clearance.shapes import Bodies, Scan
from coachwork.studies.clearance.things import Thing
from coachwork.studies.parts import CannotBe, attempt, is_missing
from coachwork.studies.solids import Nearby, StandingParts

BEARS_MM = 1.0  # beyond a bell-crank's thickness, round its pivot: its boss; common practice, no source
NOWHERE = Motion(np.eye(3)[None], np.zeros((1, 3)))


def made_parts(of: Sections, parts: StandingParts) -> tuple[Placed, ...]:
    """Each part, and apart from it what a bell-crank bears on; none where none is made."""
    if not parts.triangles:
        return ()
    pivots, bodies = list(_pivots(of)), still(of.samples, np.zeros((1, 3)))
    return tuple(
        placed for name, triangles in parts.triangles.items() for placed in _of_part(name, triangles, pivots, bodies)
    )


def near_shell(parts: StandingParts, shell: str) -> tuple[Nearby, ...]:
    """As `coachwork make` found them, the nearest first. Raises CannotBe where the shell is another, or elsewhere, now.

    shell : its content (`SeatedShell.content`)
    """
    found = [each for each in parts.near if each.other_is == shell]
    if not parts.triangles.keys() <= {each.one for each in found}:
        raise CannotBe(
            "the shell sits elsewhere than when the parts were held against it, or they never were; "
            "run coachwork make again"
        )
    return tuple(sorted(found, key=lambda each: each.apart_mm))


def _of_part(name: str, triangles: Array, pivots: Sequence[tuple[Array, float]], bodies: Bodies) -> Iterator[Placed]:
    bears = np.zeros(len(triangles), dtype=bool)
    for at, radius in pivots:
        bears |= (np.linalg.norm(triangles[:, :, :2] - at, axis=-1) < radius).all(axis=1)
    for key, some, may_touch in ((name, ~bears, ()), (f"{name} under a bell-crank", bears, ("steering",))):
        if some.any():
            corners = triangles[some].reshape(-1, 3)
            shape = Scan(vertices=corners, faces=np.arange(len(corners)).reshape(-1, 3), moved=NOWHERE)
            thing = Thing(name=name, kind="parts", shapes=(shape,), may_touch=may_touch)
            yield Placed(key=f"made {key}", name=name.replace("-", " "), thing=thing, still=bodies)


def _pivots(of: Sections) -> Iterator[tuple[Array, float]]:
    """(x and y of an upright pivot, how far round it a boss reaches), by the plain numbers."""
    ends: Mapping[EndName, Section] = {"front": of.gear.front, "rear": of.gear.rear}
    for name in ends:
        steering = (of.gear.front if name == "front" else of.gear.rear).steering
        if steering.kind != "bell-crank" or steering.axis != "z":
            continue
        axle = attempt(shift, of, name)
        if is_missing(axle) or not (steering.pivot.given and steering.crank_width.given):
            continue
        x, y = steering.pivot.mm[0, :2]
        reach = float(steering.crank_width.mm.flat[0]) + BEARS_MM
        for left in (1.0, -1.0):
            yield np.array([x + axle[0, 0], left * y]), reach
