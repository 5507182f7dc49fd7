"""The gap of each end's tyres over travel and lock."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from coachwork.geometry.vectors import Array
from coachwork.studies.chart import Chart, Line
from coachwork.studies.clearance.corners import LOCK, LOCKS, TRAVELS, Pose
from coachwork.studies.clearance.result import ClearanceResult, EndClearance
from coachwork.studies.clearance.scene import Scene
from coachwork.studies.clearance.search import Placed, Surroundings
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.parts import is_missing

HEIGHTS = ((1.0, "full bump"), (0.5, "half bump"), (0.0, "ride height"), (-1.0, "full droop"))
FAR_MM = 25.0  # what is further away is drawn as no line


def charts(result: ClearanceResult) -> Iterator[Chart]:
    """Tyre to shell, and tyre to what stands on the chassis, on the side where it is nearest."""
    for end in (result.front, result.rear):
        for question, kind in (("tyre-shell", "the shell"), ("tyre-parts", "what stands beside it")):
            drawn = _chart(result.scene, end, question, kind)
            if drawn is not None:
                yield drawn


def _chart(scene: Scene, end: EndClearance, question: str, kind: str) -> Chart | None:
    part = end.closest[question]
    if is_missing(part):
        return None
    tyres = [one for one in part.contacts if one.moving.endswith("tyre")]
    side: Side = "right" if tyres and " right " in tyres[0].moving else "left"
    tyre, around = scene.ends[end.name].sides[side].tyre, scene.surroundings(end.name, side)
    if is_missing(tyre):
        return None
    chosen = [i for i, (other, _) in enumerate(around.parts) if (other.thing.kind == "shell") == (kind == "the shell")]
    chosen = [i for i in chosen if "tyre" not in around.parts[i][0].thing.may_touch]
    if not chosen:
        return None
    near = around.only(chosen)
    assert tyre.corner is not None
    steered = bool(tyre.corner.grid[:, LOCK].any())
    return Chart(
        id=f"clearance.{end.name}.{question}",
        title=f"{end.name.capitalize()} {side} tyre to {kind}",
        x_label="steer angle of this wheel, to the left (deg)" if steered else "wheel travel, bump up (mm)",
        y_label="gap, below 0: overlap (mm)",
        lines=_with_touching([*(_over_lock(tyre, near) if steered else _over_travel(tyre, near))]),
        note=f"Nearest part of all; what is further than {FAR_MM:.0f} mm is not drawn.",
    )


def _over_lock(tyre: Placed, near: Surroundings) -> Iterator[Line]:
    for height, name in HEIGHTS:
        shares = np.stack([np.full(LOCKS.size, height), LOCKS, np.zeros(LOCKS.size)], axis=-1)
        yield _line(tyre, near, shares, name, lambda pose: float(np.degrees(pose.steer_rad)))


def _over_travel(tyre: Placed, near: Surroundings) -> Iterator[Line]:
    shares = np.stack([TRAVELS, *np.zeros((2, TRAVELS.size))], axis=-1)
    yield _line(tyre, near, shares, "gap", lambda pose: pose.travel_mm)


def _line(tyre: Placed, near: Surroundings, shares: Array, name: str, across: Callable[[Pose], float]) -> Line:
    assert tyre.corner is not None
    bodies = tyre.bodies(shares)
    there = np.flatnonzero(np.isfinite(bodies.motions["knuckle"].shift).all(axis=-1))
    gap = np.full(len(shares), np.nan)
    solid = tyre.thing.shapes[0].solid(bodies).take(there)
    least = near.tree.least(solid, over_all=False, within=FAR_MM).distance.reshape(there.size, -1).min(axis=1)
    gap[there] = np.where(least < FAR_MM, least, np.nan)
    x = np.full(len(shares), np.nan)
    x[there] = [across(tyre.corner.pose(shares[i])) for i in there]
    return Line(name=name, variant="as changed", x=x, y=gap)


def _with_touching(lines: list[Line]) -> tuple[Line, ...]:
    """And the line where they touch."""
    x = np.concatenate([line.x for line in lines])
    ends = np.array([np.nanmin(x), np.nanmax(x)])
    return (*lines, Line(name="touching", variant="reference", x=ends, y=np.zeros(2)))
