"""Which of many samples are alike in all that a computation hangs on, so that each kind is computed once.

Of the numbers that a build is weighed by, most are none of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Places = NDArray[np.intp]


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
