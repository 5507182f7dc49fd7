"""Reads a wish. The grammar, in full (docs/radio.md says what each form means):

wish      = "always" cond | "never" cond | cond "always"
          | cond "exactly when" cond | cond "only when" cond | cond "whenever" cond | cond "unless" cond
          | "if" cond "then" cond
          | cond AT | AT [":" | ","] cond             AT = "at power-up" | "at any power-up" | "on signal loss"
          | NUMBER "action(s) from anywhere to" cond  NUMBER = one ... five, or digits
          | cond "can be reached" | cond "can always be reached"
cond      = and-cond { "or" and-cond }
and-cond  = one { "and" one }
one       = "not" one | "(" cond ")" | subjects state | "everything" ["but" subjects] ("off" | "quiet")
          | "signal" ("lost" | "there")
subjects  = name { ("," | "and") name }
state     = mode or position of the subject | "on" | "off" | "quiet"             of a device
          | "raised" | "lowered" | "moved" | "at rest" | ("above" | "below") number "%"   of a control
"""

from __future__ import annotations

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
    Wish,
)  # fmt: skip
from coachwork.build.sections.radio.words import POSITIONS, Subject, Tokens, Words, longest

NUMBERS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5}
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


@dataclass
class Stuck(Exception):
    """The words cannot be read on from a place. `understood` are the pieces that could."""

    at: int
    wanted: str
    understood: tuple[str, ...] = ()


@dataclass
class Reader:
    """One wish being read, word by word."""

    words: Words
    text: Tokens
    at: int = 0
    understood: list[tuple[int, str]] = field(default_factory=list)

    def wish(self) -> Wish:
        """The whole text as a wish. Raises Stuck."""
        wish = self._form()
        if self.at < len(self.text):
            raise self._stuck("nothing more")
        return wish

    def _form(self) -> Wish:
        if self._take("always"):
            about = self._condition()
            return Wish("always", about, f"always {about}")
        if self._take("never"):
            about = self._condition()
            return Wish("always", Not(about), f"never {about}")
        if self._take("if"):
            given = self._condition()
            if not (self._take("then") or self._take(",")):
                raise self._stuck("then")
            self._take("then")
            about = self._condition()
            return Wish("always", Either((Not(given), about)), f"{about} whenever {given}")
        if (when := self._at_when()) is not None:
            self._take(":") or self._take(",")
            about = self._condition()
            return Wish(when, about, f"{about} {when}")
        if (count := self._number()) is not None:
            return self._from_anywhere(count)
        return self._of(self._condition())

    def _of(self, about: Condition) -> Wish:
        """What follows a condition."""
        if (when := self._at_when()) is not None:
            return Wish(when, about, f"{about} {when}")
        if self._take("always"):
            return Wish("always", about, f"always {about}")
        if self._take("can", "reached"):
            return Wish("can be reached", about, f"{about} can be reached")
        if self._take("can", "always", "reached"):
            return Wish("can always be reached", about, f"{about} can always be reached")
        if self._take("exactly", "when"):
            other = self._condition()
            same = Both((Either((Not(about), other)), Either((about, Not(other)))))
            return Wish("always", same, f"{about} exactly when {other}")
        if self._take("only", "when"):
            other = self._condition()
            return Wish("always", Either((Not(about), other)), f"{about} only when {other}")
        if self._take("whenever"):
            other = self._condition()
            return Wish("always", Either((Not(other), about)), f"{about} whenever {other}")
        if self._take("unless"):
            other = self._condition()
            return Wish("always", Either((other, about)), f"{about} unless {other}")
        raise self._stuck(
            "always, exactly when, only when, whenever, unless, at power-up, on signal loss or can be reached"
        )

    def _from_anywhere(self, count: int) -> Wish:
        if not (self._take("action") or self._take("actions")) or not self._take("from", "anywhere", "to"):
            raise self._stuck("action from anywhere to")
        about = self._condition()
        told = next((word for word, number in NUMBERS.items() if number == count), str(count))
        return Wish(
            "from anywhere", about, f"{told} action{'s' if count > 1 else ''} from anywhere to {about}", actions=count
        )

    def _at_when(self) -> Form | None:
        phrase = longest(_AT, self.text, self.at)
        if phrase is None:
            return None
        self.understood.append((self.at, _AT[phrase]))
        self.at += len(phrase)
        return _AT[phrase]

    def _number(self) -> int | None:
        word = self._word()
        if word in NUMBERS or (word.isdecimal() and 0 < int(word) < 100):
            self.at += 1
            return NUMBERS.get(word) or int(word)
        return None

    def _condition(self) -> Condition:
        parts = [self._and()]
        while self._take("or"):
            parts.append(self._and())
        return parts[0] if len(parts) == 1 else Either(tuple(parts))

    def _and(self) -> Condition:
        parts = [self._one()]
        while self._take("and"):
            parts.append(self._one())
        return parts[0] if len(parts) == 1 else Both(tuple(parts))

    def _one(self) -> Condition:
        begin = self.at
        if self._take("not"):
            return Not(self._one())
        if self._take("("):
            inner = self._condition()
            if not self._take(")"):
                raise self._stuck("a closing bracket")
            return inner
        if longest(_EVERYTHING, self.text, self.at):
            return self._everything()
        if self._take("signal", "lost"):
            return self._got(SignalIs(True), begin)
        if self._take("signal", "there") or self._take("signal", "on"):
            return self._got(SignalIs(False), begin)
        subjects = self._subjects()
        state = self.at
        parts = []
        for subject in subjects:
            self.at = state
            parts.append(self._state(subject))
        return self._got(parts[0] if len(parts) == 1 else Both(tuple(parts)), begin)

    def _subjects(self) -> list[Subject]:
        found = [self._subject()]
        while self._word() in (",", "and") and longest(self.words.subjects, self.text, self.at + 1):
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
        left = [s for s in self.words.devices if s.device is not None and s.device.accessory and s not in spared]
        parts = tuple(_quiet(subject, "quiet") for subject in left)
        but = f" but {' and '.join(s.name for s in spared)}" if spared else ""
        return self._got(Both(parts, words=f"everything{but} off"), begin)

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
            assert subject.device is not None
            modes = tuple(i for i in range(len(subject.states)) if i != subject.device.quiet)
            return DeviceIs(subject.name, modes, "on")
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


def _position(subject: Subject, which: int, word: str) -> ControlIs:
    """A named position; of a stick or dial, low and high are the whole sides of the middle."""
    assert subject.control is not None
    if subject.control.kind in ("stick", "dial") and len(subject.states) == 3:
        side = (("below", 0.0), ("at", 0.0), ("above", 0.0))[which]
        return ControlIs(subject.name, side[0], side[1], word)  # type: ignore[arg-type]
    return ControlIs(subject.name, "at", POSITIONS[len(subject.states)][which], word)
