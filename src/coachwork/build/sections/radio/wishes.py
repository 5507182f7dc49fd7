"""What a wish of `[radio.wishes]` says once it is understood; its meaning in states stands in docs/theory/radio.md."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias


@dataclass(frozen=True)
class DeviceIs:
    """A device is in one of some modes; without power it counts as in its quiet one."""

    device: str
    modes: tuple[int, ...]
    words: str

    def __str__(self) -> str:
        return f"{self.device} {self.words}"


@dataclass(frozen=True)
class ControlIs:
    """A control stands at, above or below a position, -1 to 1."""

    control: str
    side: Literal["at", "not at", "above", "below"]
    position: float
    words: str

    def __str__(self) -> str:
        return f"{self.control} {self.words}"


@dataclass(frozen=True)
class SignalIs:
    """The signal is lost, or there."""

    lost: bool

    def __str__(self) -> str:
        return "signal lost" if self.lost else "signal there"


@dataclass(frozen=True)
class Not:
    """The opposite."""

    of: Condition

    def __str__(self) -> str:
        if isinstance(self.of, DeviceIs):
            return f"{self.of.device} not {self.of.words}"
        if isinstance(self.of, ControlIs):
            return f"{self.of.control} not {self.of.words}"
        return f"not {_bracketed(self.of)}"


@dataclass(frozen=True)
class Both:
    """All of these at once; `words` where the builder said it in one, such as "everything off"."""

    of: tuple[Condition, ...]
    words: str = ""

    def __str__(self) -> str:
        return self.words or " and ".join(_bracketed(one) for one in self.of)


@dataclass(frozen=True)
class Either:
    """At least one of these."""

    of: tuple[Condition, ...]

    def __str__(self) -> str:
        return " or ".join(_bracketed(one) for one in self.of)


Condition: TypeAlias = DeviceIs | ControlIs | SignalIs | Not | Both | Either
Form: TypeAlias = Literal[
    "always",  # in every state that can be reached
    "at power-up",  # right after power comes, controls at rest
    "at any power-up",  # right after power comes, controls wherever they were left
    "on signal loss",  # in every state without a signal
    "from anywhere",  # from every state with a signal, within so many actions
    "can be reached",  # in at least one state
    "can always be reached",  # from every state with a signal, by any number of actions
]


@dataclass(frozen=True)
class Wish:
    """A form and what it is about; `actions` only of the form "from anywhere"."""

    form: Form
    about: Condition
    words: str  # in our words, as we understood it
    actions: int = 1

    def __str__(self) -> str:
        return self.words


def atoms(condition: Condition) -> Iterator[DeviceIs | ControlIs | SignalIs]:
    """What a condition is made of."""
    if isinstance(condition, Not):
        yield from atoms(condition.of)
    elif isinstance(condition, (Both, Either)):
        for one in condition.of:
            yield from atoms(one)
    else:
        yield condition


def parts_of(wish: Wish) -> tuple[Wish, ...]:
    """Wishes that together say the same, each of fewer devices: a wish of all states parts at its "and".

    A wish that something can be reached, or can be had from anywhere, does not: both at once is more than each.
    """
    if wish.form in ("can be reached", "can always be reached", "from anywhere") or not isinstance(wish.about, Both):
        return (wish,)
    return tuple(Wish(wish.form, part, f"{part} {wish.form}") for part in wish.about.of)


def _bracketed(condition: Condition) -> str:
    several = isinstance(condition, Either) or (isinstance(condition, Both) and not condition.words)
    return f"({condition})" if several else str(condition)
