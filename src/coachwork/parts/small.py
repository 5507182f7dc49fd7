"""Hub spacers, light housings and jigs as solids."""

from __future__ import annotations

from math import cos, hypot, pi, sin

from coachwork.parts.drawn import DrawnPart, sound
from coachwork.parts.shapes import block, cone, cut, engraved, joined, rod
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.makeability.specs.small import HousingSpec, JigSpec, MarkerSpec, SpacerSpec
from coachwork.studies.solids import Hole

UP = (0.0, 0.0, 1.0)
LETTERS = 5.0  # height of the number on a jig, mm
POINT = 0.8  # across the blunt end of a marking point: a sharper one is not printed
FLANGE = 2.5  # of a housing, round its mouth, to glue it in by


def hub_spacer(spec: SpacerSpec, settings: Settings) -> DrawnPart:
    """A ring; too thin for a number on it."""
    bore = spec.bore_mm + settings.shrink_mm
    solid = rod((0, 0, 0), UP, spec.outside_mm, spec.thickness_mm)
    solid = cut(solid, [rod((0, 0, -1), UP, bore, spec.thickness_mm + 2)])
    hole = Hole(name="axle.bore", centre_mm=(0.0, 0.0, 0.0), axis=UP, diameter_mm=spec.bore_mm, drawn_mm=bore,
                depth_mm=spec.thickness_mm, purpose="pin")  # fmt: skip
    return sound(DrawnPart(shape=solid, holes=(hole,)), spec.name)


def light_housing(spec: HousingSpec, settings: Settings) -> DrawnPart:
    """A cup with a step for the lens, a flange to glue it in by, and holes for the diodes in its bottom."""
    gap = settings.gap_mm / 2
    inside, mouth = spec.lens_mm - 2.0, spec.lens_mm + 2 * gap
    outside, high = mouth + 2 * spec.wall_mm, spec.wall_mm + spec.depth_mm + spec.lens_depth_mm
    solid = rod((0, 0, 0), UP, outside, high)
    solid = joined(solid, [rod((0, 0, high - spec.wall_mm - 0.2), UP, outside + 2 * FLANGE, spec.wall_mm + 0.2)])
    solid = cut(solid, [
        rod((0, 0, spec.wall_mm), UP, inside, high),
        rod((0, 0, high - spec.lens_depth_mm), UP, mouth, spec.lens_depth_mm + 1),
    ])  # fmt: skip
    ring = 0.0 if spec.diodes == 1 else inside / 2 - spec.diode_mm / 2 - 1.0
    drawn = spec.diode_mm + settings.shrink_mm
    holes = tuple(
        Hole(name=f"diodes.{i + 1}", axis=UP, diameter_mm=spec.diode_mm, drawn_mm=drawn, depth_mm=spec.wall_mm,
             centre_mm=(ring * cos(2 * pi * i / spec.diodes), ring * sin(2 * pi * i / spec.diodes), 0.0), purpose="pin")
        for i in range(spec.diodes)
    )  # fmt: skip
    solid = cut(solid, [rod((*hole.centre_mm[:2], -1), UP, drawn, spec.wall_mm + 2) for hole in holes])
    return sound(DrawnPart(shape=solid, holes=holes), spec.name)


def jig(spec: JigSpec, settings: Settings) -> DrawnPart:
    """A plate laid on the work, a bush over each hole; a notch in its front edge says which way round it goes."""
    xs, ys = [x for x, _ in spec.holes], [y for _, y in spec.holes]
    edge = spec.drill_mm + 5.0
    x0, x1, y0, y1 = min(xs) - edge, max(xs) + edge, min(ys) - edge, max(ys) + edge
    high = spec.plate_mm + spec.bush_mm
    solid = block(x0, x1, y0, y1, 0, spec.plate_mm, round_mm=4.0)
    solid = joined(solid, [rod((x, y, 0), UP, spec.drill_mm + 5.0, high) for x, y in spec.holes])
    middle = (y0 + y1) / 2
    drawn = spec.drill_mm + settings.shrink_mm
    solid = cut(solid, [
        *(rod((x, y, -1), UP, drawn, high + 2) for x, y in spec.holes),
        rod((x1, middle, -1), UP, min(6.0, (y1 - y0) / 4), spec.plate_mm + 2),
        *(engraved(settings.number, at=(*place, spec.plate_mm), below=False, size=LETTERS)
          for place in _bare((x0, x1, y0, y1), spec, len(settings.number))),
    ])  # fmt: skip
    holes = tuple(
        Hole(name=f"bushes.{i}", centre_mm=(x, y, high), axis=(0.0, 0.0, -1.0), diameter_mm=spec.drill_mm,
             drawn_mm=drawn, depth_mm=high, purpose="pin")
        for i, (x, y) in enumerate(spec.holes, start=1)
    )  # fmt: skip
    return sound(DrawnPart(shape=solid, holes=holes), spec.name)


def post_marker(spec: MarkerSpec, settings: Settings) -> DrawnPart:
    """A cap with a point on the post's own axis."""
    outside = spec.bore_mm + 2 * spec.wall_mm
    top, point = spec.depth_mm + spec.wall_mm, spec.rise_mm - spec.wall_mm
    solid = rod((0, 0, 0), UP, outside, top)
    solid = joined(solid, [cone((0, 0, top - 0.01), UP, outside, POINT, point + 0.01)])
    drawn = spec.bore_mm + settings.shrink_mm
    hole = Hole(name="post.bore", centre_mm=(0.0, 0.0, 0.0), axis=UP, diameter_mm=spec.bore_mm, drawn_mm=drawn,
                depth_mm=spec.depth_mm, through=False, purpose="pin")  # fmt: skip
    solid = cut(solid, [rod((0, 0, -1), UP, drawn, spec.depth_mm + 1)])
    return sound(DrawnPart(shape=solid, holes=(hole,)), spec.name)


def _bare(plate: tuple[float, float, float, float], spec: JigSpec, letters: int) -> list[tuple[float, float]]:
    """The place nearest the middle where the number meets no bush: under one it would leave a hollow. Or none."""
    x0, x1, y0, y1 = plate
    wide, high = 0.45 * LETTERS * letters + 1, 0.5 * LETTERS + 1  # halves, and a millimetre all round
    clear = (spec.drill_mm + 5.0) / 2
    x, middle = (x0 + x1) / 2, (y0 + y1) / 2
    if x - wide < x0 or y0 + high > y1 - high:
        return []
    reach = middle - y0 - high
    for off in sorted((reach * step / 10 for step in range(-10, 11)), key=abs):
        y = middle + off
        if all(hypot(max(abs(a - x) - wide, 0), max(abs(b - y) - high, 0)) > clear for a, b in spec.holes):
            return [(x, y)]
    return []
