"""What a study worked out the last time, for the time when only some of what it stands on has changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from coachwork.studies.sameness import same

T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class _Piece:
    given: tuple[Any, ...]
    made: Any


@dataclass(eq=False)
class Memory:
    """What a study may ask for beside its numbers, by a parameter of this type: pieces of its work, by name.

    A piece serves again where all that it is given is the same to the last bit. So its making may look at nothing else;
    it reads no entry of the build either, for what is read goes on record only where it is read.

    >>> memory = Memory()
    >>> memory.once("area", (3.0, 4.0), lambda: 12.0), memory.once("area", (3.0, 4.0), lambda: 0.0)
    (12.0, 12.0)
    """

    _last: dict[str, list[_Piece]] = field(default_factory=dict)  # of the run before this one
    _used: dict[str, list[_Piece]] = field(default_factory=dict)  # in this one

    def once(self, name: str, given: tuple[Any, ...], make: Callable[[], T]) -> T:
        """The piece of work of this name, made of what is given."""
        used = self._used.setdefault(name, [])
        for piece in (*used, *self._last.get(name, ())):
            if same(piece.given, given):
                break
        else:
            piece = _Piece(given, make())
        if piece not in used:
            used.append(piece)
        return cast(T, piece.made)

    def end_run(self) -> None:
        """Forget what the run that ends has not used."""
        self._last, self._used = self._used, {}

    def break_run(self) -> None:
        """Go back to what the run before this one left: this one was broken off, and may be many times in a row."""
        self._used = {}
