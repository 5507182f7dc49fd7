"""On which line of the build file a key stands."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from coachwork.build.places import Steps, places

AXES = {"x": 0, "y": 1, "z": 2}  # of a point written as a list


def line_of(text: str, path: Steps) -> int | None:
    """Line (from 1) of a key, given as names and list positions; of its nearest parent if it stands nowhere itself."""
    known = _lines(text)
    for depth in range(len(path), 0, -1):
        here = path[:depth]
        if here in known:
            return known[here]
        if here[-1] in AXES and (*here[:-1], AXES[str(here[-1])]) in known:
            return known[(*here[:-1], AXES[str(here[-1])])]
    return None


def line_of_key(text: str, key: str) -> int | None:
    """The same for a key in one piece, such as `shell.wheelbase` or `running-gear.front.hub-face.x`."""
    by_key = _lines_by_key(text)
    while key:
        if key in by_key:
            return by_key[key]
        parent, _, last = key.rpartition(".")
        if last in AXES and (at := f"{parent}[{AXES[last] + 1}]") in by_key:
            return by_key[at]
        key = parent
    return None


@lru_cache(maxsize=8192)
def joined(path: Steps) -> str:
    """Steps as one key.

    >>> joined(("changes", "shims", 0, "front"))
    'changes.shims[1].front'
    """
    return "".join(f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in path).lstrip(".")


@lru_cache(maxsize=4)
def _lines(text: str) -> Mapping[Steps, int]:
    first: dict[Steps, int] = {}
    for place in places(text):
        first.setdefault(place.path, place.line)
        for depth in range(1, len(place.path)):
            first.setdefault(place.path[:depth], place.line)  # a parent stands where its first child does
    return MappingProxyType(first)


@lru_cache(maxsize=4)
def _lines_by_key(text: str) -> Mapping[str, int]:
    return MappingProxyType({joined(path): line for path, line in _lines(text).items()})
