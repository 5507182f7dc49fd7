"""What makes a chassis stiff: ribs, boxed sides and thick necks, wherever boxes, posts and moving parts leave room.

  wall    lid                       A closed section twists by 4 A^2 t / s, an open one by s t^3 / 3 (Bredt;
   | ____________                   docs/theory/structure.md): two walls and a lid do what a thicker floor cannot.
   ||   boxed   | coaming, or a
   ||   side    | wall of its own   rib: stands on the floor along a neck's edge, beside a cut-out, or goes on from
___||___________|_______ floor      the coaming to the side wall, as far as the first thing in its way
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from coachwork.studies.stowage.outline import Outline

Rect = tuple[float, float, float, float]  # x0, x1, y0, y1
Box = tuple[float, float, float, float, float, float]  # x0, x1, y0, y1, z0, z1
LEAST_MM = 12.0  # a shorter rib is left out
LEAST_BOX_MM = 25.0  # a shorter boxed side is
SUNK_MM = 0.5  # how far they reach into what they stand on, so that they become one with it
APART_MM = 1.0  # from what is in the way


@dataclass(frozen=True, kw_only=True)
class Floor:
    """What ribs stand on and give way to.

    in_way : boxes, posts, wires' passages, screwdrivers' ways, on the floor or through it
    """

    outline: Outline
    top_mm: float
    wall_mm: float
    wall_height_mm: float
    in_way: tuple[Rect, ...]

    @property
    def sunk_mm(self) -> float:
        """How far they reach into a wall: ending on its very face leaves slivers, where a number is rounded."""
        return min(SUNK_MM, self.wall_mm / 2)


@dataclass(frozen=True, kw_only=True)
class Coaming:
    """The wall round the battery bay: the opening, how far its ends and sides stand off it, its thickness."""

    opening: Rect
    ends_off_mm: float
    thick_mm: float
    height_mm: float

    @property
    def around(self) -> Rect:
        """The opening with the coaming."""
        x0, x1, y0, y1 = self.opening
        along = self.ends_off_mm + self.thick_mm
        return x0 - along, x1 + along, y0 - self.thick_mm, y1 + self.thick_mm


@dataclass(frozen=True, kw_only=True)
class Neck:
    """Where a rib may begin: the neck from the deck to the donor's end.

    way      : 1 at the front, -1 at the rear
    shoulder : where it begins to narrow    half_mm, narrow_mm : half its width before that, and at its end
    most_mm  : what a rib may be high over the floor, for what turns over it
    """

    way: float
    begins: float
    shoulder: float
    ends: float
    half_mm: float
    narrow_mm: float
    most_mm: float


def boxed_sides(floor: Floor, coaming: Coaming | None, width_mm: float) -> Iterator[Box]:
    """A second wall at that distance inside the outer one, or the coaming where it stands nearer, and a lid on both."""
    low, high = floor.top_mm - SUNK_MM, floor.top_mm + floor.wall_height_mm
    for hand, (x0, x1, edge) in _straight_sides(floor.outline):
        inner, into_wall = edge - hand * width_mm, edge + hand * floor.sunk_mm
        at_bay = coaming is not None and coaming.height_mm >= floor.wall_height_mm - 1e-9 and (
            hand * (coaming.opening[3 if hand > 0 else 2] + hand * coaming.thick_mm - inner) > -floor.wall_mm
        )  # fmt: skip
        if at_bay:
            assert coaming is not None
            side = coaming.opening[3 if hand > 0 else 2]
            ys = _ordered(side, into_wall)
            x0, x1 = max(x0, coaming.around[0]), min(x1, coaming.around[1])
        else:
            ys = _ordered(inner - hand * floor.wall_mm, into_wall)
        for a, b in free((x0, x1), _beside(floor.in_way, ys), LEAST_BOX_MM):
            yield a, b, *ys, high - floor.wall_mm, high
            if not at_bay:
                yield a, b, *_ordered(inner - hand * floor.wall_mm, inner), low, high


def ribs(floor: Floor, coaming: Coaming | None, necks: Sequence[Neck], cut_outs: Sequence[Rect],
         height_mm: float) -> Iterator[Box]:  # fmt: skip
    """Along necks, beside cut-outs, and on from the coaming: its sides along the necks, its ends to the walls."""
    low, thick = floor.top_mm - SUNK_MM, floor.wall_mm
    bay = (coaming.around,) if coaming is not None else ()
    for neck in necks:
        high = floor.top_mm + min(height_mm, neck.most_mm)
        lines = [_ordered(hand * (neck.half_mm - thick), hand * neck.half_mm) for hand in (1.0, -1.0)]
        if coaming is not None:  # its sides go on along the neck
            _, _, y0, y1 = coaming.around
            sides = ((y0, y0 + coaming.thick_mm), (y1 - coaming.thick_mm, y1))
            lines += [ys for ys in sides if max(map(abs, ys)) < neck.half_mm - 2 * thick]
        for out in cut_outs:
            if out[0] < max(neck.ends, neck.begins) and out[1] > min(neck.ends, neck.begins):
                lines += [ys for ys in ((out[2] - thick, out[2]), (out[3], out[3] + thick))
                          if max(map(abs, ys)) < neck.half_mm]  # fmt: skip
        for ys in lines:
            far = floor.outline.bounds[0] if neck.way > 0 else floor.outline.bounds[1]
            start = neck.ends if max(map(abs, ys)) <= neck.narrow_mm else neck.shoulder
            span = _ordered(start, (neck.begins + far) / 2)
            taken = _beside((*floor.in_way, *bay, *cut_outs), ys)
            pieces = list(free(span, taken, LEAST_MM))
            first = [piece for piece in pieces if min(abs(end - start) for end in piece) < LEAST_MM]
            for a, b in first[:1]:
                yield a, b, *ys, low, high
    if coaming is None:
        return
    x0, x1, y0, y1 = coaming.around
    high = floor.top_mm + height_mm
    for xs in ((x0, x0 + coaming.thick_mm), (x1 - coaming.thick_mm, x1)):
        low_y, high_y = _across(floor.outline, xs)
        wide = (low_y - floor.sunk_mm, high_y + floor.sunk_mm)
        taken = _across_x((*floor.in_way, *cut_outs), xs)
        for a, b in free((wide[0], y0), taken, LEAST_MM / 3):
            if y0 - b < APART_MM:
                yield *xs, a, b, low, high
        for a, b in free((y1, wide[1]), taken, LEAST_MM / 3):
            if a - y1 < APART_MM:
                yield *xs, a, b, low, high


def free(span: tuple[float, float], taken: Sequence[tuple[float, float]], least: float,
         ) -> Iterator[tuple[float, float]]:  # fmt: skip
    """What is left of a span, pieces of a length at least.

    >>> list(free((0.0, 50.0), [(10.0, 20.0), (45.0, 60.0)], 10.0))
    [(0.0, 10.0), (20.0, 45.0)]
    """
    at = span[0]
    for low, high in [*sorted(taken), (span[1], span[1])]:
        if min(low, span[1]) - at >= least:
            yield at, min(low, span[1])
        at = max(at, high)


def _beside(rects: Sequence[Rect], ys: tuple[float, float]) -> list[tuple[float, float]]:
    return [(r[0] - APART_MM, r[1] + APART_MM) for r in rects if r[2] < ys[1] and r[3] > ys[0]]


def _across_x(rects: Sequence[Rect], xs: tuple[float, float]) -> list[tuple[float, float]]:
    return [(r[2] - APART_MM, r[3] + APART_MM) for r in rects if r[0] < xs[1] and r[1] > xs[0]]


def _straight_sides(outline: Outline) -> Iterator[tuple[float, tuple[float, float, float]]]:
    """Left and right edge where they run straight along: hand, x from and to, y."""
    x, y = outline.corners[:, 0], outline.corners[:, 1]
    for hand, edge in ((1.0, float(y.max())), (-1.0, float(y.min()))):
        on = x[abs(y - edge) < 0.01]
        if len(on) > 1 and on.max() - on.min() > LEAST_BOX_MM:
            yield hand, (float(on.min()), float(on.max()), edge)


def _across(outline: Outline, xs: tuple[float, float]) -> tuple[float, float]:
    """How far the deck's hull reaches to right and left over a strip of x."""
    low, high = outline.bounds[2], outline.bounds[3]
    for a, b, c in outline.edges():
        for x in xs:
            if b > 1e-9:
                high = min(high, (c - a * x) / b)
            elif b < -1e-9:
                low = max(low, (c - a * x) / b)
    return low, high


def _ordered(a: float, b: float) -> tuple[float, float]:
    return (a, b) if a < b else (b, a)
