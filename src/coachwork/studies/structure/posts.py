"""The body posts of a build as it is typed, each with its share of a pull at the body."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.structure import Structure
from coachwork.catalogue.screws import SCREWS
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.makeability.asked import Posted
from coachwork.studies.parts import Part, need
from coachwork.studies.structure.bears import of_catalogue, strength_mpa
from coachwork.studies.structure.jobs import CHASSIS
from coachwork.studies.structure.post import Column, pull_out_n, share_aside
from coachwork.studies.structure.result import Post
from coachwork.studies.wording import first


def posts(asked_for: Part[tuple[Posted, ...]], asked: Structure, balance: BalanceResult) -> tuple[Post, ...]:
    """Upright, half of them bear, for a stiff body hangs on a diagonal; of the whole weight, the body's with it."""
    posted = need(asked_for)
    if not posted:
        return ()
    require(asked.lift_factor)
    pull = need(balance.stood).weight.newton * asked.lift_factor.ratio
    columns = [_column(each) for each in posted]
    return tuple(
        _post(each, column, pull / max(1, len(posted) // 2), pull * share_aside(column, columns), asked)
        for each, column in zip(posted, columns, strict=True)
    )


def _post(posted: Posted, column: Column, upright: Numbers, aside: Numbers, asked: Structure) -> Post:
    bears, floor_bears = (
        strength_mpa(of_catalogue(part, *made_of), made_of[1], asked)
        for part, made_of in ((posted.part, posted.made_of), (CHASSIS, posted.floor_of))
    )
    thread = pull_out_n(area_mm2=column.thread_mm2, strength_mpa=bears)
    head = pull_out_n(area_mm2=column.under_head_mm2, strength_mpa=floor_bears)
    return Post(
        upright_n=upright, aside_n=aside, times=asked.lift_factor.ratio,
        screw_n=np.maximum(upright, aside * column.leans), holds_n=np.minimum(thread, head),
        thread_gives=first(thread) <= first(head), bends_mpa=aside * column.bends, bears_mpa=bears, column=column,
        part=posted.part, foot_mm=posted.spec.at_mm,
    )  # fmt: skip


def _column(posted: Posted) -> Column:
    spec = posted.spec
    return Column(
        screw=SCREWS[spec.screw], diameter_mm=spec.diameter_mm, pilot_mm=spec.pilot_mm, bite_mm=spec.bite_mm,
        floor_mm=posted.floor_mm, reach_mm=max(spec.cross_heights_mm), cross_mm=spec.cross_mm,
        crosses=spec.cross_heights_mm,
    )  # fmt: skip
