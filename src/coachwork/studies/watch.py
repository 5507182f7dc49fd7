"""How a long computation says how far it is, and asks whether it is still wanted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


class Unwanted(Exception):
    """Nobody waits for the answer any more."""


def _to_nobody(_: str) -> None:
    pass


def _still_wanted() -> bool:
    return False


@dataclass(frozen=True, eq=False)
class Watch:
    """What a study may ask for beside its numbers, by a parameter of this type.

    tell      : takes a few words on how far it is, such as "120,000 states"
    cancelled : whether it is to stop

    >>> Watch(cancelled=lambda: True).look()
    Traceback (most recent call last):
        ...
    coachwork.studies.watch.Unwanted
    """

    tell: Callable[[str], None] = _to_nobody
    cancelled: Callable[[], bool] = _still_wanted

    def look(self, how_far: str = "") -> None:
        """To be called every tenth of a second or so. Raises Unwanted when the answer is."""
        if self.cancelled():
            raise Unwanted
        if how_far:
            self.tell(how_far)


UNWATCHED = Watch()
"""Nobody looks, nobody stops it."""
