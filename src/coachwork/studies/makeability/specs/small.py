"""Hub spacers, light housings and jigs: what they are drawn from. Each in its own frame, z up."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sin
from typing import Literal

from coachwork.build import require
from coachwork.studies.makeability.specs.axles import rear_axle_x
from coachwork.studies.makeability.specs.holes import screw_of
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.post import BELOW_SHELL_MM
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe


@dataclass(frozen=True, kw_only=True)
class SpacerSpec:
    """A ring, its lower face at z = 0."""

    name: str
    bore_mm: float
    outside_mm: float
    thickness_mm: float


@dataclass(frozen=True, kw_only=True)
class HousingSpec:
    """A cup, its bottom at z = 0, open above; the lens sits in its mouth."""

    name: str
    lens_mm: float
    lens_depth_mm: float
    depth_mm: float
    wall_mm: float
    diode_mm: float
    diodes: int


@dataclass(frozen=True, kw_only=True)
class JigSpec:
    """A plate with bushes over the holes of a pattern, its lower face at z = 0."""

    name: str
    of: str
    holes: tuple[tuple[float, float], ...]
    drill_mm: float
    plate_mm: float
    bush_mm: float


@dataclass(frozen=True, kw_only=True)
class MarkerSpec:
    """A cap put on a body post: its point pricks the shell's inside where the post's bracket belongs.

    rise_mm : of the point over the post's end
    """

    name: str
    bore_mm: float
    wall_mm: float
    depth_mm: float
    rise_mm: float


def spacer_spec(tables: PartTables, end: Literal["front", "rear"]) -> SpacerSpec:
    """Raises NotMeasured and CannotBe."""
    own, change = (
        (tables.parts.front_hub_spacer, tables.changes.front)
        if end == "front"
        else (tables.parts.rear_hub_spacer, tables.changes.rear)
    )
    require(change.hub_spacer, own.bore, own.outside)
    thickness, bore, outside = number(change.hub_spacer), number(own.bore), number(own.outside)
    if thickness < 0.3:
        raise CannotBe(f"changes.{end}.hub-spacer = {thickness:.1f} mm: there is no spacer to make")
    if outside < bore + 1.6:
        raise CannotBe(f"a ring of {outside:.1f} mm outside and {bore:.1f} mm inside has no wall left")
    return SpacerSpec(name=f"{end}-hub-spacer", bore_mm=bore, outside_mm=outside, thickness_mm=thickness)


def housing_spec(tables: PartTables, name: str) -> HousingSpec:
    """Raises NotMeasured and CannotBe."""
    own = tables.parts.light_housings[name]
    require(own.lens, own.depth)
    lens, diode, count = number(own.lens), number(own.diode), round(number(own.diodes))
    ring = lens / 2 - 1.0 - diode / 2 - 1.0  # where the diodes' middles can lie
    if count > 1 and 2 * ring * sin(pi / count) < diode + 1.0:
        raise CannotBe(f"{count} diodes of {diode:.1f} mm do not fit behind a lens of {lens:.1f} mm")
    if count == 1 and diode > lens - 3.0:
        raise CannotBe(f"a diode of {diode:.1f} mm does not fit behind a lens of {lens:.1f} mm")
    return HousingSpec(
        name=f"housing-{name}", lens_mm=lens, lens_depth_mm=number(own.lens_depth), depth_mm=number(own.depth),
        wall_mm=number(own.wall), diode_mm=diode, diodes=count,
    )  # fmt: skip


def jig_spec(tables: PartTables, pattern: Literal["front-bolts", "rear-bolts"]) -> JigSpec:
    """Raises NotMeasured and CannotBe."""
    chassis, own = tables.parts.chassis, tables.parts.jigs
    bolts = chassis.front_bolts if pattern == "front-bolts" else chassis.rear_bolts
    if not bolts:
        raise CannotBe(f"parts.chassis.{pattern} names no bolts to drill by")
    require(*(entry for bolt in bolts.values() for entry in (bolt.x, bolt.y)))
    axle = 0.0 if pattern == "front-bolts" else rear_axle_x(tables)
    screw_of(chassis.bolt_screw, "parts.chassis.bolt-screw")
    return JigSpec(
        name=f"jig-{pattern}", of=pattern, drill_mm=number(own.drill), plate_mm=number(own.plate),
        bush_mm=number(own.bush),
        holes=tuple((round(axle + number(bolt.x), 4), round(number(bolt.y), 4)) for bolt in bolts.values()),
    )  # fmt: skip


MARKER_DEPTH_MM = 10.0  # on the post; common practice, no source
MARKER_WALL_MM = 2.0
LEAST_POINT_MM = 2.0  # over the cap's wall; a flatter one pricks nothing


def marker_spec(tables: PartTables) -> MarkerSpec:
    """One cap for all posts, its point at the shell's height where it sits on one's end. Raises NotMeasured, CannotBe.

    Where a post can hardly be set, and ends just below the shell, the point stands higher; the shell with it.
    """
    posts = tables.parts.posts
    if not posts:
        raise CannotBe("parts.posts names no posts to mark by")
    sizes = {round(number(post.diameter), 2) for post in posts.values()}
    if len(sizes) > 1:
        raise CannotBe(f"one cap does not fit posts of {', '.join(f'{size:g}' for size in sorted(sizes))} mm")
    bore = sizes.pop() + 2 * number(tables.making.fit_gap)
    below = BELOW_SHELL_MM + min(number(post.adjusts) for post in posts.values())
    return MarkerSpec(name="jig-posts", bore_mm=round(bore, 4), wall_mm=MARKER_WALL_MM, depth_mm=MARKER_DEPTH_MM,
                      rise_mm=round(max(below, MARKER_WALL_MM + LEAST_POINT_MM), 4))  # fmt: skip
