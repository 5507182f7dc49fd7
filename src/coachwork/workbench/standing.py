"""The build file as it was last read, and what another program has made of it since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from coachwork.build import Build, read_text, text_of
from coachwork.errors import BuildRefused, Fault
from coachwork.workbench.merging import differences


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What is new in the file: another build, or that it cannot be read, where `build` is None.

    changed : keys that the text before held differently, {key: (then, now)}; none the first time
    """

    build: Build | None
    changed: Mapping[str, tuple[str | None, str | None]] = field(default_factory=dict)


class Standing:
    """The build file.

    text   : as last read
    read   : whether it could be read at all so far
    broken : why it cannot be read just now, line by line; empty when it can
    """

    def __init__(self, file: Path) -> None:
        self.file = file
        self.text = ""
        self.read = False
        self.broken: tuple[str, ...] = ()
        self._mark: tuple[int, ...] = ()

    def wrote(self, text: str) -> None:
        """The file holds this text now, for we have put it there."""
        self.text, self.read, self.broken, self._mark = text, True, (), _mark(self.file)

    def look(self) -> Seen | None:
        """Read the file where it is another than before; None where nothing is new."""
        mark = _mark(self.file)
        if mark == self._mark and mark:
            return None
        first = not self.read and not self.broken
        try:
            text = text_of(self.file)
            if text == self.text and not self.broken and self.read:
                self._mark = mark
                return None
            build = read_text(text, self.file)
        except BuildRefused as refused:
            return self._break(mark, in_words(refused.faults, lines=True))
        except OSError as fault:
            return self._break(mark, (f"{self.file}: {(fault.strerror or str(fault)).lower()}",))
        changed = {} if first else differences(self.text, text)
        self.text, self.read, self.broken, self._mark = text, True, (), mark
        return Seen(build=build, changed=changed)

    def _break(self, mark: tuple[int, ...], why: tuple[str, ...]) -> Seen | None:
        self._mark = mark
        if self.broken == why:
            return None
        self.broken = why
        return Seen(build=None)

    def told(self, seen: Seen) -> str | None:
        """What another program changed, in words; None where it is no number."""
        if not seen.changed:
            return None
        key, (before, after) = next(iter(seen.changed.items()))
        more = f", and {len(seen.changed) - 1} more" if len(seen.changed) > 1 else ""
        return (
            f"{self.file.name} was changed by another program, and the change is taken over: {key} was "
            f"{before or 'nothing'}, is {after or 'nothing'}{more}"
        )


def in_words(faults: Iterable[Fault], *, lines: bool = False) -> tuple[str, ...]:
    """Without lines, where those would be of a text that nobody will see."""
    return tuple(str(fault if lines else replace(fault, line=None)) for fault in faults)


def _mark(file: Path) -> tuple[int, ...]:
    """Another mark, another file; nothing where there is none."""
    try:
        state = file.stat()
    except OSError:
        return ()
    return state.st_mtime_ns, state.st_size, state.st_ino
