"""What a study worked out the last time, for the time when only some of what it stands on has changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from coachwork.studies.sameness import same

T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class Record:
    """What a run reads of the build.

    seen  : what it has read so far, by key
    held  : all that reading it again depends on, for `still`
    still : whether what was read in a run, whose `held` is given, holds the same in this one
    """

    seen: dict[str, Any]
    held: Any
    still: Callable[[Mapping[str, Any], Any], bool]


@dataclass(frozen=True, eq=False)
class _Piece:
    given: tuple[Any, ...]
    made: Any
    read: Mapping[str, Any] = field(default_factory=dict)  # of the build, by one that reads
    held: Any = None  # by the record of the run that it was made in
    inside: tuple[tuple[str, _Piece], ...] = ()  # pieces that were asked for while it was made


@dataclass(eq=False)
class Memory:
    """What a study may ask for beside its numbers, by a parameter of this type: pieces of its work, by name.

    A piece serves again where all that it is given is the same to the last bit. So its making may look at nothing else.
    One that reads entries of the build is asked for by `once_reading`; what it reads goes on record whenever it serves.

    >>> memory = Memory()
    >>> memory.once("area", (3.0, 4.0), lambda: 12.0), memory.once("area", (3.0, 4.0), lambda: 0.0)
    (12.0, 12.0)
    """

    _last: dict[str, list[_Piece]] = field(default_factory=dict)  # of the run before this one
    _used: dict[str, list[_Piece]] = field(default_factory=dict)  # in this one
    _record: Record | None = None  # of this run; without one nothing that reads serves again

    def begin_run(self, record: Record) -> None:
        """What this run reads goes there."""
        self._record = record

    def once(self, name: str, given: tuple[Any, ...], make: Callable[[], T]) -> T:
        """The piece of work of this name, made of what is given."""
        piece = self._serving(name, lambda piece: same(piece.given, given)) or _Piece(given, make())
        self._use(name, piece)
        return cast(T, piece.made)

    def once_reading(self, name: str, given: tuple[Any, ...], make: Callable[[], T]) -> T:
        """The piece of work of this name, made of what is given and of what it reads of the build by itself."""
        record = self._record
        if record is None:
            return make()

        def serves(piece: _Piece) -> bool:
            return record.still(piece.read, piece.held) and same(piece.given, given)

        piece = self._serving(name, serves)
        if piece is None:
            piece = self._read(record, given, make)
        else:
            record.seen.update(piece.read)
        for inner, one in (*piece.inside, (name, piece)):
            self._use(inner, one)
        return cast(T, piece.made)

    def _serving(self, name: str, serves: Callable[[_Piece], bool]) -> _Piece | None:
        return next((piece for piece in (*self._used.get(name, ()), *self._last.get(name, ())) if serves(piece)), None)

    def _use(self, name: str, piece: _Piece) -> None:
        if piece not in (used := self._used.setdefault(name, [])):
            used.append(piece)

    def _read(self, record: Record, given: tuple[Any, ...], make: Callable[[], Any]) -> _Piece:
        before, used = dict(record.seen), {name: len(pieces) for name, pieces in self._used.items()}
        record.seen.clear()
        try:
            made = make()
            read = dict(record.seen)
        finally:  # in the order in which it was read first, as where the piece serves again
            both = {**before, **record.seen}
            record.seen.clear()
            record.seen.update(both)
        inside = [(name, piece) for name, pieces in self._used.items() for piece in pieces[used.get(name, 0) :]]
        return _Piece(given, made, read, record.held, tuple(inside))

    def end_run(self) -> None:
        """Forget what the run that ends has not used."""
        self._last, self._used = self._used, {}

    def break_run(self) -> None:
        """Go back to what the run before this one left: this one was broken off, and may be many times in a row."""
        self._used = {}
