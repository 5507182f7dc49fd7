"""Which tables a build file can have: every section class with a `TABLE`, found in the `sections` folder."""

from __future__ import annotations

import importlib
import pkgutil
from functools import lru_cache

from coachwork.build import sections
from coachwork.build.section import Section


@lru_cache(maxsize=1)
def tables() -> dict[str, type[Section]]:
    """Table name in the file -> its section class, `[build]` first."""
    found: dict[str, type[Section]] = {}
    for module in pkgutil.iter_modules(sections.__path__):
        loaded = importlib.import_module(f"{sections.__name__}.{module.name}")
        for item in vars(loaded).values():
            if isinstance(item, type) and issubclass(item, Section) and item.TABLE:
                found[item.TABLE] = item
    return dict(sorted(found.items(), key=lambda pair: (pair[1].ORDER, pair[0])))
