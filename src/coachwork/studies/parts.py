"""Parts of a result: a study goes on with the rest where one part lacks a number."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ParamSpec, TypeVar

from coachwork.build import NotMeasured

P = ParamSpec("P")
T = TypeVar("T")


@dataclass(frozen=True)
class Missing:
    """In place of a part that could not be computed: the keys that are not measured yet."""

    keys: tuple[str, ...]


def attempt(part: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T | Missing:
    """Compute one part of a result, or say which numbers it lacks."""
    try:
        return part(*args, **kwargs)
    except NotMeasured as gap:
        return Missing(gap.keys)


def need(part: T | Missing) -> T:
    """A part that another part stands on. Raises NotMeasured with the keys the first one lacks."""
    if isinstance(part, Missing):
        raise NotMeasured(part.keys)
    return part
