"""The battery bay: what is cut out of the chassis for its door, and where the two bear on each other.

Lips along the sides are the floor's upper half, ledges at the ends its lower half. Were they to meet in the opening's
corners, they would cross in a point with a sharp inner edge going off either way: no finite stress there. So the lips
end before the corners, which are rounded; where a lip ends, and where a ledge meets the sides, the half that is cut out
is rounded, too.

    from below      |  ledge          from the side, cut     _________________
       _____________|                 through a lip            lip   __ full
       lip  |      /                                        ________/  floor
    ________|____ /   opening
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal

from coachwork.parts.shapes import OVER, block
from coachwork.studies.makeability.specs.chassis import Bay
from coachwork.studies.makeability.specs.stiffening import free
from coachwork.studies.solids import Pad

Span = tuple[float, float]
LEAST_RIM = 14.0  # a shorter piece of rim or lip is left out


def opening(bay: Bay, low: float, top: float, corner: float) -> Iterator[Any]:
    """Below, as wide as the lips; above, as long as the tongue; slots to pry the latches back by."""
    x0, x1, y0, y1 = bay.opening
    middle, r = (low + top) / 2, bay.round_mm
    sides, ends = (y0 - bay.lip_mm, y1 + bay.lip_mm), (x0 - bay.tongue_mm, x1 + bay.tongue_mm)
    under = block(*bay.lips, *sides, low - OVER, middle, round_mm=corner)
    under = under & eased(bay.lips, sides, (low - OVER, middle), at="ends", above=True, r=r)
    for a, b, c, d in bay.notches:
        c, d = (c - 1, d) if d <= y0 + 0.01 else (c, d + 1)
        under = under - block(a, b, c, d, low - 2 * OVER, middle + OVER)
    yield under
    yield block(x0, x1, y0, y1, low - OVER, top + bay.rim_height_mm + OVER, round_mm=bay.corner_mm)
    above = block(*ends, y0, y1, middle, top + OVER, round_mm=corner)
    yield above & eased(ends, (y0, y1), (middle, top + OVER), at="sides", above=False, r=r)
    for y in bay.pry:
        yield block(x1 - 1.5, x1 + 2.5, y - 2.5, y + 2.5, low - OVER, middle + 0.2, round_mm=1.0)


def eased(xs: Span, ys: Span, zs: Span, *, at: Literal["ends", "sides"], above: bool, r: float) -> Any:
    """A block, the two upper or lower edges of its ends or of its sides rounded."""
    import build123d as b

    solid = block(*xs, *ys, *zs)
    edges = solid.edges().filter_by(b.Axis.Y if at == "ends" else b.Axis.X).sort_by(b.Axis.Z)
    return b.fillet(edges[2:] if above else edges[:2], r)


def door_pads(bay: Bay, low: float, top: float, *, of: str) -> Iterator[Pad]:
    """Where door and chassis bear on each other: lips, tongue and noses; of one of the two, seen from it."""
    x0, _, y0, y1 = bay.opening
    middle, up = (low + top) / 2, 1.0 if of == "battery-door" else -1.0
    against = "chassis" if of == "battery-door" else "battery-door"
    for hand, y, low_y in (("right", y0 - bay.lip_mm / 2, y0 - bay.lip_mm), ("left", y1 + bay.lip_mm / 2, y1)):
        taken = [(n[0], n[1]) for n in bay.notches if abs(n[2] - low_y) < 1e-3]
        for i, (a, b) in enumerate(free(bay.lips, taken, LEAST_RIM), start=1):
            yield Pad(name=f"lip-{hand}-{i}", against=against, centre_mm=((a + b) / 2, y, middle), normal=(0, 0, up),
                      along=(1.0, 0.0, 0.0), length_mm=b - a, width_mm=bay.lip_mm, carries="shear")  # fmt: skip
    yield Pad(name="tongue", against=against, centre_mm=(x0 - bay.tongue_mm / 2, (y0 + y1) / 2, middle),
              normal=(0, 0, -up), along=(0.0, 1.0, 0.0), length_mm=y1 - y0, width_mm=bay.tongue_mm)  # fmt: skip
