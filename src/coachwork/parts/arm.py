"""Lower suspension arms as solids: two barrels, a web between them, an ear for the damper."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.parts.drawn import DrawnPart, sound
from coachwork.parts.shapes import block, cut, engraved, joined, prism, rod
from coachwork.studies.makeability.specs.arm import ArmSpec
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.solids import Hole

EAR = 7.0  # of the damper's mounting, along the screw
SPARE = 0.8  # between the web and what swings on the outer pin beside its barrel
ROUND = 2.0  # in the corner where the web narrows to that barrel, where landing stresses it most


def arm(spec: ArmSpec, settings: Settings) -> DrawnPart:
    """In its own frame; the right one is the left one mirrored in z. Raises PartRefused."""
    import build123d as b

    shrink = settings.shrink_mm
    outer, axis = np.array(spec.outer_mm), np.array(spec.outer_axis)
    inner_start = np.array([-spec.inner_length_mm / 2, 0.0, 0.0])
    outer_start = outer - axis * spec.outer_length_mm / 2
    solid = rod(inner_start, (1, 0, 0), spec.barrel_mm, spec.inner_length_mm)
    solid = joined(solid, [rod(outer_start, axis, spec.barrel_mm, spec.outer_length_mm), _web(spec)])
    x, y, z = spec.damper_mm
    ear = max(2.0 * spec.damper_hole_mm, spec.damper_hole_mm + 4.0)
    low = -spec.web_mm / 2
    foot = block(x - EAR / 2, x + EAR / 2, y - ear / 2, y + ear / 2, min(low, z), max(z, low + 0.5))
    solid = joined(solid, [joined(foot, [rod((x - EAR / 2, y, z), (1, 0, 0), ear, EAR)])])
    way = 1.0 if x >= 0 else -1.0  # the damper's screw goes in from the arm's nearer edge
    wanted = [
        ("inner-pin.bore", inner_start, np.array([1.0, 0.0, 0.0]), spec.pin_mm, spec.inner_length_mm, "pin", ""),
        ("outer-pin.bore", outer_start, axis, spec.pin_mm, spec.outer_length_mm, "pin", ""),
        ("damper.hole", np.array([x + way * EAR / 2, y, z]), np.array([-way, 0.0, 0.0]), spec.damper_hole_mm, EAR,
         "thread-forming", spec.damper_screw),
    ]  # fmt: skip
    tools = [
        rod(at - along, along, size + shrink, deep + (1 if screw else 2))  # the screw's hole ends with its ear
        for _, at, along, size, deep, _, screw in wanted
    ]
    solid = cut(solid, tools)
    mirror = -1.0 if spec.hand == "right" else 1.0
    if mirror < 0:
        solid = solid.mirror(b.Plane.XY)
    top = mirror * spec.web_mm / 2
    at = (0.35 * spec.outer_mm[0], 0.30 * spec.outer_mm[1], top)
    mark = engraved(settings.number.rpartition("-")[2], at=at, below=mirror < 0, size=5.0)
    holes = tuple(
        Hole(name=name, centre_mm=(float(at[0]), float(at[1]), float(mirror * at[2])),
             axis=(float(along[0]), float(along[1]), float(mirror * along[2])), diameter_mm=size,
             drawn_mm=size + shrink, depth_mm=deep, purpose=purpose, screw=screw)  # type: ignore[arg-type]
        for name, at, along, size, deep, purpose, screw in wanted
    )  # fmt: skip
    return sound(
        DrawnPart(shape=cut(solid, [mark]), holes=holes, chassis_from_part=(spec.chassis_from_part,)), spec.name
    )


def _web(spec: ArmSpec) -> object:
    """Between both barrels, waisted, with a window beyond the damper where there is room."""
    half_in, half_out = spec.inner_length_mm / 2, spec.outer_length_mm / 2
    x, y, z = spec.outer_mm
    thick = spec.web_mm
    low = min(-thick / 2, z - thick / 2)
    radius = spec.barrel_mm / 2
    foot = EAR / 2  # of the damper's ear, flush with the web's edge: the screw's head has room there
    wide = max(half_out, abs(spec.damper_mm[0]) + foot)
    past = min(spec.damper_mm[1] + max(2.0 * spec.damper_hole_mm, 7.0) / 2 + 1.5, y - radius - SPARE)
    before = max(radius + 1.0, spec.damper_mm[1] - max(2.0 * spec.damper_hole_mm, 7.0))
    points = [(-half_in, 0.0), (half_in, 0.0), (wide, before), (wide, past), (x + half_out, past), (x + half_out, y),
              (x - half_out, y), (x - half_out, past), (-wide, past),
              (-wide, before)]  # fmt: skip
    high = max(thick / 2, z + thick / 2)
    web = joined(prism(points, low, high), list(_rounded(x, half_out, wide, past, y - radius - SPARE, low, high)))
    window = (-half_in + 7.0, half_in - 7.0, radius + 2.0, 0.36 * y)
    free = abs(spec.damper_mm[1] - window[3]) > 8.0
    if window[1] - window[0] > 8.0 and window[3] - window[2] > 3.0 and free and half_in > 14:
        mid = (window[0] + window[1]) / 2  # a bar is left in the middle for the mark
        spans = ((window[0], mid - 4.5), (mid + 4.5, window[1]))
        web = cut(web, [block(*span, window[2], window[3], low - 1, -low + 9, round_mm=1.5) for span in spans])
    return web


def _rounded(x: float, half: float, wide: float, past: float, most: float, low: float, high: float) -> Iterator[object]:
    """Fillets in both corners at `past`, where the web's sides at +-wide step in to the barrel's at x +- half."""
    for way in (1.0, -1.0):
        inner = x + way * half
        r = min(ROUND, most - past, wide - way * inner)
        if r > 0.2:
            xs = sorted((inner - way * 0.1, inner + way * r))
            piece = block(xs[0], xs[1], past - 0.1, past + r, low, high)
            yield piece - rod((inner + way * r, past + r, low - 1.0), (0, 0, 1), 2 * r, high - low + 2.0)
