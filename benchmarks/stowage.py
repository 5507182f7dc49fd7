"""Stowing 8, 12 and 16 boxes: time to a first placement, to a gap of 5 %, to proof; ours against plain no-overlap.

Three of the boxes stay, as motor, servo and receiver do, and each of the others has a lead to one of them, or along
the chain from pack to controller to motor. The baseline has the same boxes, turns, leads and worth, and the same search
strategies for the same time; but all that keeps boxes apart in it is the solver's own no-overlap constraint in the
plane, and it is told no bound. Times are of the processor, all threads together, so that a shared machine does not
count. Where the baseline proves nothing in its time, the ratio is told of the time to the gap that it ends with.

Such flat cases leave more freedom than a vehicle does; the last rows are the demonstration van with all its demands.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest.mock import patch

from coachwork.build import read
from coachwork.plan import Plan
from coachwork.studies.stowage import programme, solve
from coachwork.studies.stowage.bound import Bound
from coachwork.studies.stowage.model import Model
from coachwork.studies.stowage.posing import problem_of
from coachwork.studies.stowage.problem import FINE, Item, Pose, Problem, Pull, Surface, Tie
from coachwork.studies.stowage.turns import Turn

FILL = 0.5  # of the deck


def case(boxes: int, seed: int = 5) -> Problem:
    """A deck, its boxes and leads; the same each time."""
    rng = random.Random(seed)
    sizes = [(58, 36), (46, 30), (42, 26)] + [(rng.randint(14, 40), rng.randint(12, 26)) for _ in range(boxes - 3)]
    area = sum(a * b for a, b in sizes)
    width = int((2 * area / FILL) ** 0.5)
    height = int(area / FILL / width) + 1
    edges = ((1000, 0, 1000 * width), (-1000, 0, 0), (0, 1000, 1000 * height), (0, -1000, 0))
    deck = Surface(name="deck", level=0, edges=edges, bounds=(0, width, 0, height))
    items = []
    for k, (a, b) in enumerate(sizes):
        fixed = ((0, 0, 0), 0) if k == 0 else ((width - 46, height - 30, 0), 0) if k == 1 else None
        fixed = ((width // 2 - 21, 0, 0), 1) if k == 2 else fixed
        items.append(Item(name=f"box {k}", poses=_poses(a, b), surfaces=("deck",), mass_g=a * b // 20, fixed=fixed))
    to = dict.fromkeys(range(3, boxes), 2) | {3: 0, 4: 3, 1: 2}
    ties = tuple(
        Tie(name=f"lead {k}", begins=(f"box {k}", "out"), ends=(f"box {end}", "out"), most=None,
            weight=3 if k in (3, 4) else 1)
        for k, end in sorted(to.items())
    )  # fmt: skip
    return Problem(items=tuple(items), surfaces=(deck,), ties=ties, gap=1, pulls=(Pull(axis=1, worth=20),))


def _poses(a: int, b: int) -> tuple[Pose, ...]:
    """Four turns of a box whose lead leaves in the middle of its front."""
    half_b = FINE * b // 2
    return (
        Pose(turn=Turn("bottom", None), size=(a, b, 10), exits={"out": (FINE * a, half_b, 50)}),
        Pose(turn=Turn("bottom", "left"), size=(b, a, 10), exits={"out": (half_b, FINE * a, 50)}),
        Pose(turn=Turn("bottom", "about"), size=(a, b, 10), exits={"out": (0, half_b, 50)}),
        Pose(turn=Turn("bottom", "right"), size=(b, a, 10), exits={"out": (half_b, 0, 50)}),
    )


def no_overlap(model: Model) -> None:
    """What keeps boxes apart in the plain model, in one constraint of the solver's own."""
    along: list[Any] = []
    across: list[Any] = []
    gap = model.problem.gap
    for box in model.boxes.values():
        for k, (pose, lit) in enumerate(zip(box.item.poses, box.poses, strict=True)):
            new = model.cp.new_optional_fixed_size_interval_var
            along.append(new(box.low[0], pose.size[0] + gap, lit, f"{box.name} {k} along"))
            across.append(new(box.low[1], pose.size[1] + gap, lit, f"{box.name} {k} across"))
    model.cp.add_no_overlap_2d(along, across)


@dataclass(kw_only=True)
class Run:
    """Processor seconds at which marks were passed, and the way of the gap."""

    first_s: float = 0.0
    cost: float = 0.0
    gaps: list[tuple[float, float]] = field(default_factory=list)  # seconds, gap

    def until(self, gap: float) -> float | None:
        """Seconds to a gap; None where it was not come to."""
        return next((gone for gone, held in self.gaps if held <= gap + 1e-9), None)

    @property
    def gap(self) -> float:
        """At the end."""
        return min((gap for _, gap in self.gaps), default=1.0)

    def __str__(self) -> str:
        """As the table prints it."""
        told = [("first", self.first_s), ("5 %", self.until(0.05)), ("proof", self.until(0.0))]
        words = [f"{name} {'not reached' if value is None else format(value, '.1f') + ' s'}" for name, value in told]
        return f"{', '.join(words)}, gap {100 * self.gap:.1f} % after {self.gaps[-1][0]:.0f} s"


def timed(problem: Problem) -> Run:
    """A first placement, then the best that the default effort finds."""
    run, start = Run(), time.process_time()
    first = solve.fits(problem, solve.USUAL.decide, solve.USUAL.workers)
    assert isinstance(first, solve.Placement)
    run.first_s = time.process_time() - start

    def seen(cost: float, bound: float) -> None:
        run.gaps.append((time.process_time() - start, max(0.0, 1 - bound / cost) if cost > 0 else 0.0))

    best = solve.improve(problem, first, seen=seen)
    assert best.cost is not None
    assert best.bound is not None
    seen(best.cost, best.bound)
    run.cost = best.cost
    return run


def timed_plain(problem: Problem) -> Run:
    """The same with the plain model, which is told no bound."""
    nothing = Bound(cost=None, leads={})
    with (
        patch.object(programme, "_pair", lambda *_, **__: {}),
        patch.object(programme, "areas", no_overlap),
        patch.object(solve, "bound", lambda *_, **__: nothing),
    ):
        return timed(problem)


def ratio(ours: Run, plain: Run) -> str:
    """To proof where both prove; else to the gap that the plain model ends with."""
    gap = 0.0 if plain.until(0.0) is not None else plain.gap
    if ours.until(0.0) is not None and plain.until(0.0) is not None and ours.cost != plain.cost:
        raise ValueError(f"both are proven best, but ours costs {ours.cost}, plain {plain.cost}: not the same problem")
    own, other = ours.until(gap), plain.until(gap)
    if own is None or other is None:
        return f"ours does not come to the {100 * gap:.1f} % of plain"
    what = "proof" if gap == 0.0 else f"the {100 * gap:.1f} % that plain ends with"
    return f"{other / own:.1f} x plain to {what}, wanted 5"


def van() -> Problem:
    """The demonstration van as finished, its boxes taken out again."""
    build = read(Path(__file__).parents[1] / "examples" / "harbour-mail-van" / "as-finished")
    return problem_of(Plan().run(build, only=["stowage"])["stowage"].result.tables)


def rows() -> Iterator[str]:
    """One line a case, ours and the baseline, and the ratio of the two."""
    for boxes, seed in ((8, 5), (8, 6), (8, 7), (12, 5), (16, 5)):
        name = f"{boxes:2} boxes, seed {seed}"
        problem = case(boxes, seed)
        ours, plain = timed(problem), timed_plain(problem)
        yield f"{name}, ours:  {ours}"
        yield f"{name}, plain: {plain}"
        yield f"{name}: {ratio(ours, plain)}"
    yield f"the van, 9 boxes: {timed(van())}"
