"""Parts of a result: a study goes on with the rest where one part lacks a number or physics forbids it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ParamSpec, TypeAlias, TypeVar, overload

from typing_extensions import TypeIs

from coachwork.build import NotMeasured

P = ParamSpec("P")
T = TypeVar("T")
U = TypeVar("U")
V = TypeVar("V")


@dataclass(frozen=True)
class Missing:
    """In place of a part that could not be computed: the keys that are not measured yet."""

    keys: tuple[str, ...]


@dataclass(frozen=True)
class Blocked:
    """In place of a part that does not exist: why, and by how much it falls short where that can be told."""

    why: str
    short: float | None = None


Part: TypeAlias = T | Missing | Blocked  # of a result: there, not measured, or impossible


def is_missing(part: object) -> TypeIs[Missing | Blocked]:
    """Whether a part could not be computed."""
    return isinstance(part, (Missing, Blocked))


class CannotBe(Exception):
    """What a part is about does not exist, such as the camber of a linkage that cannot be assembled."""

    def __init__(self, why: str, *, short: float | None = None) -> None:
        super().__init__(why)
        self.why, self.short = why, short


def attempt(part: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> Part[T]:
    """Compute one part of a result, or say which numbers it lacks, or why there is no such thing."""
    try:
        return part(*args, **kwargs)
    except NotMeasured as gap:
        return Missing(gap.keys)
    except CannotBe as no:
        return Blocked(no.why, no.short)


def need(part: Part[T]) -> T:
    """A part that another part stands on. Raises what made it missing."""
    if isinstance(part, Missing):
        raise NotMeasured(part.keys)
    if isinstance(part, Blocked):
        raise CannotBe(part.why, short=part.short)
    return part


@overload
def need_all(first: Part[T], second: Part[U], /) -> tuple[T, U]: ...
@overload
def need_all(first: Part[T], second: Part[U], third: Part[V], /) -> tuple[T, U, V]: ...
@overload
def need_all(*parts: Part[object]) -> tuple[object, ...]: ...
def need_all(*parts: Any) -> tuple[Any, ...]:
    """Parts that a finding stands on together. Raises NotMeasured naming what any of them lacks, not only the first.

    >>> attempt(need_all, Missing(("shell.length",)), Missing(("shell.width",)))
    Missing(keys=('shell.length', 'shell.width'))
    """
    if keys := [key for part in parts if isinstance(part, Missing) for key in part.keys]:
        raise NotMeasured(keys)
    return tuple(need(part) for part in parts)
