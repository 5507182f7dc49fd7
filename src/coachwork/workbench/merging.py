"""What a key holds in a build file's text, what differs between two texts, and one change taken back out of a third."""

from __future__ import annotations

import hashlib
import tomllib
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass

from coachwork.build import with_entry
from coachwork.build.fields import steps_of
from coachwork.build.lines import AXES, joined
from coachwork.build.places import Place, Steps, places

NOT_THERE = "?"  # what stands for a number that was taken out again


def held(text: str, key: str) -> str | None:
    """What a key holds, as the builder would type it: without the file's quotes. None where it stands nowhere.

    >>> held('[shell]\\nwidth = "182 ± 0.2"\\n', "shell.width")
    '182 ± 0.2'
    """
    path: Steps = steps_of(key)
    wanted = [path]
    if path[-1] in AXES:
        wanted.append((*path[:-1], AXES[str(path[-1])]))
    found = next((place for place in places(text) if place.path in wanted and place.form == "value"), None)
    return None if found is None else _typed(text, found)


def all_held(text: str) -> dict[str, str]:
    """Every value of a text by its key, as `held` has it; coordinates in a list by `.x`, `.y`, `.z`."""
    values: dict[str, str] = {}
    known = places(text)
    lists = {place.path for place in known if place.form == "list"}
    for place in known:
        if place.form == "value":
            path = place.path
            if path[:-1] in lists and isinstance(path[-1], int) and path[-1] < len(AXES):
                path = (*path[:-1], "xyz"[path[-1]])
            values.setdefault(joined(path), _typed(text, place))
    return values


def _typed(text: str, place: Place) -> str:
    literal = text[place.start : place.end]
    if literal[:1] not in ('"', "'"):
        return literal
    if "\\" not in literal and literal[:3] not in ('"""', "'''"):
        return literal[1:-1]
    try:
        return str(tomllib.loads(f"held = {literal}")["held"])
    except tomllib.TOMLDecodeError:
        return literal


def differences(old: str, new: str) -> dict[str, tuple[str | None, str | None]]:
    """The keys that two texts hold differently: {key: (in the old one, in the new one)}."""
    before, after = all_held(old), all_held(new)
    return {
        key: (before.get(key), after.get(key))
        for key in dict.fromkeys([*before, *after])
        if before.get(key) != after.get(key)
    }


def digest(text: str) -> str:
    """Two texts with one digest are the same."""
    return hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()


@dataclass(frozen=True, kw_only=True)
class Change:
    """One key: what it held before and after."""

    key: str
    before: str | None
    after: str | None


@dataclass(frozen=True, kw_only=True)
class Step:
    """A change of the file that can be taken back, to the letter while nobody else has changed the file since.

    start    : where the two texts begin to differ
    removed  : what stood there before, up to where they agree again
    inserted : what stands there after
    """

    changes: tuple[Change, ...]
    start: int
    removed: str
    inserted: str
    was: str  # digest of the whole text before
    became: str

    @property
    def reverse(self) -> Step:
        """The way back."""
        return Step(
            changes=tuple(Change(key=one.key, before=one.after, after=one.before) for one in self.changes),
            start=self.start, removed=self.inserted, inserted=self.removed, was=self.became, became=self.was,
        )  # fmt: skip

    @property
    def told(self) -> str:
        """In words, such as "changes.pinion-teeth: 29 to 18"."""
        first = self.changes[0]
        more = f", and {len(self.changes) - 1} more" if len(self.changes) > 1 else ""
        return f"{first.key}: {first.before or 'nothing'} to {first.after or 'nothing'}{more}"


def step(old: str, new: str, keys: tuple[str, ...]) -> Step:
    """What leads from one text to the other, in which these keys were set."""
    most = min(len(old), len(new))
    start = _agreeing(most, lambda count: old[:count] == new[:count])
    end = _agreeing(most - start, lambda count: old[len(old) - count :] == new[len(new) - count :])
    return Step(
        changes=tuple(Change(key=key, before=held(old, key), after=held(new, key)) for key in keys),
        start=start, removed=old[start : len(old) - end], inserted=new[start : len(new) - end],
        was=digest(old), became=digest(new),
    )  # fmt: skip


def _agreeing(most: int, agree: Callable[[int], bool]) -> int:
    """The largest count up to `most` at which two texts still agree, as they do at every smaller one."""
    return bisect_left(range(1, most + 1), True, key=lambda count: not agree(count))


def stepped(text: str, step: Step) -> str | None:
    """A text with a step made in it. None where somebody has since changed one of its keys.

    Where the text is the one the step was made from, the outcome is the other to the letter; where other keys have
    changed meanwhile, theirs stay and the step's own are set, "?" standing for one that was not there.
    """
    if digest(text) == step.was:
        return f"{text[: step.start]}{step.inserted}{text[step.start + len(step.removed) :]}"
    if any(held(text, one.key) not in (one.before, *_nothing(one.before)) for one in step.changes):
        return None
    for one in step.changes:
        text = with_entry(text, one.key, NOT_THERE if one.after is None else one.after)
    return text


def _nothing(value: str | None) -> tuple[str | None, ...]:
    return (NOT_THERE,) if value is None else ()
