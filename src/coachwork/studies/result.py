"""What results have in common: write-protected arrays (frozen does not see to that), parts that may be missing."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TypeAlias, TypeVar

import numpy as np

from coachwork.studies.parts import Blocked, Missing

T = TypeVar("T")
Part: TypeAlias = T | Missing | Blocked


def is_missing(part: object) -> bool:
    """Whether a part could not be computed."""
    return isinstance(part, (Missing, Blocked))


@dataclass(frozen=True, kw_only=True, eq=False)
class Result:
    """Base of results that hold arrays over samples; two of them are equal only if they are the same object."""

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if isinstance(value, np.ndarray):
                own = value.copy()
                own.flags.writeable = False
                object.__setattr__(self, field.name, own)
