"""Body posts and their brackets: what they are drawn from. Each in its own frame, z up.

A bracket's plate lies on the inside of the shell, its upper face at the post's height over the floor; the post ends
below that, also where the body is set all the way down, for over it is the shell. The bracket's two holes are 6 mm
apart, the post's 4 mm: at the height asked for, and in steps of 2 mm from there, one pair of them is in line.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from coachwork.build import require
from coachwork.build.sections.parts.small import Post
from coachwork.studies.makeability.specs.chassis.posts import post_places
from coachwork.studies.makeability.specs.holes import screw_of
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe

CROSS_MM = 2.0  # the pin through post and bracket
STEP_MM = 4.0  # between the post's cross holes; the bracket's two, one and a half steps apart, halve it
FROM_END_MM = 4.0  # from the sleeve's lower end to the lower of the two
SLEEVE_MM = 14.0  # of the bracket on the post, at the least
PLATE_MM = 3.0  # of the bracket, screwed or bonded to the inside of the shell
BELOW_SHELL_MM = 0.5  # left over the post where the body is set all the way down
OVER_HOLE_MM = 2.0  # from the middle of the post's highest hole to its end


@dataclass(frozen=True, kw_only=True)
class PostSpec:
    """A column with a pilot below and cross holes above. `at_mm` is its place on the chassis: its foot's middle.

    bite_mm : of the screw in the pilot
    """

    name: str
    at_mm: tuple[float, float, float]
    diameter_mm: float
    length_mm: float
    pilot_mm: float
    pilot_depth_mm: float
    bite_mm: float
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
    cross_heights_mm: tuple[float, float]


def _heights(post: Post) -> tuple[float, float]:
    require(post.height)
    return number(post.height), number(post.adjusts)


def _sleeve_mm(adjusts: float) -> float:
    """So long that the bracket's upper hole still finds the post's end with the body set all the way up."""
    return max(SLEEVE_MM, 2 * adjusts + 1.5 * STEP_MM + FROM_END_MM)


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
    length, depth = height - adjusts - BELOW_SHELL_MM, bite + 1.5
    lower = height - PLATE_MM - _sleeve_mm(adjusts) + FROM_END_MM  # of the bracket's holes, at the height asked for
    if lower < depth + 3.0:
        raise CannotBe(
            f"a post for a height of {height:.1f} mm has no room above its screw for a cross hole, as long as it is to "
            f"be set by {adjusts:.1f} mm; parts.posts.{name}.height at least {ceil(height + depth + 3.0 - lower)} mm"
        )
    steps = range(-int(adjusts // STEP_MM), int((adjusts + 1.5 * STEP_MM) // STEP_MM) + 1)
    crosses = [z for k in steps if depth + 3.0 <= (z := lower + k * STEP_MM) <= length - OVER_HOLE_MM]
    return PostSpec(
        name=f"post-{name}", at_mm=(x, y, number(deck.height)), diameter_mm=diameter, length_mm=round(length, 4),
        pilot_mm=screw.pilot_mm, pilot_depth_mm=round(depth, 4), bite_mm=round(bite, 4), screw=screw.name,
        cross_mm=CROSS_MM, cross_heights_mm=tuple(round(z, 4) for z in crosses),
    )  # fmt: skip


def bracket_spec(tables: PartTables, name: str) -> BracketSpec:
    """Raises NotMeasured and CannotBe."""
    post = tables.parts.posts[name]
    spec = post_spec(tables, name)
    screw = screw_of(post.screw, f"parts.posts.{name}.screw")
    bore = spec.diameter_mm + 2 * number(tables.making.fit_gap)
    wall = max(2.0, number(tables.parts.chassis.wall))
    x, y, z = spec.at_mm
    sleeve = _sleeve_mm(number(post.adjusts))
    lower = -PLATE_MM - sleeve + FROM_END_MM
    return BracketSpec(
        name=f"bracket-{name}", at_mm=(x, y, round(z + number(post.height), 4)), bore_mm=bore, wall_mm=wall,
        sleeve_mm=sleeve, plate_mm=PLATE_MM, plate_length_mm=round(bore + 2 * wall + 4 * screw.coarse_mm + 7, 4),
        screw_mm=screw.medium_mm, screw=screw.name, cross_mm=CROSS_MM,
        cross_heights_mm=(round(lower, 4), round(lower + 1.5 * STEP_MM, 4)),
    )  # fmt: skip
