"""Hub carriers as solids: a hub with two bearing seats, lugs for the arm's pin, a boss for the link's ball stud."""

from __future__ import annotations

import numpy as np

from coachwork.parts.drawn import DrawnPart, sound
from coachwork.parts.shapes import OVER, block, cone, cut, joined, plate, rod
from coachwork.studies.makeability.specs.carrier import CarrierSpec
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.solids import Hole, Vector

CLEAR = 0.8  # between the web and the arm's end that turns below it
LEAD_MM = 0.4  # chamfer at a seat's mouth, so that a ring starts straight


def carrier(spec: CarrierSpec, settings: Settings) -> DrawnPart:
    """In its own frame. Raises PartRefused."""
    outer, out = np.array(spec.outer_mm), np.array(spec.outboard)
    inner = outer - spec.across_mm * out
    middle = (outer + inner) / 2
    body = spec.ring_mm / 2 + spec.wall_mm
    pin = np.array(spec.pin_axis)
    solid = rod(inner, out, 2 * body, spec.across_mm)
    y0, y1 = sorted((float(inner[1]), float(outer[1])))
    lug, half, gap = spec.barrel_mm / 2, spec.pin_gap_mm / 2 + spec.lug_mm, spec.pin_gap_mm / 2
    foot = lug + CLEAR  # of the web, over the pin
    web = [(-half, foot), (half, foot), (half, foot + 2.0), (middle[0] + body, middle[2]),
           (middle[0] - body, middle[2]), (-half, foot + 2.0)]  # fmt: skip
    low, high = min(y0 + 1.0, -lug), max(y1 - 1.0, lug)
    flat = plate([(float(x), float(z)) for x, z in web], 0.0, high - low)
    pieces = [_across(flat, low, high)]
    for way in (1.0, -1.0):
        start = pin * way * gap
        pieces.append(rod(start, pin * way, spec.barrel_mm, spec.lug_mm))
        x = sorted((way * gap, way * half))
        pieces.append(block(x[0], x[1], -lug, lug, 0.0, foot + 1.0))
    link = np.array(spec.link_mm)
    boss = 2 * spec.wall_mm + spec.link_pilot_mm + 1.0
    pieces.append(rod((link[0], link[1], middle[2]), (0, 0, 1), boss, float(link[2] - middle[2])))
    solid = joined(solid, pieces)
    holes, shrink = list(_holes(spec, settings)), settings.shrink_mm
    tools = [rod(np.array(h.centre_mm) - OVER * np.array(h.axis), h.axis, h.drawn_mm, h.depth_mm + OVER
                 + (OVER if h.purpose == "pin" else 0.0)) for h in holes]  # fmt: skip
    tools.append(rod(inner - OVER * out, out, spec.shoulder_mm + shrink, spec.across_mm + 2 * OVER))
    for face, into in ((outer, -out), (inner, out)):
        wide = spec.seat_drawn_mm + 2 * LEAD_MM
        tools.append(cone(face - 0.1 * into, into, wide + 0.2, spec.seat_drawn_mm - 0.02, LEAD_MM + 0.11))
    clear = rod(-pin * gap, pin, spec.barrel_mm + 2 * CLEAR, 2 * gap)  # the arm's end turns here
    solid = cut(solid, [*tools, clear])
    return sound(DrawnPart(shape=solid, holes=tuple(holes), chassis_from_part=(spec.chassis_from_part,)), spec.name)


def _across(flat: object, low: float, high: float) -> object:
    """A plate drawn as (y, z) along x, laid as (x, z) along y from `low` to `high`."""
    import build123d as b

    plane = b.Plane(origin=(0, high, 0), x_dir=(0, -1, 0), z_dir=(0, 0, 1))
    return plane * flat  # type: ignore[operator]


def _holes(spec: CarrierSpec, settings: Settings) -> list[Hole]:
    outer, out = np.array(spec.outer_mm), np.array(spec.outboard)
    inner, pin = outer - spec.across_mm * out, np.array(spec.pin_axis)
    seats = [
        Hole(name=f"bearings.{name}", centre_mm=_v(at), axis=_v(way), diameter_mm=spec.ring_mm,
             drawn_mm=spec.seat_drawn_mm, depth_mm=spec.ring_width_mm, through=False, purpose="bearing")
        for name, at, way in (("outer", outer, -out), ("inner", inner, out))
    ]  # fmt: skip
    face = spec.pin_gap_mm / 2 + spec.lug_mm
    lugs = [
        Hole(name=f"hinge-pin.{name}", centre_mm=_v(-way * pin * face), axis=_v(way * pin), diameter_mm=spec.pin_mm,
             drawn_mm=spec.pin_mm + settings.shrink_mm, depth_mm=spec.lug_mm, purpose="pin")
        for name, way in (("rear", 1.0), ("front", -1.0))
    ]  # fmt: skip
    stud = Hole(name="camber-link.stud", centre_mm=spec.link_mm, axis=(0.0, 0.0, -1.0), diameter_mm=spec.link_pilot_mm,
                drawn_mm=spec.link_pilot_mm + settings.shrink_mm, depth_mm=spec.link_depth_mm, through=False,
                purpose="thread-forming", screw=spec.link_screw)  # fmt: skip
    return [*seats, *lugs, stud]


def _v(values: object) -> Vector:
    x, y, z = (round(float(value), 6) for value in values)  # type: ignore[attr-defined]
    return x, y, z
