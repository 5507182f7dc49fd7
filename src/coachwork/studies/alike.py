"""Which of many samples are alike in all that a computation hangs on, so that each kind is computed once.

Of the numbers that a build is weighed by, most are none of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Places = NDArray[np.intp]
T = TypeVar("T")
R = TypeVar("R")


def kinds_of(samples: int, *of: Any) -> tuple[Places, Places]:
    """The first sample of each kind, (kinds,), and of every sample which kind it is, (samples,).

    of : arrays, or dataclasses, tuples and mappings that hold them; those of other than `samples` rows are the same for
         all samples

    >>> firsts, whose = kinds_of(4, np.array([1.0, 2.0, 1.0, 1.0]), (np.array([[3], [3], [3], [4]]), np.ones(1)))
    >>> firsts.tolist(), whose.tolist()
    ([0, 1, 3], [0, 1, 0, 2])
    """
    rows = [array.reshape(samples, -1).astype(float) for array in _arrays(of) if array.ndim and len(array) == samples]
    kinds: dict[bytes, int] = {}
    whose = np.zeros(samples, dtype=np.intp)
    if rows:
        whose[:] = [kinds.setdefault(row.tobytes(), len(kinds)) for row in np.concatenate(rows, axis=1)]
    return np.unique(whose, return_index=True)[1].astype(np.intp), whose


def once_each(samples: int, whole: T, make: Callable[[T], R]) -> R:
    """What is made of samples, each kind of them made once. All arrays of what is made have the samples first.

    >>> asked = []
    >>> once_each(4, np.array([1.0, 2.0, 1.0, 1.0]), lambda some: (asked.append(some.tolist()), 10 * some)[1]).tolist()
    [10.0, 20.0, 10.0, 10.0]
    >>> asked
    [[1.0, 2.0]]
    """
    if samples == 1:
        return make(whole)
    firsts, whose = kinds_of(samples, whole)
    if firsts.size == samples:
        return make(whole)
    return _of(make(_of(whole, samples, firsts)), firsts.size, whose)


def _of(whole: T, samples: int, places: Places) -> T:
    """The same thing at some places, of arrays that have so many samples."""
    if isinstance(whole, np.ndarray):
        return cast(T, whole[places] if whole.ndim and len(whole) == samples else whole)
    if is_dataclass(whole) and not isinstance(whole, type):
        return cast(
            T, type(whole)(**{one.name: _of(getattr(whole, one.name), samples, places) for one in fields(whole)})
        )
    if isinstance(whole, tuple):
        return cast(T, tuple(_of(item, samples, places) for item in whole))
    if isinstance(whole, Mapping):
        return cast(T, {name: _of(item, samples, places) for name, item in whole.items()})
    return whole


def _arrays(whole: Any) -> Iterator[Any]:
    if isinstance(whole, np.ndarray):
        yield whole
    elif isinstance(whole, Mapping):
        for item in whole.values():
            yield from _arrays(item)
    elif isinstance(whole, tuple):
        for item in whole:
            yield from _arrays(item)
    elif is_dataclass(whole):
        for one in fields(whole):
            yield from _arrays(getattr(whole, one.name))
