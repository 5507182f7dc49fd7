"""In which order parts, boxes and screws go together so that a driver has a straight way to each screw at its time.

What is known: what each screw joins, and what would stand in its driver's way if it were fitted already. So a screw
goes in after all that it joins and before all that is in its way. If these wishes run in a circle, some screw cannot be
reached whenever its turn comes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from coachwork.studies.parts import CannotBe

CHASSIS = "chassis"


@dataclass(frozen=True, kw_only=True)
class Screw:
    """One screw: the part whose hole it goes in by, what else it joins, and what is in its driver's way when fitted."""

    part: str
    hole: str
    joins: frozenset[str] = frozenset()
    in_way: frozenset[str] = frozenset()

    @property
    def name(self) -> str:
        """Of the step."""
        return f"{self.part}/{self.hole}"


@dataclass(frozen=True, kw_only=True)
class Order:
    """One order that does.

    steps : names of parts and boxes when they are fitted, and "part/hole" of screws
    early : {screw: what it must go in before}, for those that no driver reaches later
    """

    steps: tuple[str, ...]
    early: Mapping[str, tuple[str, ...]]


def order_of(things: Iterable[str], screws: Iterable[Screw], after: Mapping[str, Iterable[str]]) -> Order:
    """One that does, or CannotBe: short of one screw, the first that is out of reach.

    after : {thing: what is fitted before it}, besides the chassis, which is always first
    """
    names = list(things)
    base = {CHASSIS} & set(names)
    first = {name: (set(after.get(name, ())) & set(names)) | (base - {name}) for name in names}
    graph: dict[str, set[str]] = {name: set(before) for name, before in first.items()}
    early: dict[str, tuple[str, ...]] = {}
    for screw in screws:
        graph[screw.name] = needed = _needed(screw, set(names))
        if stuck := needed & screw.in_way:
            raise CannotBe(
                f"the {min(stuck)} is in the driver's way to the screw {screw.hole} of the {screw.part}, and that "
                "screw holds it: no order of assembly helps", short=1.0,
            )  # fmt: skip
        before = sorted(set(_before(screw, first)) & set(names))
        for name in before:
            graph[name].add(screw.name)
        if before:
            early[screw.name] = tuple(before)
    try:
        return Order(steps=tuple(TopologicalSorter(graph).static_order()), early=early)
    except CycleError as circle:
        ring = [step for step in circle.args[1] if "/" in step]
        raise CannotBe(
            f"the screw {ring[0].partition('/')[2]} of the {ring[0].partition('/')[0]} cannot be reached at any time: "
            f"what it holds and what is in its driver's way wait for each other ({' before '.join(circle.args[1])})",
            short=1.0,
        ) from None


def _needed(screw: Screw, names: set[str]) -> set[str]:
    """What is fitted before the screw: all that it joins on the vehicle. One that joins nothing there is free."""
    joined = set(screw.joins) & names
    return joined | {screw.part} if joined or screw.part == CHASSIS else set()


def _before(screw: Screw, first: Mapping[str, set[str]]) -> Iterator[str]:
    """What is fitted only after the screw. A thing that is there before the screw's own part: then that part waits."""
    for name in screw.in_way:
        earlier = name == CHASSIS or name in first.get(screw.part, ())
        yield screw.part if earlier and screw.part != CHASSIS else name
