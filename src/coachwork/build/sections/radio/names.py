"""Names in texts of the radio table: lists with commas, and blanks for not decided yet."""

from __future__ import annotations

from functools import lru_cache

from coachwork.build.entries import BLANKS


@lru_cache(maxsize=1024)  # asked for each sample anew
def names_in(text: str) -> tuple[str, ...]:
    """The names of a list, in small letters; none where it is blank.

    >>> names_in("off, Steady,  flashing"), names_in("?")
    (('off', 'steady', 'flashing'), ())
    """
    if text.strip() in BLANKS:
        return ()
    return tuple(" ".join(name.lower().split()) for name in text.split(","))


def name_in(text: str) -> str:
    """One name, or nothing where it is blank."""
    return "" if text.strip() in BLANKS else text.strip()
