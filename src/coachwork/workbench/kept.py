"""Forms of things, made anew only where the thing has changed: an edit changes a few of a thousand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from coachwork.confidence.json_form import Json

Form = dict[str, Json]


@dataclass(eq=False)
class Kept:
    """By key the last form, and what it was made of.

    >>> kept = Kept()
    >>> kept.once("width", (182.0,), lambda: {"told": "182 mm"}) is kept.once("width", (182.0,), dict)
    True
    """

    _made: dict[str, tuple[tuple[object, ...], Form]] = field(default_factory=dict)

    def once(self, key: str, of: tuple[object, ...], make: Callable[[], Form]) -> Form:
        """The form of a key: the last one, where it was made of the same."""
        held = self._made.get(key)
        if held is None or held[0] != of:
            held = self._made[key] = (of, make())
        return held[1]
