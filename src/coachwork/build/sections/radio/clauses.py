"""Reads the conditions of a wish: what devices, controls and the signal do. Their grammar stands in `grammar`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from coachwork.build.sections.radio.wishes import (
    Both,
    Condition,
    ControlIs,
    DeviceIs,
    Either,
    Form,
    Not,
    SignalIs,
)  # fmt: skip
from coachwork.build.sections.radio.words import POSITIONS, Subject, Tokens, Words, longest

_AT: dict[Tokens, Form] = {
    ("at", "power", "up"): "at power-up",
    ("at", "any", "power", "up"): "at any power-up",
    ("on", "signal", "loss"): "on signal loss",
    ("when", "signal", "lost"): "on signal loss",
    ("while", "signal", "lost"): "on signal loss",
    ("signal", "lost", ":"): "on signal loss",
    ("signal", "lost", ","): "on signal loss",
}
_EVERYTHING = {("everything",), ("all",)}
# Behind "no beacon", these words begin what follows it: the state is left out, and is "on".
_BEHIND = frozenset(("", ")", "and", "or", "then", ",", "always", "exactly", "only", "whenever", "unless", "can"))


@dataclass
class Stuck(Exception):
    """The words cannot be read on from a place. `understood` are the pieces that could."""

    at: int
    wanted: str
    understood: tuple[str, ...] = ()


@dataclass
class Clauses:
    """Conditions being read off some words, one after the other."""

    words: Words
    text: Tokens
    at: int = 0
    understood: list[tuple[int, str]] = field(default_factory=list)
    of_all: str = ""  # "never" or "always" where that stood behind a subject
    of_none: bool = False  # whether "no" or "neither" stood before one

    def condition(self) -> Condition:
        parts = [self._and()]
        while self._take("or"):
            parts.append(self._and())
        return parts[0] if len(parts) == 1 else Either(tuple(parts))

    def _and(self) -> Condition:
        parts = [self.one()]
        while self._take("and"):
            parts.append(self.one())
        return parts[0] if len(parts) == 1 else Both(tuple(parts))

    def one(self) -> Condition:
        begin = self.at
        if self._take("not"):
            return self._got(Not(self.one()), begin)
        if self._take("("):
            inner = self.condition()
            if not self._take(")"):
                raise self._stuck("a closing bracket")
            return inner
        if longest(_EVERYTHING, self.text, self.at):
            return self._everything()
        if self._take("nothing"):
            return self._nothing(begin)
        if self._take("signal", "lost") or self._take("signal", "not", "there") or self._take("no", "signal"):
            return self._got(SignalIs(True), begin)
        if self._take("signal", "there") or self._take("signal", "on") or self._take("signal", "not", "lost"):
            return self._got(SignalIs(False), begin)
        named = longest(self.words.subjects, self.text, self.at) is not None  # a name may begin with "no"
        none = not named and (self._take("no") or self._take("neither"))
        self.of_none |= none
        subjects = self._subjects((",", "and", "or", "nor") if none else (",", "and"))
        not_so = none or self._adverb(subjects)
        state = self.at
        parts: list[Condition] = []
        for subject in subjects:
            self.at = state
            about = self._state_or_on(subject) if none else self._state(subject)
            parts.append(Not(about) if not_so else about)
        return self._got(parts[0] if len(parts) == 1 else Both(tuple(parts)), begin)

    def _adverb(self, subjects: Sequence[Subject]) -> bool:
        """Whether what stands between subjects and their state denies it; a mode may begin with the same word."""
        if any(longest(subject.states, self.text, self.at) for subject in subjects):
            return False
        if self._take("not"):
            return True
        if self._take("can", "not"):
            self.of_all = "never"
            return True
        for word in ("never", "always"):
            if self._take(word):
                self.of_all = word
                return word == "never"
        return False

    def _state_or_on(self, subject: Subject) -> Condition:
        """The state behind "no NAME"; left out before what follows a condition, it is "on"."""
        if subject.device is not None and (
            self._word() in _BEHIND or longest(_AT, self.text, self.at) or self._word() == "at"
        ):
            return _on(subject)
        return self._state(subject)

    def _subjects(self, joined_by: tuple[str, ...] = (",", "and")) -> list[Subject]:
        found = [self._subject()]
        while self._word() in joined_by and longest(self.words.subjects, self.text, self.at + 1):
            self.at += 1
            found.append(self._subject())
        return found

    def _subject(self) -> Subject:
        name = longest(self.words.subjects, self.text, self.at)
        if name is None:
            raise self._stuck("a device or control of yours")
        self.understood.append((self.at, self.words.subjects[name].name))
        self.at += len(name)
        return self.words.subjects[name]

    def _everything(self) -> Condition:
        begin = self.at
        self.at += 1
        spared = self._subjects() if self._take("but") else []
        if not (self._take("off") or self._take("quiet")):
            raise self._stuck("off")
        return self._got(self._everything_off(spared), begin)

    def _nothing(self, begin: int) -> Condition:
        spared = self._subjects() if self._take("but") else []
        if not self._take("on"):
            raise self._stuck("on")
        return self._got(self._everything_off(spared), begin)

    def _everything_off(self, spared: Sequence[Subject]) -> Condition:
        left = [s for s in self.words.devices if s.device is not None and s.device.accessory and s not in spared]
        parts = tuple(_quiet(subject, "quiet") for subject in left)
        but = f" but {' and '.join(s.name for s in spared)}" if spared else ""
        return Both(parts, words=f"everything{but} off")

    def _state(self, subject: Subject) -> Condition:
        own = longest(subject.states, self.text, self.at)
        if own is not None:
            self.at += len(own)
            which = subject.states[own]
            if subject.device is not None:
                return DeviceIs(subject.name, (which,), subject.device.named[which])
            assert subject.control is not None
            return _position(subject, which, subject.control.named[which])
        if subject.device is not None:
            return self._of_device(subject)
        return self._of_control(subject)

    def _of_device(self, subject: Subject) -> Condition:
        if self._take("off") or self._take("quiet"):
            return _quiet(subject, "off")
        if self._take("on"):
            return _on(subject)
        listed = ", ".join(" ".join(state) for state in subject.states)
        raise self._stuck(f"a mode of {subject.name} ({listed}), on or off")

    def _of_control(self, subject: Subject) -> Condition:
        if self._take("raised"):
            return ControlIs(subject.name, "above", subject.rest, "raised")
        if self._take("lowered"):
            return ControlIs(subject.name, "below", subject.rest, "lowered")
        if self._take("moved"):
            return ControlIs(subject.name, "not at", subject.rest, "moved")
        if self._take("at", "rest"):
            return ControlIs(subject.name, "at", subject.rest, "at rest")
        for side in ("above", "below"):
            if self._take(side):
                return self._at_percent(subject, side)
        listed = ", ".join(" ".join(state) for state in subject.states)
        raise self._stuck(f"a position of {subject.name} ({listed}), raised, lowered, moved, at rest, above or below")

    def _at_percent(self, subject: Subject, side: str) -> Condition:
        try:
            percent = float(self._word())
        except ValueError:
            raise self._stuck("a number of per cent") from None
        self.at += 1
        if not self._take("%"):
            raise self._stuck("%")
        assert subject.control is not None
        of_travel = percent / 50 - 1 if subject.control.kind == "dial" else percent / 100
        if side == "above":
            return ControlIs(subject.name, "above", of_travel, f"above {percent:g} %")
        return ControlIs(subject.name, "below", of_travel, f"below {percent:g} %")

    def _at_when(self) -> Form | None:
        phrase = longest(_AT, self.text, self.at)
        if phrase is None:
            return None
        self.understood.append((self.at, _AT[phrase]))
        self.at += len(phrase)
        return _AT[phrase]

    def _word(self) -> str:
        return self.text[self.at] if self.at < len(self.text) else ""

    def _take(self, *words: str) -> bool:
        if self.text[self.at : self.at + len(words)] != words:
            return False
        if words[0] not in (",", ":", "(", ")", "and", "or"):
            self.understood.append((self.at, " ".join(words)))
        self.at += len(words)
        return True

    def _got(self, condition: Condition, start: int) -> Condition:
        """Note a whole condition, in place of the pieces from its start on."""
        self.understood = [piece for piece in self.understood if piece[0] < start]
        self.understood.append((start, str(condition)))
        return condition

    def _stuck(self, wanted: str) -> Stuck:
        return Stuck(self.at, wanted, tuple(text for _, text in self.understood))


def _quiet(subject: Subject, words: str) -> DeviceIs:
    assert subject.device is not None
    return DeviceIs(subject.name, (subject.device.quiet,), words)


def _on(subject: Subject) -> DeviceIs:
    assert subject.device is not None
    modes = tuple(i for i in range(len(subject.states)) if i != subject.device.quiet)
    return DeviceIs(subject.name, modes, "on")


def _position(subject: Subject, which: int, word: str) -> ControlIs:
    """A named position; of a stick or dial, low and high are the whole sides of the middle."""
    assert subject.control is not None
    if subject.control.kind in ("stick", "dial") and len(subject.states) == 3:
        side = (("below", 0.0), ("at", 0.0), ("above", 0.0))[which]
        return ControlIs(subject.name, side[0], side[1], word)  # type: ignore[arg-type]
    return ControlIs(subject.name, "at", POSITIONS[len(subject.states)][which], word)
