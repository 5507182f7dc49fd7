"""From made parts, boxes in their places and drivers' ways to an order of assembly."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.makeability.joints import mates, on_chassis, placed_parts, screws
from coachwork.studies.makeability.order import CHASSIS, Order, Screw, order_of
from coachwork.studies.makeability.screws import box_places
from coachwork.studies.makeability.specs.chassis.steering import SERVO
from coachwork.studies.makeability.specs.chassis.stowed import PACK
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe, is_missing
from coachwork.studies.solids import Hole, PartSolid

Boxes = Mapping[str, tuple[Numbers, Numbers]]
HOLDS = {"servo": SERVO}  # screws of a pattern that hold a box


def assembly(parts: Sequence[PartSolid], reach: Mapping[str, Mapping[str, float]], tables: PartTables) -> Order:
    """Raises NotMeasured and CannotBe."""
    placed = placed_parts(parts)
    if CHASSIS not in {part.name for part in placed}:
        raise CannotBe("no chassis is made that parts would go on")
    length, thick = number(tables.making.driver_length), number(tables.making.driver_diameter)
    boxes = {name: at for name, at in box_places(tables) if not is_missing(at)}
    names = [*(part.name for part in placed), *boxes]
    return order_of(names, _screws(placed, reach, boxes, length=length, thick=thick), _after(names))


def _after(names: Sequence[str]) -> dict[str, list[str]]:
    """What goes on what by itself: a bracket on its post; the door over the pack."""
    after = {name: [f"post-{name.removeprefix('bracket-')}"] for name in names if name.startswith("bracket-")}
    return after | {"battery-door": [PACK]}


def _screws(
    placed: Sequence[PartSolid], reach: Mapping[str, Mapping[str, float]], boxes: Boxes, *, length: float, thick: float
) -> Iterator[Screw]:
    for part, hole in screws(placed):
        held = {HOLDS[hole.pattern]} & set(boxes) if part.name == CHASSIS and hole.pattern in HOLDS else set()
        near = {name for name, far in reach.get(f"{part.name}/{hole.name}", {}).items() if far < length}
        near |= {name for name, at in boxes.items() if name not in held and _meets(part, hole, at, length, thick)}
        yield Screw(part=part.name, hole=hole.name, joins=mates(part, hole, placed) | held, in_way=frozenset(near))


def _meets(part: PartSolid, hole: Hole, box: tuple[Numbers, Numbers], length: float, thick: float) -> bool:
    """Whether a driver, as a line of its thickness, meets a box: slab by slab."""
    at, axis = on_chassis(part, hole)
    wider = thick / 2 * np.sqrt(np.maximum(1 - axis**2, 0.0))  # across the driver, not along it
    low, high = box[0] - wider, box[1] + wider
    with np.errstate(divide="ignore", invalid="ignore"):
        one, other = (low - at) / -axis, (high - at) / -axis
    near, far = np.fmin(one, other), np.fmax(one, other)
    beside = (np.abs(axis) < 1e-9) & ((at < low) | (at > high))
    near, far = np.where(np.abs(axis) < 1e-9, -np.inf, near), np.where(np.abs(axis) < 1e-9, np.inf, far)
    enters, leaves = max(float(near.max()), 0.0), min(float(far.min()), length)
    return not bool(beside.any()) and enters < leaves
