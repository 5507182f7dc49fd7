"""Samples that are alike in all that a drive hangs on are driven once: of the numbers a build is weighed by, most are
none of the drive's.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np

from coachwork.studies.power.driven import Drive
from coachwork.studies.power.setup import Setup
from coachwork.studies.power.vehicle import Ints, taken


def once_each(setup: Setup, drive: Callable[[Setup], Drive]) -> Drive:
    """The drive of all samples, of which only those are driven that differ."""
    firsts, whose = _distinct(setup)
    some = drive(taken(setup, firsts))
    happenings = tuple(
        replace(one, sample=int(sample)) for one in some.happenings for sample in np.flatnonzero(whose == one.sample)
    )
    return replace(taken(replace(some, happenings=(), trace=None), whose), happenings=happenings)


def _distinct(setup: Setup) -> tuple[Ints, Ints]:
    """The first sample of each kind, and of every sample which kind it is."""
    columns = np.concatenate([array.reshape(setup.samples, -1).astype(float) for array in _arrays(setup)], axis=1)
    kinds: dict[bytes, int] = {}
    whose = np.array([kinds.setdefault(row.tobytes(), len(kinds)) for row in columns], dtype=np.intp)
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
