"""Stowing 8, 12 and 16 boxes: time to a first placement, to a gap of 5 %, to proof; ours against plain no-overlap.

Three of the boxes stay, as motor, servo and receiver do, and each of the others has a lead to one of them, or along
the chain from pack to controller to motor. The baseline has the same boxes, turns, leads and worth; all that keeps
boxes apart in it is the solver's own no-overlap constraint in the plane. Both take the same search strategies in turns
and run until proof or until `MOST_S`; a ratio with ">" stands for a baseline that was stopped there.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from coachwork.studies.stowage.model import Boxed, Model
from coachwork.studies.stowage.problem import FINE, Item, Pose, Problem, Surface, Tie, Worth
from coachwork.studies.stowage.turns import Turn

MOST_S = 90.0
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
    return Problem(items=tuple(items), surfaces=(deck,), ties=ties, gap=1, worth=Worth(side=20))


def _poses(a: int, b: int) -> tuple[Pose, ...]:
    """Four turns of a box whose lead leaves in the middle of its front."""
    half_b = FINE * b // 2
    return (
        Pose(turn=Turn("bottom", None), size=(a, b, 10), exits={"out": (FINE * a, half_b, 50)}),
        Pose(turn=Turn("bottom", "left"), size=(b, a, 10), exits={"out": (half_b, FINE * a, 50)}),
        Pose(turn=Turn("bottom", "about"), size=(a, b, 10), exits={"out": (0, half_b, 50)}),
        Pose(turn=Turn("bottom", "right"), size=(b, a, 10), exits={"out": (half_b, 0, 50)}),
    )


class Plain(Model):
    """The same but for what keeps boxes apart: no-overlap in the plane."""

    def _pair(self, one: Boxed, two: Any, demands: tuple[str, ...], *, trusted: bool) -> Any:
        return {}

    def _areas(self) -> None:
        along: list[Any] = []
        across: list[Any] = []
        gap = self.problem.gap
        for box in self.boxes.values():
            for k, (pose, lit) in enumerate(zip(box.item.poses, box.poses, strict=True)):
                new = self.cp.new_optional_fixed_size_interval_var
                along.append(new(box.low[0], pose.size[0] + gap, lit, f"{box.name} {k} along"))
                across.append(new(box.low[1], pose.size[1] + gap, lit, f"{box.name} {k} across"))
        self.cp.add_no_overlap_2d(along, across)


@dataclass(frozen=True, kw_only=True)
class Run:
    """Seconds to a first placement, to a gap of 5 %, to proof; None where it was stopped before."""

    first_s: float | None
    five_s: float | None
    proof_s: float | None
    gap: float

    def __str__(self) -> str:
        """As the table prints it."""
        told = [
            f"{name} {'> ' + format(MOST_S, '.0f') if value is None else format(value, '.1f')} s"
            for name, value in (("first", self.first_s), ("5 %", self.five_s), ("proof", self.proof_s))
        ]
        return f"{', '.join(told)}, gap {100 * self.gap:.1f} %"


def timed(model: Model) -> Run:
    """Solve, noting when each mark was passed."""
    from ortools.sat.python import cp_model

    start = time.perf_counter()
    marks: dict[str, float] = {}
    best = {"cost": float("inf"), "bound": 0.0}

    def look() -> None:
        gone = time.perf_counter() - start
        if best["cost"] < float("inf"):
            marks.setdefault("first", gone)
            if best["cost"] - best["bound"] <= 0.05 * best["cost"]:
                marks.setdefault("five", gone)

    class Told(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            best["cost"] = min(best["cost"], self.objective_value)
            look()

    def bound(value: float) -> None:
        best["bound"] = max(best["bound"], value)
        look()

    solver = cp_model.CpSolver()
    solver.parameters.random_seed = 1
    solver.parameters.linearization_level = 2
    solver.parameters.num_workers = 8
    solver.parameters.interleave_search = True
    solver.parameters.max_time_in_seconds = MOST_S
    solver.best_bound_callback = bound
    model.want_good()
    status = solver.solve(model.cp, Told())
    gone = time.perf_counter() - start
    best["bound"] = max(best["bound"], solver.best_objective_bound)
    look()
    proven = status == cp_model.OPTIMAL
    gap = 1.0 if best["cost"] == float("inf") else max(0.0, 1 - best["bound"] / best["cost"])
    return Run(
        first_s=marks.get("first"),
        five_s=marks.get("five"),
        proof_s=gone if proven else None,
        gap=0.0 if proven else gap,
    )


def rows() -> Iterator[str]:
    """One line a size, ours and the baseline, and the ratio of the two to proof."""
    for boxes in (8, 12, 16):
        ours, plain = timed(Model(case(boxes))), timed(Plain(case(boxes)))
        yield f"{boxes:2} boxes, ours:  {ours}"
        yield f"{boxes:2} boxes, plain: {plain}"
        if ours.proof_s is not None:
            sign, until = ("", plain.proof_s) if plain.proof_s is not None else ("> ", MOST_S)
            yield f"{boxes:2} boxes, to proof: {sign}{until / ours.proof_s:.1f} x plain, wanted 5"
