"""The battery door as a solid.

Hooked in with its tongue, swung up until two latches snap over the floor's front edge. The latches are beams cut out of
the door's front edge, that bend back in the door's own plane; a blade through the slot before a nose pries it back.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coachwork.parts.bay import door_pads, eased
from coachwork.parts.drawn import DrawnPart, sound
from coachwork.parts.shapes import block, cut, engraved, joined, rod, side
from coachwork.studies.makeability.specs.door import DoorSpec, latches, roots
from coachwork.studies.makeability.specs.settings import Settings

PLAY = 0.1  # up and down between lips; common practice, no source
NOSE = 5.0  # of a latch, along the beam
CLEAR = 1.0  # behind a latch that is bent right back


def battery_door(spec: DoorSpec, settings: Settings) -> DrawnPart:
    """In the chassis frame, shut. Raises PartRefused."""
    bay, gap, middle = spec.bay, settings.gap_mm, (spec.low_mm + spec.top_mm) / 2
    x0, x1, y0, y1 = bay.opening
    lip, tongue = bay.lip_mm - gap, bay.tongue_mm - gap
    corner = spec.corner_mm + gap
    xs, ys, r = (x0 + gap, x1 - gap), (y0 + gap, y1 - gap), bay.round_mm
    solid = block(*xs, *ys, spec.low_mm, spec.top_mm, round_mm=bay.corner_mm)
    between, wide, under = (bay.lips[0] + gap, bay.lips[1] - gap), (y0 - lip, y1 + lip), (spec.low_mm, middle - PLAY)
    flange = block(*between, *wide, *under, round_mm=corner) & eased(between, wide, under, at="ends", above=True, r=r)
    notches = []
    for a, b, c, d in bay.notches:
        c, d = (c - 1, d + gap) if d <= y0 + 0.01 else (c - gap, d + 1)
        notches.append(block(a - gap, b + gap, c, d, spec.low_mm - 1, spec.top_mm + 1))
    flange = cut(flange, notches)
    long, above = (x0 - tongue, x0 + 8.0), (middle + PLAY, spec.top_mm)
    hook = block(*long, *ys, *above, round_mm=corner) & eased(long, ys, above, at="sides", above=False, r=r)
    pins = [rod((x, y, spec.low_mm), (0, 0, 1), spec.pin_mm, spec.top_mm - spec.low_mm - 0.3) for x, y in bay.pins]
    solid = joined(solid, [flange, hook, *pins])
    solid = joined(cut(solid, list(_slots(spec, gap))), list(_noses(spec, gap)))
    at = ((x0 + x1) / 2, (y0 + y1) / 2, spec.low_mm)
    solid = cut(solid, [engraved(f"{settings.number} {settings.revision}", at=at, below=True, size=9)])
    return sound(
        DrawnPart(
            shape=solid,
            pads=tuple(door_pads(bay, spec.low_mm, spec.top_mm, of="battery-door")),
            latches=latches(spec, gap),
        ),
        spec.name,
    )


def _slots(spec: DoorSpec, gap: float) -> Iterator[Any]:
    """Behind each beam, round at its root, and past its free end; to the door's side where that is near."""
    front = spec.bay.opening[1] - gap
    wide = spec.latch_hook_mm - gap + CLEAR
    back = front - spec.latch_thickness_mm
    low, high = spec.low_mm - 1, spec.top_mm + 1
    for way, root, free in roots(spec):
        near = root + way * wide / 2
        ys = sorted((near, free + way * CLEAR))
        yield block(back - wide, back, ys[0], ys[1], low, high)
        yield rod((back - wide / 2, near, low), (0, 0, 1), wide, high - low)
        past, deep = free + way * CLEAR, back - 0.1
        beside = spec.bay.opening[3 if way > 0 else 2] - way * gap
        if way * (beside - past) < spec.bay.corner_mm:  # the rounded corner would leave a thin horn beside the slot
            past, deep = beside + way, back - wide
        ys = sorted((free, past))
        yield block(deep, front + 1, ys[0], ys[1], low, high)


def _noses(spec: DoorSpec, gap: float) -> Iterator[Any]:
    """Flat below, where it bears on the floor's edge; sloped above, so that it slides past it on the way in."""
    front, hook = spec.bay.opening[1] - gap, spec.latch_hook_mm
    low = (spec.low_mm + spec.top_mm) / 2 + PLAY
    rise = min(0.6, 0.4 * (spec.top_mm - low))
    outline = [(front - 0.5, low), (front + hook, low), (front + hook, low + rise), (front, spec.top_mm),
               (front - 0.5, spec.top_mm)]  # fmt: skip
    for way, _, free in roots(spec):
        ys = sorted((free, free - way * min(NOSE, spec.latch_length_mm / 2)))
        yield side(outline, ys[0], ys[1])
