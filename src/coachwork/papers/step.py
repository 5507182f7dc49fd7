"""One step of the build order."""

from __future__ import annotations

from dataclasses import dataclass

PLASTIC = "into plastic: turn until the head seats, no further; no thread-lock"
METAL = "into metal: a drop of medium thread-lock, about 1 N m for M3"


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing to do.

    after    : keys of steps that come before it, where there are such
    fastener : what holds it, by common practice; empty where nothing does
    """

    key: str
    what: str
    after: tuple[str, ...] = ()
    fastener: str = ""
