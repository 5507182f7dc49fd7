"""The shell drawn from its numbers, and dimension lines for the elevations.

Where a scan is seated the lines stand round that; without one, what the numbers say is all there is to draw. Chassis
frame, mm; the ground is a ride height below the underside.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from coachwork.build import Build, Entry
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels, fitted
from coachwork.confidence.json_form import Json
from coachwork.quantity import brief

View = Literal["side", "end", "plan"]


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """One dimension line, from point to point; `row` counts outward from the vehicle."""

    key: str
    words: str
    view: View
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    row: int

    def form(self) -> dict[str, Json]:
        """As plain data."""
        return {"key": self.key, "words": self.words, "view": self.view, "start": list(self.start),
                "end": list(self.end), "row": self.row}  # fmt: skip


def outline(build: Build) -> dict[str, Json]:
    """What the numbers alone say of shell, wheels and ground: each part that is known."""
    shell, gear = build[Shell], build[RunningGear]
    drawn: dict[str, Json] = {"ground": ground_mm(build)}
    front, base = _mm(shell.front_overhang), wheelbase_mm(build)
    rear, height, width = _mm(shell.rear_overhang), _mm(shell.height), _mm(shell.width)
    if base is not None:
        drawn["wheelbase"] = base
    length = _mm(shell.length)
    if length is None and front is not None and rear is not None and base is not None:
        length = front + base + rear
    if length is not None and width is not None:
        nose = front if front is not None else (length - (base or 0.6 * length)) / 2
        drawn["shell"] = {
            "nose": nose, "tail": nose - length, "half_width": width / 2, "height": height or width,
            "sill": _mm(shell.sill_height) or 0.15 * (height or width),
            "openings": [_mm(shell.arch_opening_front), _mm(shell.arch_opening_rear)],
        }  # fmt: skip
    wheels: list[Json] = []
    for name in ("front", "rear"):
        end = getattr(gear, name)
        wheel = fitted(planned=getattr(build[Wheels], name), bought=end.wheel)
        tyre = _mm(wheel.tyre_diameter)
        if tyre is not None and (name == "front" or base is not None):
            face = _mm(end.hub_face.y)
            wheels.append({
                "name": f"{name} wheels", "x": 0.0 if name == "front" else -float(base or 0.0), "radius": tyre / 2,
                "half_track": face if face is not None else (width or 3 * tyre) / 2 - (_mm(wheel.tyre_width) or 20) / 2,
                "width": _mm(wheel.tyre_width) or 0.3 * tyre,
            })  # fmt: skip
    drawn["wheels"] = wheels
    return drawn


def ground_mm(build: Build) -> float:
    """Height of the ground at the front axle, z."""
    front = build[Changes].front.ride_height
    ride = _mm(front) if front.given else _mm(build[RunningGear].front.ride_height)
    return -(ride or 0.0)


def wheelbase_mm(build: Build) -> float | None:
    """Of the running gear as changed, or else what the shell asks for."""
    bought, longer = _mm(build[RunningGear].wheelbase), build[Changes].stretch
    if bought is not None:
        return bought + ((_mm(longer) or 0.0) if longer.given else 0.0)
    return _mm(build[Shell].wheelbase)


def dimensions(build: Build) -> Iterator[Dimension]:
    """Those whose place the numbers tell, for every view."""
    shell, ground = build[Shell], ground_mm(build)
    drawn = outline(build).get("shell")
    if not isinstance(drawn, dict):
        return
    nose, tail, half = (float(drawn[name]) for name in ("nose", "tail", "half_width"))  # type: ignore[arg-type]
    top = ground + float(drawn["height"])  # type: ignore[arg-type]
    base = _mm(shell.wheelbase)
    axle = -base if base is not None else None

    def line(entry: Entry, view: View, start: tuple[float, float, float], end: tuple[float, float, float], row: int
             ) -> Iterator[Dimension]:  # fmt: skip
        if entry.measured is not None:
            yield Dimension(key=entry.key, words=brief(entry.measured), view=view, start=start, end=end, row=row)

    def along(entry: Entry, x0: float, x1: float, row: int) -> Iterator[Dimension]:
        yield from line(entry, "side", (x0, 0.0, ground), (x1, 0.0, ground), row)

    def up(entry: Entry, view: View, z1: float, row: int) -> Iterator[Dimension]:
        place = (tail, 0.0) if view == "side" else (0.0, -half)
        yield from line(entry, view, (*place, ground), (*place, z1), row)

    yield from along(shell.length, nose, tail, 2)
    yield from along(shell.front_overhang, nose, 0.0, 1)
    if axle is not None:
        yield from along(shell.wheelbase, 0.0, axle, 1)
        yield from along(shell.rear_overhang, axle, tail, 1)
    yield from up(shell.height, "side", top, 2)
    for row, entry in ((1, shell.sill_height),):
        if (height := _mm(entry)) is not None:
            yield from up(entry, "side", ground + height, row)
    for entry, row in ((shell.waist_height, 1), (shell.headlamp_height, 2)):
        if (height := _mm(entry)) is not None:
            yield from up(entry, "end", ground + height, row)
    for entry, row in ((shell.width, 3), (shell.bumper_width, 2), (shell.headlamp_spacing, 1)):
        if (across := _mm(entry)) is not None:
            yield from line(entry, "end", (0.0, across / 2, ground), (0.0, -across / 2, ground), row)
    for entry, x in ((shell.front.across, 0.0), (shell.rear.across, axle)):
        if (across := _mm(entry)) is not None and x is not None:
            yield from line(entry, "plan", (x, across / 2, 0.0), (x, -across / 2, 0.0), 0)
    yield from line(shell.length, "plan", (nose, half, 0.0), (tail, half, 0.0), 1)
    if axle is not None:
        yield from line(shell.wheelbase, "plan", (0.0, -half, 0.0), (axle, -half, 0.0), 1)


def _mm(entry: Entry) -> float | None:
    best = entry.best
    return None if best is None else float(best.value)
