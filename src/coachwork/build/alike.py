"""Whether two tables of a build file say the same to the letter, so that what was read of one serves for the other."""

from __future__ import annotations

from typing import Any

from coachwork.build.entries import Typed


def alike(one: Any, other: Any) -> bool:
    """Whether two values of a TOML file are the same, types, order and the digits of numbers included.

    >>> alike({"a": 1, "b": [2]}, {"a": 1, "b": [2]}), alike({"a": 1, "b": [2]}, {"b": [2], "a": 1}), alike(1, True)
    (True, False, False)
    >>> from coachwork.build.entries import as_typed
    >>> alike(as_typed("12.5"), as_typed("12.50"))
    False
    """
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return list(one) == list(other) and all(alike(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(alike(a, b) for a, b in zip(one, other, strict=True))
    return bool(one.text == other.text if isinstance(one, Typed) else one == other)
