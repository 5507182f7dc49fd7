"""What a study says on one question, as numbers over samples; `Verdict` is what the builder reads.

Finding    made by a study: value and limit as arrays (samples,), so that spreads can be carried through
Verdict    made from it once the chance is known: plain numbers; margin and state follow from them
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal, TypedDict, TypeVar

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.parts import Blocked, Missing, Part

State = Literal["fails", "tight", "unmeasured", "holds"]
Sense = Literal["at most", "at least", "within"]
STATES: tuple[State, ...] = ("fails", "tight", "unmeasured", "holds")  # worst first: how pages sort
SURE = 0.9  # a verdict that holds on paper with less chance than this reads "tight"; our choice
T = TypeVar("T")


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where on the vehicle: a part, and a point in the chassis frame in mm where there is one."""

    part: str
    point_mm: tuple[float, float, float] | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Finding:
    """One line of a study's answer, before its chance is known.

    value, limit : (samples,) in `unit`; None while unmeasured. `within`: |value| at most `limit`. The plain answer is
                   finite; when spreads are carried through, a sample may be NaN: there is no such thing in it
    why, do      : one sentence each, for the first sample. `do` holds the concrete change with its number, or None
    missing      : keys that were not measured
    bounded      : not all that there is was looked at, and nothing against it found so far: tight, its chance not known
    """

    id: str
    question: str
    unit: str = ""
    value: Numbers | None = None
    limit: Numbers | None = None
    sense: Sense = "at most"
    tight_within: float = 0.0
    why: str = ""
    do: str | None = None
    where: Place | None = None
    source: str | None = None
    missing: tuple[str, ...] = ()
    bounded: bool = False

    def __post_init__(self) -> None:
        for name in ("value", "limit"):
            array = getattr(self, name)
            if array is not None:
                array = np.atleast_1d(np.asarray(array, dtype=float))
                if array.size == 1 and not np.isfinite(array).all():
                    raise ValueError(f"{self.id}: {name} is {array[0]}; a finding needs a finite number, or none")
                object.__setattr__(self, name, array)

    @property
    def measured(self) -> bool:
        """Whether there is a number."""
        return self.value is not None

    @property
    def fails(self) -> bool:
        """Whether the plain answer breaks its limit.

        >>> Finding(id="a", question="?", value=2.0, limit=1.5).fails, Finding(id="a", question="?").fails
        (True, False)
        """
        if self.value is None or self.limit is None:
            return False
        return float(margin_of(self.value.flat[0], self.limit.flat[0], self.sense)) < 0


class Told(TypedDict, total=False):
    """What a study tells of a part: a finding's fields but for its id and question.

    Only `do`, `where` and, where everything was looked at, `bounded` may lack.
    """

    value: Numbers | float
    limit: Numbers | float
    unit: str
    sense: Sense
    tight_within: float
    why: str
    do: str | None
    where: Place
    source: str
    bounded: bool


def judge(part: Part[T], answer: Callable[[T], Told], *, id: str, question: str) -> Finding:
    """The finding on a part of a result: its numbers by `answer`, or unmeasured where the part is missing."""
    if isinstance(part, Blocked):
        return Finding(id=id, question=question, why=part.why)
    if isinstance(part, Missing):
        return Finding(id=id, question=question, missing=part.keys, why=f"not measured yet: {', '.join(part.keys)}")
    told = answer(part)
    if lacking := {"value", "limit", "unit", "why", "source"} - told.keys():
        raise ValueError(f"{id}: the finding does not tell its {', '.join(sorted(lacking))}")
    return Finding(
        id=id,
        question=question,
        unit=told["unit"],
        value=np.asarray(told["value"], dtype=float),
        limit=np.asarray(told["limit"], dtype=float),
        sense=told.get("sense", "at most"),
        tight_within=told.get("tight_within", 0.0),
        why=told["why"],
        do=told.get("do"),
        where=told.get("where"),
        source=told["source"],
        bounded=told.get("bounded", False),
    )


@dataclass(frozen=True, kw_only=True)
class Lead:
    """How much one number of the build adds to the doubt in a verdict."""

    key: str
    share: float  # of the variance of the margin, 0 to 1
    gain: float  # change of the value for a change of one in the number's internal unit


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """One line of a study's answer; margin and state follow from the numbers, nobody types them."""

    id: str  # "linkage.front.camber-link-inner-angle": stable, never reworded
    study: str
    question: str
    value: float | None  # None: not measured yet
    limit: float | None
    sense: Sense
    tight_within: float  # a margin below this reads "tight"
    unit: str
    chance: float | None  # that it holds, given the spreads; None where unmeasured, or where it cannot be told
    why: str
    do: str | None
    where: Place | None
    source: str | None  # of the limit
    missing: tuple[str, ...] = ()
    leads: tuple[Lead, ...] = field(default=())
    weighed: bool = True  # else the chance is still to come, and the state may yet turn from "holds" to "tight"

    def __post_init__(self) -> None:  # else NaN slips past every comparison and "holds"
        for number in (self.value, self.limit, self.chance):
            if number is not None and not math.isfinite(number):
                raise ValueError(f"{self.id}: {number}; give finite numbers, or None for unmeasured")

    @property
    def margin(self) -> float | None:
        """Room left, in `unit`; negative when the limit is broken."""
        if self.value is None or self.limit is None:
            return None
        return float(margin_of(self.value, self.limit, self.sense))

    @property
    def state(self) -> State:
        """What the margin and the chance come to."""
        if self.margin is None:
            return "unmeasured"
        if self.margin < 0:
            return "fails"
        unsure = (self.weighed or self.chance is not None) and (self.chance or 0.0) < SURE
        return "tight" if self.margin < self.tight_within or unsure else "holds"


def margin_of(value: Any, limit: Any, sense: Sense) -> Any:
    """Room left between a value and its limit, arrays or floats.

    >>> margin_of(-0.75, 0.5, "within")
    -0.25
    """
    if sense == "within":
        return limit - abs(value)
    return limit - value if sense == "at most" else value - limit
