"""Body posts and their brackets as solids."""

from __future__ import annotations

from coachwork.parts.drawn import DrawnPart, sound
from coachwork.parts.shapes import block, cone, cut, engraved, joined, rod
from coachwork.studies.makeability.specs.post import BracketSpec, PostSpec
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.solids import Hole

Pose = tuple[tuple[float, ...], ...]


def _at(at: tuple[float, float, float]) -> tuple[Pose, ...]:
    x, y, z = at
    return (((1, 0, 0, x), (0, 1, 0, y), (0, 0, 1, z), (0, 0, 0, 1)),)


def post(spec: PostSpec, settings: Settings) -> DrawnPart:
    """A column: a pilot in its foot for the screw that pulls it onto the floor, cross holes, its end chamfered."""
    radius = spec.diameter_mm / 2
    solid = rod((0, 0, 0), (0, 0, 1), spec.diameter_mm, spec.length_mm - 0.8)
    solid = joined(
        solid, [cone((0, 0, spec.length_mm - 0.8), (0, 0, 1), spec.diameter_mm, spec.diameter_mm - 1.6, 0.8)]
    )
    holes = [
        Hole(name="posts.pilot", centre_mm=(0.0, 0.0, 0.0), axis=(0.0, 0.0, 1.0), diameter_mm=spec.pilot_mm,
             drawn_mm=spec.pilot_mm + settings.shrink_mm, depth_mm=spec.pilot_depth_mm, through=False,
             purpose="thread-forming", screw=spec.screw)
    ]  # fmt: skip
    holes += [
        Hole(name=f"height.{i}", centre_mm=(-radius, 0.0, z), axis=(1.0, 0.0, 0.0), diameter_mm=spec.cross_mm,
             drawn_mm=spec.cross_mm + settings.shrink_mm, depth_mm=spec.diameter_mm, purpose="pin")
        for i, z in enumerate(spec.cross_heights_mm, start=1)
    ]  # fmt: skip
    tools = [rod((0, 0, -0.5), (0, 0, 1), holes[0].drawn_mm, spec.pilot_depth_mm + 0.5)]
    tools += [rod((-radius - 1, 0, h.centre_mm[2]), (1, 0, 0), h.drawn_mm, spec.diameter_mm + 2) for h in holes[1:]]
    return sound(DrawnPart(shape=cut(solid, tools), holes=tuple(holes), chassis_from_part=_at(spec.at_mm)), spec.name)


def bracket(spec: BracketSpec, settings: Settings) -> DrawnPart:
    """A sleeve with two cross holes under a plate with two screw holes, its mark on the plate."""
    outside = spec.bore_mm + 2 * spec.wall_mm
    wide = max(outside, spec.screw_mm * 2.6)
    half = spec.plate_length_mm / 2
    plate = block(-wide / 2, wide / 2, -half, half, -spec.plate_mm, 0.0, round_mm=3.0)
    low = -spec.plate_mm - spec.sleeve_mm
    solid = joined(plate, [rod((0, 0, low), (0, 0, 1), outside, spec.sleeve_mm + 0.5)])
    flare = min(2.0, spec.wall_mm)
    solid = joined(
        solid, [cone((0, 0, -spec.plate_mm + 0.1), (0, 0, -1), outside + 2 * flare, outside - 0.02, flare + 0.11)]
    )
    solid = solid & block(-wide / 2, wide / 2, -half, half, low - 1, 1, round_mm=3.0)
    along = half - 1.55 * (spec.screw_mm + settings.shrink_mm)  # edge distance, catalogue/processes.py
    holes = [
        Hole(name=f"shell.{hand}", centre_mm=(0.0, way * along, -spec.plate_mm), axis=(0.0, 0.0, 1.0),
             diameter_mm=spec.screw_mm, drawn_mm=spec.screw_mm + settings.shrink_mm, depth_mm=spec.plate_mm,
             purpose="clearance", screw=spec.screw)
        for hand, way in (("left", 1), ("right", -1))
    ]  # fmt: skip
    holes += [
        Hole(name=f"height.{i}", centre_mm=(-outside / 2, 0.0, z), axis=(1.0, 0.0, 0.0), diameter_mm=spec.cross_mm,
             drawn_mm=spec.cross_mm + settings.shrink_mm, depth_mm=outside, purpose="pin")
        for i, z in enumerate(spec.cross_heights_mm, start=1)
    ]  # fmt: skip
    tools = [rod((0, 0, low - 1), (0, 0, 1), spec.bore_mm, spec.sleeve_mm + spec.plate_mm + 2)]
    tools += [rod((0, h.centre_mm[1], -spec.plate_mm - 0.5), (0, 0, 1), h.drawn_mm, spec.plate_mm + 1)
              for h in holes[:2]]  # fmt: skip
    tools += [rod((-outside, 0, h.centre_mm[2]), (1, 0, 0), h.drawn_mm, 2 * outside) for h in holes[2:]]
    solid = cut(solid, tools)
    mark = engraved(settings.number.rpartition("-")[2], at=(0.0, -along + 5.0, 0.0), below=False, size=4.0)
    return sound(DrawnPart(shape=cut(solid, [mark]), holes=tuple(holes), chassis_from_part=_at(spec.at_mm)), spec.name)
