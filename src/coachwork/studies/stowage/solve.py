"""Solving: is there a placement, which is the best that can be found, and which demands cannot hold together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass, replace
from math import inf
from typing import TYPE_CHECKING, Any

from coachwork.studies.parts import CannotBe
from coachwork.studies.stowage.bound import Bound, bound
from coachwork.studies.stowage.costs import want_good
from coachwork.studies.stowage.problem import Problem, Triple
from coachwork.studies.watch import UNWATCHED, Watch

if TYPE_CHECKING:
    from coachwork.studies.stowage.model import Model

SEED = 1
POLL_S = 0.1
NO_SOLVER = 'the solver is not installed: pip install "coachwork[stow]"; places that are given are judged without it'
NOT_BY_HOW_MUCH = ("carry", "stand", "reach", "plate", "sweep")  # demands that hold or do not
MOST_EXTRA_MM = 80.0  # a demand that would have to give by more than this is not worth telling


@dataclass(frozen=True, kw_only=True)
class Limits:
    """How long to look, in the solver's own deterministic seconds, so that a slow machine finds the same.

    decide : for whether it fits at all    improve : for the best places    each : for each demand given up on trial
    workers: search strategies that take turns, so that what is found does not hang on the machine's speed
    quick  : share of `improve` before it is looked into how good places can be; most vehicles are done by then
    alone  : share of `improve` for one strategy by itself, which proves small problems many times sooner than eight
             that take turns; the rest is for those, which find better places in large ones
    """

    decide: float = 20.0
    improve: float = 40.0
    each: float = 6.0
    workers: int = 8
    quick: float = 0.05
    alone: float = 0.2


USUAL = Limits()
Seen = Callable[[float, float], None]


def _nobody(_cost: float, _bound: float) -> None:
    pass


@dataclass(frozen=True, kw_only=True)
class Spot:
    """Where one box is: lower corner in steps, which pose, on what ("" where it stays off any deck)."""

    corner: Triple
    pose: int
    on: str


@dataclass(frozen=True, kw_only=True)
class Placement:
    """A place for every box. cost, bound: in 1 / SCALE of a step of lead; None where only a place was asked for."""

    spots: Mapping[str, Spot]
    cost: float | None = None
    bound: float | None = None

    @property
    def gap(self) -> float | None:
        """How far from the best it may be at most, of its own cost; 0 is proven best."""
        if self.cost is None or self.bound is None:
            return None
        return max(0.0, self.cost - self.bound) / max(self.cost, 1e-9) if self.cost > 0 else 0.0


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way out of a clash: this demand given up, or broken by this much at least.

    towards : of what is to be moved, where to: "forward", "back", "left", "right"; more than one: this far together
    """

    demand: str
    extra: int | None  # steps; None: to be given up
    towards: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Clash:
    """Demands that cannot hold together, none of which can be left out; and what each would have to give.

    proven : that each of them is needed was shown, too, not only that all together are too much
    """

    demands: tuple[str, ...]
    ways: tuple[Way, ...] = ()
    proven: bool = True


@dataclass(frozen=True)
class Undecided:
    """Neither a placement nor a proof within the limits."""

    why: str


def find(problem: Problem, limits: Limits = USUAL, watch: Watch = UNWATCHED) -> Placement | Clash | Undecided:
    """A placement first; then a better one; or the smallest set of demands that cannot hold together.

    Raises CannotBe where the solver is not installed.
    """
    watch.tell("whether everything fits")
    first = fits(problem, limits.decide, limits.workers, watch)
    if isinstance(first, Placement):
        return improve(problem, first, limits, watch)
    if first is None:
        return Undecided("neither a place for every box nor a proof that there is none was found in the time given")
    return clash(problem, limits, watch)


def fits(problem: Problem, work: float, workers: int = 1, watch: Watch = UNWATCHED) -> Placement | bool | None:
    """A placement, False where there is none, None where that was not found out."""
    model = _model(problem)
    model.hint()
    status, solver = _run(model, work, workers, watch)
    if status in ("OPTIMAL", "FEASIBLE"):
        return _placement(model, solver)
    return False if status == "INFEASIBLE" else None


def improve(
    problem: Problem, first: Placement, limits: Limits = USUAL, watch: Watch = UNWATCHED, seen: Seen = _nobody
) -> Placement:
    """The best placement found from a first one, and what is proven about it. Stopped, the best so far.

    One strategy alone first; then what no placement can cost less than is worked out from the room there is, and it
    goes on; then several strategies in turns, begun where the first came to.

    seen : is told cost and bound whenever one of them gets better
    """
    best, known = first, bound(problem, good=inf, rounds=0)
    turns = 1 - limits.quick - limits.alone
    for share, workers in ((limits.quick, 1), (limits.alone, 1), (turns, limits.workers)):
        best = _improved(problem, best, known, work=share * limits.improve, workers=workers, watch=watch, seen=seen)
        if best.gap == 0 or watch.cancelled():
            break
        if share == limits.quick and best.cost is not None:
            known = bound(problem, good=best.cost, watch=watch)
            lowest = max(best.bound or 0.0, known.cost or 0.0)
            seen(best.cost, lowest)
            best = replace(best, bound=lowest)
    return best


def _improved(
    problem: Problem, best: Placement, known: Bound, *, work: float, workers: int, watch: Watch, seen: Seen
) -> Placement:
    hints = {name: (spot.corner, spot.pose) for name, spot in best.spots.items()}
    model = _model(replace(problem, items=tuple(replace(i, hint=hints[i.name]) for i in problem.items)))
    model.hint()
    want_good(model, replace(known, cost=_larger(known.cost, best.bound)))
    status, solver = _run(
        model, work, workers, watch, linear=1 if workers == 1 else 2, seen=seen
    )  # alone it proves sooner so
    if status not in ("OPTIMAL", "FEASIBLE"):
        return best
    cost, lowest = float(solver.objective_value), _larger(float(solver.best_objective_bound), best.bound)
    if best.cost is not None and cost > best.cost:
        return replace(best, bound=lowest)
    return replace(_placement(model, solver), cost=cost, bound=lowest)


def _larger(one: float | None, two: float | None) -> float | None:
    return max((value for value in (one, two) if value is not None), default=None)


def clash(problem: Problem, limits: Limits = USUAL, watch: Watch = UNWATCHED) -> Clash | Undecided:
    """The smallest set of demands of an impossible problem, by leaving out one after the other."""
    model = _model(problem, assumed=True)
    status, solver = _run(model, limits.decide, 1, watch)
    names = list(model.demands)
    core = list(problem.demands())
    if status == "INFEASIBLE":
        index = {literal.index: name for name, literal in model.demands.items()}
        named = {index[i] for i in solver.sufficient_assumptions_for_infeasibility() if i in index}
        core = [name for name in names if name in named] or core
    core, proven = smallest(core, lambda kept: _holds(problem, kept, limits.each, watch), watch)
    if watch.cancelled():
        proven = False
    ways = []
    for demand in core:
        if watch.cancelled():
            break
        watch.tell(f"what would do instead: {demand}")
        way = least_extra(problem, demand, limits.each, watch)
        # Given up, does it help? There may be a second clash beside this one.
        if way.extra is not None or _holds_without(problem, demand, limits.each, watch):
            ways.append(way)
    return Clash(demands=tuple(core), ways=tuple(ways), proven=proven)


def smallest(
    core: list[str], holds: Callable[[Iterable[str]], bool | None], watch: Watch = UNWATCHED
) -> tuple[list[str], bool]:
    """Demands of which each is needed for the clash; whether all that was decided.

    holds : of some demands, whether they can hold together; None for not found out
    """
    proven = True
    for demand in list(core):
        if watch.cancelled():
            return core, False
        watch.tell(f"which demands clash: {len(core)} left")
        without = [name for name in core if name != demand]
        held = holds(without)
        if held is False:
            core = without
        elif held is None:
            proven = False
    return core, proven


def _holds(problem: Problem, kept: Iterable[str], work: float, watch: Watch) -> bool | None:
    left = problem.without(set(problem.demands()) - set(kept))
    found = fits(left, work, 1, Watch(cancelled=watch.cancelled))
    return True if isinstance(found, Placement) else found


def _holds_without(problem: Problem, demand: str, work: float, watch: Watch) -> bool:
    found = fits(problem.without({demand}), work, 1, Watch(cancelled=watch.cancelled))
    return isinstance(found, Placement)


def least_extra(problem: Problem, demand: str, work: float, watch: Watch = UNWATCHED) -> Way:
    """By how little one demand has to give for all others to hold."""
    if demand.split(" ")[0] in NOT_BY_HOW_MUCH:
        return Way(demand=demand, extra=None)
    most = int(MOST_EXTRA_MM / problem.step_mm)
    model = _model(problem, eased=demand, most=most)
    model.want_little_extra()
    status, solver = _run(model, work, 1, watch)
    if status not in ("OPTIMAL", "FEASIBLE"):
        return Way(demand=demand, extra=None)
    moved = () if model.moved is None else tuple(int(solver.value(by)) for by in model.moved)
    return Way(
        demand=demand, extra=problem.told(demand, round(solver.value(model.extra))), towards=towards(*moved)
    )  # fmt: skip


def towards(along: int = 0, across: int = 0) -> tuple[str, ...]:
    """Ways on the vehicle.

    >>> towards(3, -2)
    ('forward', 'right')
    """
    named = (along > 0, "forward"), (along < 0, "back"), (across > 0, "left"), (across < 0, "right")
    return tuple(word for there, word in named if there)


def _model(problem: Problem, **how: Any) -> Model:
    from coachwork.studies.stowage.programme import programme

    try:
        return programme(problem, **how)
    except ImportError:
        raise CannotBe(NO_SOLVER) from None


def _run(
    model: Model, work: float, workers: int, watch: Watch, *, linear: int = 2, seen: Seen | None = None
) -> tuple[str, Any]:
    from ortools.sat.python import cp_model

    best = {"cost": inf, "bound": 0.0}
    of_seen = seen or _nobody

    def told(cost: float, bound: float) -> None:
        best["cost"], best["bound"] = min(cost, best["cost"]), max(bound, best["bound"])
        if best["cost"] < inf:
            of_seen(best["cost"], best["bound"])
            left = max(0.0, 1 - best["bound"] / best["cost"]) if best["cost"] > 0 else 0.0
            watch.tell(f"within {100 * left:.0f} % of the best there can be")

    class Told(cp_model.CpSolverSolutionCallback):
        """Tells of each better placement, and stops when nobody waits any more."""

        found = 0

        def on_solution_callback(self) -> None:
            self.found += 1
            if seen is None:
                watch.tell(f"placement {self.found}")
            else:
                told(cost=self.objective_value, bound=self.best_objective_bound)
            if watch.cancelled():
                self.stop_search()

    solver = cp_model.CpSolver()
    solver.parameters.random_seed = SEED
    solver.parameters.linearization_level = linear
    solver.parameters.max_deterministic_time = work
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = workers > 1
    solver.parameters.catch_sigint_signal = False
    if seen is not None:
        solver.best_bound_callback = lambda value: told(inf, value)
    # In a thread of its own: while the solver runs in the main one, no signal gets through to Python.
    with ThreadPoolExecutor(1) as beside:
        running = beside.submit(solver.solve, model.cp, Told())
        try:
            while not wait([running], POLL_S).done:
                if watch.cancelled():
                    solver.stop_search()
        finally:
            while not wait([running], POLL_S).done:  # interrupted: nobody waits any more
                solver.stop_search()
    return solver.status_name(running.result()), solver


def _placement(model: Model, solver: Any) -> Placement:
    spots = {}
    for name, box in model.boxes.items():
        corner: Triple = (solver.value(box.low[0]), solver.value(box.low[1]), solver.value(box.low[2]))
        pose = next(k for k, lit in enumerate(box.poses) if solver.boolean_value(lit))
        fixed = box.item.fixed is not None and not box.item.surfaces
        on = "" if fixed else next(name for name, lit in box.on.items() if solver.boolean_value(lit))
        spots[name] = Spot(corner=corner, pose=pose, on=on)
    return Placement(spots=spots)
