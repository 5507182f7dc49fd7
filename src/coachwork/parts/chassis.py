"""The chassis as a solid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from coachwork.parts.bay import LEAST_RIM, door_pads, opening
from coachwork.parts.drawn import DrawnPart, sound
from coachwork.parts.shapes import (
    OVER,
    Point2,
    block,
    cone,
    cove,
    cut,
    drill,
    engraved,
    grown,
    joined,
    plate,
    prism,
    rod,
    side,
)
from coachwork.studies.makeability.specs.chassis import WAY_MM, ChassisSpec, Tub
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.makeability.specs.stiffening import Rect, free
from coachwork.studies.stowage.outline import Outline

CHAMFER = 0.6  # of the lower edge: no elephant's foot, and it slides into the hand
LEAST_SLOT = 1.5  # between a thick neck and a seat; a narrower one is closed
LEAST_BESIDE_POST = 1.2  # of the rim left beside a post that stands half in it; else the rim gives way to it


def chassis(spec: ChassisSpec, settings: Settings) -> DrawnPart:
    """In the chassis frame. Raises PartRefused."""
    outline = _outline(spec)
    low, top = spec.top_mm - spec.floor_mm, spec.top_mm
    tubs = [tub for tub in (spec.front, spec.rear) if tub is not None]
    solid = prism(grown(outline, spec.wall_mm), low, top, chamfer_mm=CHAMFER)
    solid = joined(solid, [prism(_tub_plan(tub, spec), 0.0, top, chamfer_mm=CHAMFER) for tub in tubs])
    solid = joined(solid, [piece for tub in tubs for piece in _thick_neck(tub, spec)])
    over = max(top, low + spec.neck_mm) + OVER
    solid = cut(solid, [block(x0, x1, y0, y1, z0, over) for x0, x1, y0, y1, z0, _ in spec.wells])
    solid = cut(solid, [block(*land, top - spec.land_mm, top + OVER, round_mm=1.0) for land in spec.lands])
    walls = cut(joined(_walls(spec, outline, tubs), list(_ribs(spec, tubs))), _post_rooms(spec))
    solid = joined(solid, [walls, *_rims(spec), *(block(*box) for box in spec.stiffeners)])
    high = top + spec.wall_height_mm + OVER
    solid = cut(solid, [block(*out, -OVER, high, round_mm=spec.corner_mm) for out in spec.cut_outs])
    solid = joined(solid, [*_bosses(spec), *(piece for tub in tubs for piece in _tower(tub, spec))])
    solid = joined(solid, [block(*seat) for seat in spec.seats])
    if spec.bay is not None:
        solid = cut(solid, list(opening(spec.bay, low, top, spec.corner_mm)))
    solid = cut(solid, [tool for hole in spec.holes for tool in drill(hole, settings.shrink_mm)])
    solid = cut(solid, [_mark(spec, settings, outline)])
    return sound(
        DrawnPart(
            shape=solid,
            holes=tuple(hole.as_hole(settings.shrink_mm) for hole in spec.holes),
            pads=tuple(door_pads(spec.bay, low, top, of="chassis")) if spec.bay is not None else (),
        ),
        spec.name,
    )


def _outline(spec: ChassisSpec) -> list[Sequence[float]]:
    """The deck's, or its hull with the bay's rim where that reaches past it."""
    if spec.bay is None:
        return list(spec.outline)
    x0, x1, y0, y1 = spec.bay.opening
    along, across = spec.bay.tongue_mm + spec.bay.rim_mm, spec.bay.lip_mm
    corners = [(x, y) for x in (x0 - along, x1 + along) for y in (y0 - across, y1 + across)]
    edges = Outline(np.array(spec.outline)).edges()
    if all(a * x + b * y <= c + 1e-6 for a, b, c in edges for x, y in corners):
        return list(spec.outline)
    return [tuple(p) for p in Outline(np.array([*spec.outline, *corners])).hull().tolist()]


def _tub_plan(tub: Tub, spec: ChassisSpec) -> list[Point2]:
    """Neck, shoulders and tub from above, counter-clockwise; its root lies under the deck."""
    way = 1.0 if tub.end == "front" else -1.0
    root, flare = tub.begins - way * 4.0, 4.0
    slope = tub.shoulder_mm
    nose = _nose(tub)
    half = [
        (root, tub.neck_half_mm + flare), (tub.begins, tub.neck_half_mm + flare),
        (tub.begins + way * flare, tub.neck_half_mm), (tub.neck_to - way * slope, tub.neck_half_mm),
        (tub.neck_to, tub.half_mm), (tub.ends - way * nose, tub.half_mm), (tub.ends, tub.half_mm - nose),
    ]  # fmt: skip
    if abs(tub.neck_to - tub.begins) < flare + slope + 0.5:  # no length for flare and shoulder: one slope
        half = [(root, tub.neck_half_mm), (tub.begins, tub.neck_half_mm), *half[4:]]
    around = [*half, *((x, -y) for x, y in reversed(half))]
    return around if way < 0 else around[::-1]


def _thick_neck(tub: Tub, spec: ChassisSpec) -> Iterator[Any]:
    """A thicker floor from the deck to the end's shoulder, less what stands there."""
    low = spec.top_mm - spec.floor_mm
    if spec.neck_mm <= spec.floor_mm:
        return
    far = 2 * tub.neck_half_mm
    piece = prism(_tub_plan(tub, spec), spec.top_mm - 0.5, low + spec.neck_mm)
    xs = sorted((tub.neck_to, tub.begins - np.sign(tub.ends - tub.begins) * 10))
    piece = piece & block(xs[0], xs[1], -far, far, low, low + spec.neck_mm + 1)
    yield cut(piece, [block(*rect, spec.top_mm - 1, low + spec.neck_mm + 1) for rect in spec.on_floor])
    way = 1.0 if tub.ends > tub.begins else -1.0
    high = min(spec.corner_mm, spec.neck_mm - spec.floor_mm)
    ramp = [(tub.neck_to - way, spec.top_mm - 0.5), (tub.neck_to + way * high, spec.top_mm - 0.5),
            (tub.neck_to + way * high, spec.top_mm), (tub.neck_to, spec.top_mm + high),
            (tub.neck_to - way, spec.top_mm + high)]  # fmt: skip
    foot = side(ramp if way > 0 else ramp[::-1], -tub.half_mm, tub.half_mm)
    yield cut(foot, [block(*rect, spec.top_mm - 1, low + spec.neck_mm + 1) for rect in spec.on_floor])
    for x0, x1, y0, y1, *_ in spec.seats:  # a seat that begins just past the neck grows together with it
        gap = (x0 if way > 0 else x1) - tub.neck_to
        if 0 < way * gap < LEAST_SLOT:
            xs = sorted((tub.neck_to - way, tub.neck_to + gap + way))
            filler = block(xs[0], xs[1], y0, y1, spec.top_mm - 0.5, low + spec.neck_mm)
            yield cut(filler, [block(*rect, spec.top_mm - 1, low + spec.neck_mm + 1) for rect in spec.on_floor])


def _nose(tub: Tub) -> float:
    """How much of its outer corners is cut off."""
    beyond = abs(tub.ends - (tub.tower_x[1] if tub.end == "front" else tub.tower_x[0]))
    return min(6.0, tub.half_mm / 2, abs(tub.ends - tub.neck_to) / 3, beyond + 0.5)


def _walls(spec: ChassisSpec, outline: list[Sequence[float]], tubs: list[Tub]) -> Any:
    """Round the deck, but for its open sides and where a tub goes on."""
    high = spec.top_mm + spec.wall_height_mm
    ring = prism(grown(outline, spec.wall_mm), spec.top_mm - 0.5, high) - prism(
        outline, spec.top_mm - OVER - 1, high + 1
    )
    xs, ys = [p[0] for p in outline], [p[1] for p in outline]
    far = spec.wall_mm + 5
    away = []
    for side_ in spec.open_sides:
        x0, x1 = min(xs) - far, max(xs) + far
        y0, y1 = min(ys) - far, max(ys) + far
        x0, x1 = (x0, min(xs)) if side_ == "rear" else (max(xs), x1) if side_ == "front" else (x0, x1)
        y0, y1 = (y0, min(ys)) if side_ == "right" else (max(ys), y1) if side_ == "left" else (y0, y1)
        away.append(block(x0, x1, y0, y1, spec.top_mm - 1, high + 1))
    for tub in tubs:
        x = sorted((tub.begins, tub.begins + (far if tub.end == "front" else -far)))
        away.append(block(x[0], x[1], -tub.neck_half_mm, tub.neck_half_mm, spec.top_mm - 1, high + 1))
    return ring - away if away else ring


def _ribs(spec: ChassisSpec, tubs: list[Tub]) -> Iterator[Any]:
    """Along both edges of a neck, in line with the walls."""
    high = spec.top_mm + min(8.0, spec.wall_height_mm)
    for tub in tubs:
        slope = tub.shoulder_mm
        way = 1.0 if tub.end == "front" else -1.0
        x = sorted((tub.begins - way * 0.5, tub.neck_to - way * slope))
        if x[1] - x[0] < LEAST_RIM:
            continue
        for left in (1, -1):
            y = sorted((left * (tub.neck_half_mm - spec.wall_mm), left * tub.neck_half_mm))
            yield block(x[0], x[1], y[0], y[1], spec.top_mm - 0.5, high)


def _rims(spec: ChassisSpec) -> Iterator[Any]:
    """Round the bay, on the floor; they give way to boxes, posts, wires and what moves."""
    if spec.bay is None:
        return
    bay, (x0, x1, y0, y1) = spec.bay, spec.bay.opening
    high = spec.top_mm + bay.rim_height_mm
    ways = [(x - WAY_MM, x + WAY_MM, y - WAY_MM, y + WAY_MM) for x, y in spec.passages]
    boxes = [*spec.lands, *(well[:4] for well in spec.wells), *(seat[:4] for seat in spec.seats)]
    posts = [(x - r, x + r, y - r, y + r) for x, y, r in spec.posts]
    thin = LEAST_BESIDE_POST
    in_way: list[Rect] = [*ways, *spec.cut_outs, *boxes]
    along, across = bay.tongue_mm, bay.rim_mm
    far = (x0 - along - across, x1 + along + across)
    strips = [  # and what is left of each beside a post that stands half in it
        ((*far, y0 - across, y0), (*far, y0 - thin, y0)), ((*far, y1, y1 + across), (*far, y1, y1 + thin)),
        ((far[0], x0 - along, y0, y1), (x0 - along - thin, x0 - along, y0, y1)),
        ((x1 + along, far[1], y0, y1), (x1 + along, x1 + along + thin, y0, y1)),
    ]  # fmt: skip
    pieces = []
    for (a, b, c, d), least in strips:
        met = [r for r in in_way if _meet(r, (a, b, c, d))] + [r for r in posts if _meet(r, least)]
        if b - a > d - c:
            pieces += [(*piece, c, d) for piece in free((a, b), [(r[0] - 1, r[1] + 1) for r in met], LEAST_RIM)]
        else:
            pieces += [(a, b, *piece) for piece in free((c, d), [(r[2] - 1, r[3] + 1) for r in met], LEAST_RIM)]
    for a, b, c, d in pieces:
        yield cut(block(a, b, c, d, spec.top_mm - 0.5, high), _post_rooms(spec))


def _post_rooms(spec: ChassisSpec) -> list[Any]:
    """What a post takes of the walls, ribs and rims beside it."""
    high = spec.top_mm + max(spec.wall_height_mm, 8.0, spec.bay.rim_height_mm if spec.bay is not None else 0.0)
    return [rod((x, y, spec.top_mm - 1), (0, 0, 1), 2 * r, high + 2 - spec.top_mm) for x, y, r in spec.posts]


def _meet(one: Rect, other: Rect) -> bool:
    return one[0] < other[1] and one[1] > other[0] and one[2] < other[3] and one[3] > other[2]


def _bosses(spec: ChassisSpec) -> Iterator[Any]:
    for boss in spec.bosses:
        yield rod((boss.x, boss.y, 0.0), (0, 0, 1), boss.diameter_mm, boss.top)
        height = min(spec.corner_mm, boss.top - spec.top_mm)
        wide = boss.diameter_mm + 2 * height
        yield cone((boss.x, boss.y, spec.top_mm - 0.2), (0, 0, 1), wide + 0.4, boss.diameter_mm - 0.02, height + 0.21)
        yield rod((boss.x, boss.y, 0.0), (0, 0, 1), wide, spec.top_mm)  # a foot where the floor has none


def _tower(tub: Tub, spec: ChassisSpec) -> Iterator[Any]:
    """The plate that the dampers hang on, with a web to the end of the floor and coves at its foot."""
    x0, x1 = tub.tower_x
    ear = max(5.5, 1.9 * spec.boss_screw_mm)
    half, y, z = tub.half_mm, tub.damper_y, tub.damper_z
    foot = min(spec.top_mm + 16.0, 0.45 * z)
    notch = max(foot + 6.0, 0.62 * z)
    right = [(half, 0.0), (half, foot), (y + ear, z - 1.3 * ear), (y + ear, z + ear), (y - ear, z + ear),
             (0.55 * half, notch)]  # fmt: skip
    points = [*right, *((-a, b) for a, b in reversed(right))]
    yield plate(points, x0, x1, round_mm=0.0)
    ahead = tub.end == "front"
    face, back = (x1, x0) if ahead else (x0, x1)
    reach = abs(tub.ends - face) - 1.0
    radius = min(2 * spec.corner_mm, reach)
    for x, way in ((face, ahead), (back, not ahead)):
        wide = half - _nose(tub) if way == ahead else half
        piece = cove(x, -wide, wide, spec.top_mm, radius if way == ahead else spec.corner_mm, ahead=way)
        if piece is not None:
            yield piece
    if reach > 3.0:
        way_ = 1 if ahead else -1
        high = min(foot, spec.top_mm + 2.0 * reach)
        web = [(face - way_ * 0.5, spec.top_mm - 0.5), (face + way_ * reach, spec.top_mm - 0.5),
               (face + way_ * reach, spec.top_mm + 1.0), (face - way_ * 0.5, high)]  # fmt: skip
        at = half - 6.5
        for left in (1, -1):
            ys = sorted((left * at, left * (at - spec.wall_mm)))
            yield side(web, ys[0], ys[1])


def _mark(spec: ChassisSpec, settings: Settings, outline: list[Sequence[float]]) -> Any:
    """Number and revision, in the floor's underside, where nothing else is cut."""
    xs, ys = [p[0] for p in outline], [p[1] for p in outline]
    at = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    if spec.bay is not None:  # on the wider side of the bay
        _, _, y0, y1 = spec.bay.opening
        left, right = max(ys) - y1 - spec.bay.lip_mm, y0 - spec.bay.lip_mm - min(ys)
        at = (at[0], max(ys) - left / 2 if left > right else min(ys) + right / 2)
    return engraved(f"{settings.number} {settings.revision}", at=(*at, spec.top_mm - spec.floor_mm), below=True, size=9)
