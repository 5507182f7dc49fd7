"""Whether two results hold the same: what stands on the one may then stand on the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np


def same(one: Any, other: Any) -> bool:
    """Whether two results are of one shape and hold the same numbers, to the last bit; NaN is the same as NaN.

    A dataclass's fields with `compare=False` are left out: what it keeps beside what it says.

    What cannot be looked into (a function, an object that is no dataclass) is the same only as itself or its equal,
    so that True is certain and False is not.

    >>> same((1.0, np.array([np.nan])), (1.0, np.array([np.nan])))
    True
    >>> same({"a": 1.0}, {"a": 2.0})
    False
    """
    if one is other:
        return True
    if type(one) is not type(other):
        return False
    if isinstance(one, np.ndarray):
        return _same_arrays(one, other)
    if is_dataclass(one):
        return all(same(getattr(one, field.name), getattr(other, field.name)) for field in fields(one) if field.compare)
    if isinstance(one, Mapping):
        return list(one) == list(other) and all(same(one[key], other[key]) for key in one)
    if isinstance(one, (tuple, list)):
        return len(one) == len(other) and all(same(a, b) for a, b in zip(one, other, strict=True))
    return bool(one == other) or (isinstance(one, float) and one != one and other != other)


def _same_arrays(one: np.ndarray[Any, Any], other: np.ndarray[Any, Any]) -> bool:
    if one.shape != other.shape or one.dtype != other.dtype:
        return False
    return bool(np.array_equal(one, other, equal_nan=one.dtype.kind in "fc"))
