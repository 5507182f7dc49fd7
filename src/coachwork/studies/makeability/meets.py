"""What `coachwork make` found of made parts near each other and near the boxes, as far as it still holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coachwork.studies.makeability.joints import placed_parts
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import Nearby, PartSolid, box_named

AGAIN = "run coachwork make again, which looks at them where they are now"


def meets_parts(near: Iterable[Nearby], parts: Iterable[PartSolid]) -> tuple[Nearby, ...]:
    """Every pair of the parts, the nearest first. Raises CannotBe where one was not looked at."""
    now = {part.name: part.placed for part in placed_parts(parts)}
    found = [each for each in near if now.get(each.one) == each.one_is and now.get(each.other) == each.other_is]
    if len(found) < len(now) * (len(now) - 1) // 2:
        raise CannotBe(f"not every two parts were held against each other as they are now; {AGAIN}")
    return tuple(sorted(found, key=lambda each: each.apart_mm))


def meets_boxes(
    near: Iterable[Nearby], parts: Iterable[PartSolid], boxes: Mapping[str, str]
) -> tuple[Nearby, ...]:  # fmt: skip
    """Every part with every box, the nearest first. Raises CannotBe where one was moved since.

    boxes : what each is now, `bodies.stamps`
    """
    now = {part.name: part.placed for part in placed_parts(parts)}
    stamps = {box_named(name): stamp for name, stamp in boxes.items()}
    found = [each for each in near if now.get(each.one) == each.one_is and stamps.get(each.other) == each.other_is]
    seen = {each.other for each in found}
    if moved := [name for name in boxes if box_named(name) not in seen]:
        raise CannotBe(f"moved since the parts were made: {', '.join(moved)}; {AGAIN}")
    return tuple(sorted(found, key=lambda each: each.apart_mm))
