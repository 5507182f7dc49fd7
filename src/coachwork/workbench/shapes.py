"""What hangs on a wheel or stands beside it, drawn as the very shapes that are searched."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.confidence.json_form import Json
from coachwork.geometry.outlines import outline_of
from coachwork.studies.clearance.corners import Corner, SprungCorner
from coachwork.studies.clearance.search import Placed
from coachwork.studies.clearance.shapes import Box, Cylinder, Rod, Shape, Turning
from coachwork.workbench.plain import numbers

PIN_MM = 1.2  # how thick a line is drawn that has no thickness


def part_form(one: Placed, corner: str | None) -> dict[str, Json]:
    still = one.still
    return {
        "id": one.key,
        "name": one.name,
        "kind": one.thing.kind,
        "corner": corner,
        "mirror": still is not None and still.right,
        "shift": [0.0, 0.0, 0.0] if still is None else numbers(np.ravel(still.shift[0])),
        "shapes": [_shape(shape) for shape in one.thing.shapes],
    }


def pins_of(corner: Corner) -> Iterator[Json]:
    """Arm and kingpin as lines through their pins: where they are, not how they are shaped."""
    if not isinstance(corner, SprungCorner):
        return
    lines = {
        "arm": ("arm", [("arm_pin_front", "arm_pin_rear"), ("hub_pin_front", "hub_pin_rear"),
                        ("arm_pin_front", "hub_pin_front"), ("arm_pin_rear", "hub_pin_rear"),
                        ("arm_pin_front", "lower_ball"), ("arm_pin_rear", "lower_ball")]),
        "kingpin": ("knuckle", [("kingpin_lower", "kingpin_upper"), ("kingpin_lower", "hub_face")]),
    }  # fmt: skip
    for name, (body, pairs) in lines.items():
        shapes: list[Json] = []
        for first, last in pairs:
            ends = [getattr(corner.points, point, None) for point in (first, last)]
            if all(end is not None and end.known for end in ends):
                start, end = (corner.redrawn(body, point.mm)[0] for point in ends if point is not None)
                shapes.append({"kind": "rod", "body": body, "other": body, "start": numbers(start),
                               "end": numbers(end), "radius": PIN_MM})  # fmt: skip
        if shapes:
            words = f"{corner.name} {name}"
            yield {"id": words, "name": words, "kind": "pins", "corner": corner.name, "mirror": False,
                   "shift": [0.0, 0.0, 0.0], "shapes": shapes}  # fmt: skip


def _shape(shape: Shape) -> dict[str, Json]:
    match shape:
        case Box():
            return {"kind": "box", "body": shape.body, "middle": numbers(shape.middle[0]),
                    "half": numbers(shape.half[0])}  # fmt: skip
        case Cylinder():
            return {"kind": "cylinder", "body": shape.body, "start": numbers(shape.start[0]),
                    "end": numbers(shape.end[0]), "radius": float(shape.radius[0])}  # fmt: skip
        case Rod():
            return {"kind": "rod", "body": shape.body, "other": shape.other, "start": numbers(shape.start[0]),
                    "end": numbers(shape.end[0]), "radius": float(shape.radius[0])}  # fmt: skip
        case Turning():
            return {"kind": "turning", "body": shape.body, "centre": numbers(shape.centre[0]),
                    "axis": numbers(shape.axis[0]),
                    "profile": [numbers(point) for point in outline_of(shape.section)]}  # fmt: skip
    raise TypeError(f"{type(shape).__name__} is nothing to draw")
