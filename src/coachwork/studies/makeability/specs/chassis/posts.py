"""Where the body's posts stand on the floor, and their screws."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.build import require
from coachwork.studies.makeability.specs.holes import HoleSpec, screw_of, size_for
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.stowage.surroundings import keep_out

POST_FOOT_MM = 6.0  # half the width that the lip leaves free round a post's screw


def post_places(tables: PartTables) -> dict[str, tuple[float, float]]:
    """Middles of all posts: the keep-outs that are posts, and those of [parts.posts]. Raises NotMeasured."""
    places: dict[str, tuple[float, float]] = {}
    for name, held in tables.keep_outs.each.items():
        if held.what == "post":
            middle = (keep_out(name, held).low[0] + keep_out(name, held).high[0]) / 2
            places[name] = (round(float(middle[0]), 4), round(float(middle[1]), 4))
    for name, post in tables.parts.posts.items():
        if post.x.given or post.y.given or name not in places:
            require(post.x, post.y)
            places[name] = (number(post.x), number(post.y))
    return places


def post_screws(tables: PartTables, top: float, floor: float) -> list[HoleSpec]:
    """From below, countersunk, one a post. Raises NotMeasured and CannotBe."""
    holes = []
    for name, (x, y) in post_places(tables).items():
        post = tables.parts.posts.get(name)
        screw = screw_of(post.screw if post is not None else "M3", f"parts.posts.{name}.screw")
        length = number(post.screw_length) if post is not None else None
        holes.append(
            HoleSpec(name=f"posts.{name}", at_mm=(x, y, round(top - floor, 4)), axis=(0.0, 0.0, 1.0),
                     diameter_mm=size_for("clearance", screw), purpose="clearance", screw=screw.name, sunk=True,
                     most_mm=floor, screw_mm=length)
        )  # fmt: skip
    return holes


def post_rooms(tables: PartTables) -> Iterator[tuple[float, float, float]]:
    """Middle and radius of each post with the fit's gap."""
    gap = number(tables.making.fit_gap)
    for name, (x, y) in post_places(tables).items():
        if name in tables.parts.posts:
            radius = number(tables.parts.posts[name].diameter) / 2
        else:
            thing = keep_out(name, tables.keep_outs.each[name])
            radius = float((thing.high - thing.low)[0, :2].max()) / 2
        yield x, y, round(radius + gap, 4)
