"""One line of the shopping list."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Item:
    """What, how many, what it must stand or be set to, and what for."""

    what: str
    number: str
    rated: str = ""
    what_for: str = ""
