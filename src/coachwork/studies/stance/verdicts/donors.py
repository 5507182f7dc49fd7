"""The finding on donors still to choose from."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Missing
from coachwork.studies.stance.donors import Ranking, Work
from coachwork.studies.stance.result import StanceResult
from coachwork.studies.wording import COMMON_PRACTICE, first

# Another donor is a purchase and a strip-down; worth it only when it saves about half a set of arms.
WORTH_CHANGING_PARTS = 4.0
QUESTION = "Is there a donor that needs less work?"


def findings(result: StanceResult) -> Iterator[Finding]:
    """One on the whole choice; one for each candidate that still lacks a number."""
    ranking = result.donors
    if ranking is None:
        return
    if not isinstance(ranking, Ranking):
        yield judge(ranking, lambda _: {}, id="stance.candidates", question=QUESTION)
        return
    yield _choice(ranking)
    for name, keys in ranking.unranked.items():
        yield judge(
            Missing(keys), lambda _: {}, id=f"stance.candidates.{name}", question=f"How much work does {name} need?"
        )


def _choice(ranking: Ranking) -> Finding:
    listed = "; ".join(f"{one.offer.name} {_told(one)}" for one in ranking.ranked)
    if not ranking.ranked:
        return Finding(id="stance.candidates", question=QUESTION, why="no candidate has all its numbers yet",
                       missing=tuple(key for keys in ranking.unranked.values() for key in keys))  # fmt: skip
    best = ranking.ranked[0]
    take = f"{best.offer.name} needs least: {_jobs(best)}"
    if isinstance(ranking.own, Missing):
        return Finding(id="stance.candidates", question=QUESTION, why=f"parts to make: {listed}", do=take,
                       missing=ranking.own.keys, where=Place(part="running gear"))  # fmt: skip

    def answer(own: Work) -> Told:
        saved = ranking.parts_saved
        return {
            "value": saved, "limit": np.full_like(saved, WORTH_CHANGING_PARTS), "sense": "at most", "unit": "parts",
            "tight_within": WORTH_CHANGING_PARTS,
            "why": f"parts to make: the running gear you have, as you change it, {_told(own)}; {listed}",
            "do": take if first(saved) > 0 else None, "where": Place(part="running gear"),
            "source": f"{COMMON_PRACTICE}: four parts are worth a change of donor",
        }  # fmt: skip

    return judge(ranking.own, answer, id="stance.candidates", question=QUESTION)


def _told(one: Work) -> str:
    return f"{first(one.parts):.0f} ({first(one.total_mm):.1f} mm of moves)"


def _jobs(one: Work) -> str:
    return "; ".join(one.jobs()) or "nothing, its wheels stand right"
