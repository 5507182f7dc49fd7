"""Findings on the body posts: numbers in, sentences out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part
from coachwork.studies.structure.result import Post
from coachwork.studies.wording import first


def post_findings(posts: Part[tuple[Post, ...]]) -> Iterator[Finding]:
    """Two, each on the post that fares worst; none where there are no posts."""
    if posts == ():
        return
    yield judge(posts, lambda every: _pulled(max(every, key=_screw_used)), id="structure.posts.screw",
                question="Do the body posts' screws hold when it is picked up by its body?")  # fmt: skip
    yield judge(posts, lambda every: _bent(max(every, key=_column_used)), id="structure.posts.column",
                question="Do the body posts bear its being picked up by its body?")  # fmt: skip


def _screw_used(post: Post) -> float:
    return first(post.screw_n) / first(post.holds_n)


def _column_used(post: Post) -> float:
    return first(post.bends_mpa) / first(post.bears_mpa)


def _name(post: Post) -> str:
    return post.part.removeprefix("post-").replace("-", " ")


def _pulled(post: Post) -> Told:
    column = post.column
    over = _screw_used(post)
    gives = f"its thread in the post, {column.bite_mm:.0f} mm deep, holds" if post.thread_gives else (
        f"the floor under its head, {column.floor_mm:.1f} mm thick, holds"
    )  # fmt: skip
    return {
        "value": post.screw_n,
        "limit": post.holds_n,
        "sense": "at most",
        "tight_within": 0.15 * first(post.holds_n),
        "unit": "N",
        "why": f"with {first(post.times):g} times the weight, the {_name(post)} post bears "
        f"{first(post.upright_n):.0f} N upright and "
        f"{first(post.aside_n):.0f} N on its side, where its foot, {column.diameter_mm:.0f} mm wide, levers "
        f"{column.leans:.0f} times as hard at the {column.screw.name} screw; {gives} {first(post.holds_n):.0f} N",
        "do": _holds_by(post, over) if over > 1 else None,
        "where": Place(part=post.part, point_mm=post.foot_mm),
        "source": "material sheared by the strength over the root of three, plastics design guides; from memory",
    }


def _holds_by(post: Post, over: float) -> str:
    """All posts alike: of two, the wider takes more of the push."""
    wider = (
        f"make all body posts {_up(over * post.column.diameter_mm):g} mm thick (diameter), for a wider foot levers less"
    )
    if not post.thread_gives:
        return wider
    longer = ceil((over - 1) * (post.column.bite_mm - post.column.screw.pitch_mm))
    return f"{wider}, or take screws {longer} mm longer (screw-length)"


def _up(diameter_mm: float) -> float:
    return ceil(2 * diameter_mm) / 2


def _bent(post: Post) -> Told:
    thick = post.column.diameter_mm
    while replace(post.column, diameter_mm=thick).bends * first(post.aside_n) > first(post.bears_mpa):
        thick = _up(thick + 0.1)
    return {
        "value": post.bends_mpa,
        "limit": post.bears_mpa,
        "sense": "at most",
        "tight_within": 0.15 * first(post.bears_mpa),
        "unit": "MPa",
        "why": f"on its side, with {first(post.times):g} times the weight, the {_name(post)} one bears "
        f"{first(post.aside_n):.0f} N "
        f"{post.column.reach_mm:.0f} mm over the floor, as if nothing held its top upright; it is "
        f"{post.column.diameter_mm:.0f} mm thick",
        "do": f"make all body posts {thick:g} mm thick (diameter)" if thick > post.column.diameter_mm else None,
        "where": Place(part=post.part, point_mm=post.foot_mm),
        "source": "tensile strength less the process's knock-down, by the catalogue; bending of a beam",
    }
