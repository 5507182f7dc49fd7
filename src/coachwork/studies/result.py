"""What results have in common: write-protected arrays, which frozen does not see to."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np


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
