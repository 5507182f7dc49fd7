"""Body posts and their brackets: what they are drawn from. Each in its own frame: z up, origin on the floor."""

from __future__ import annotations

from dataclasses import dataclass

from coachwork.build import require
from coachwork.build.sections.parts.small import Post
from coachwork.studies.makeability.specs.chassis.posts import post_places
from coachwork.studies.makeability.specs.holes import screw_of
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe

CROSS_MM = 2.0  # the pin through post and bracket
STEP_MM = 4.0  # between the post's cross holes; the bracket's two, one and a half steps apart, halve it
SLEEVE_MM = 14.0  # of the bracket on the post
PLATE_MM = 3.0  # of the bracket, screwed or bonded to the inside of the shell


@dataclass(frozen=True, kw_only=True)
class PostSpec:
    """A column with a pilot below and cross holes above. `at_mm` is its place on the chassis: its foot's middle."""

    name: str
    at_mm: tuple[float, float, float]
    diameter_mm: float
    length_mm: float
    pilot_mm: float
    pilot_depth_mm: float
    screw: str
    cross_mm: float
    cross_heights_mm: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class BracketSpec:
    """A sleeve on the post under a plate with two screw holes. Origin: middle of the plate's upper face."""

    name: str
    at_mm: tuple[float, float, float]
    bore_mm: float
    wall_mm: float
    sleeve_mm: float
    plate_mm: float
    plate_length_mm: float
    screw_mm: float
    screw: str
    cross_mm: float


def _heights(post: Post) -> tuple[float, float]:
    require(post.height)
    return number(post.height), number(post.adjusts)


def post_spec(tables: PartTables, name: str) -> PostSpec:
    """Raises NotMeasured and CannotBe."""
    post = tables.parts.posts[name]
    height, adjusts = _heights(post)
    deck = tables.decks.each.get(tables.parts.chassis.deck)
    if deck is None:
        raise CannotBe(f'parts.chassis.deck = "{tables.parts.chassis.deck}": there is no such deck')
    require(deck.height, deck.thickness)
    x, y = post_places(tables)[name]
    screw, diameter = screw_of(post.screw, f"parts.posts.{name}.screw"), number(post.diameter)
    if diameter < screw.pilot_mm + 2 * 1.0:
        raise CannotBe(
            f"a column of {diameter:.1f} mm has no wall left round the pilot of an {screw.name}; "
            f"parts.posts.{name}.diameter at least {screw.pilot_mm + 2:.1f} mm"
        )
    bite = number(post.screw_length) - number(deck.thickness)
    if bite < screw.diameter_mm:
        raise CannotBe(
            f"a screw of {number(post.screw_length):.0f} mm reaches {bite:.1f} mm into the post, less than its own "
            f"diameter; parts.posts.{name}.screw-length at least {number(deck.thickness) + 2 * screw.diameter_mm:.0f}"
        )
    length = height + adjusts - PLATE_MM
    depth = bite + 1.5
    middle = height - PLATE_MM - SLEEVE_MM / 2
    count = int((adjusts + 0.5 * STEP_MM) // STEP_MM)
    crosses = [middle + k * STEP_MM for k in range(-count - 1, count + 2)]
    crosses = [z for z in crosses if z > depth + 3.0 and z < length - 2.0]
    if not crosses:
        raise CannotBe(
            f"a post {length:.1f} mm long has no room for a cross hole above its screw; "
            f"parts.posts.{name}.height at least {depth + 3 + SLEEVE_MM / 2 + PLATE_MM:.0f} mm"
        )
    return PostSpec(
        name=f"post-{name}", at_mm=(x, y, number(deck.height)), diameter_mm=diameter, length_mm=round(length, 4),
        pilot_mm=screw.pilot_mm, pilot_depth_mm=round(depth, 4), screw=screw.name, cross_mm=CROSS_MM,
        cross_heights_mm=tuple(round(z, 4) for z in crosses),
    )  # fmt: skip


def bracket_spec(tables: PartTables, name: str) -> BracketSpec:
    """Raises NotMeasured and CannotBe."""
    post = tables.parts.posts[name]
    spec = post_spec(tables, name)
    screw = screw_of(post.screw, f"parts.posts.{name}.screw")
    bore = spec.diameter_mm + 2 * number(tables.making.fit_gap)
    wall = max(2.0, number(tables.parts.chassis.wall))
    x, y, z = spec.at_mm
    return BracketSpec(
        name=f"bracket-{name}", at_mm=(x, y, round(z + number(post.height), 4)), bore_mm=bore, wall_mm=wall,
        sleeve_mm=SLEEVE_MM, plate_mm=PLATE_MM, plate_length_mm=round(bore + 2 * wall + 4 * screw.coarse_mm + 7, 4),
        screw_mm=screw.medium_mm, screw=screw.name, cross_mm=CROSS_MM,
    )  # fmt: skip
