"""From a wish's text to its meaning, or to what was understood of it and the nearest form that would do."""

from __future__ import annotations

import difflib
from collections.abc import Iterator

from coachwork.build.sections.radio.grammar import Reader, Stuck
from coachwork.build.sections.radio.wishes import Condition, DeviceIs, Wish, atoms
from coachwork.build.sections.radio.words import Tokens, Words

_FORMS = ("exactly when", "only when", "whenever", "unless", "at power-up", "on signal loss", "can be reached")

_ALSO_SAID: dict[str, Tokens] = {
    "startup": ("power", "up"), "start": ("power", "up"), "boot": ("power", "up"), "press": ("action",),
    "presses": ("actions",), "step": ("action",), "steps": ("actions",), "until": ("unless",),
    "failsafe": ("signal", "loss"),
}  # fmt: skip


class NotUnderstood(ValueError):
    """A wish that cannot be read: what was understood, where it stuck, and the nearest form that reads."""

    def __init__(self, understood: tuple[str, ...], stuck: str, wanted: str, nearest: str) -> None:
        self.understood, self.stuck, self.wanted, self.nearest = understood, stuck, wanted, nearest
        super().__init__(self.what)

    @property
    def what(self) -> str:
        """One phrase: the pieces that were understood, and the word that was not."""
        pieces = ", ".join(f'"{piece}"' for piece in self.understood)
        at = f'not "{self.stuck}"' if self.stuck else "and there it ends"
        return f"understood {pieces or 'nothing'}, {at}"


def wish_of(text: str, words: Words) -> Wish:
    """The meaning. Raises NotUnderstood."""
    spoken = words.of_wish(text)
    try:
        return Reader(words, spoken).wish()
    except Stuck as stuck:
        rest = " ".join(spoken[stuck.at : stuck.at + 3])
        raise NotUnderstood(stuck.understood, rest, stuck.wanted, _nearest(spoken, words)) from None


def speaks_of_a_device(wish: Wish) -> bool:
    """Whether there is anything that could be otherwise: where a hand puts a control is nobody's fault."""
    return _of_a_device(wish.about)


def _of_a_device(condition: Condition) -> bool:
    return any(isinstance(atom, DeviceIs) for atom in atoms(condition))


def _nearest(spoken: Tokens, words: Words) -> str:
    """The correction that reads and is most like what was written, in our words."""
    found: dict[str, float] = {}
    for attempt in _corrections(spoken, words):
        try:
            read = Reader(words, attempt).wish()
        except Stuck:
            continue
        if not speaks_of_a_device(read):
            continue
        wish = str(read)
        likeness = difflib.SequenceMatcher(None, words.of_wish(wish), spoken, autojunk=False).ratio()
        found.setdefault(wish, likeness)
    return max(found, key=lambda wish: found[wish]) if found else _from_pieces(spoken, words)


def _corrections(spoken: Tokens, words: Words) -> Iterator[Tokens]:
    """Misspelt and foreign words put right, read as "on" or left out; `always` put in front; a form in place of one."""
    known = words.known()

    def fixed(word: str, otherwise: Tokens) -> Tokens:
        if word in known or not word.isalpha():
            return (word,)
        near = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
        return _ALSO_SAID.get(word) or (tuple(near) if near else otherwise)

    def spelt(otherwise: Tokens) -> Tokens:
        return tuple(piece for word in spoken for piece in fixed(word, otherwise))

    for text in dict.fromkeys((spelt(("on",)), spelt(()), spoken)):
        yield text
        yield ("always", *text)
        for at in range(len(text)):
            yield (*text[:at], *text[at + 1 :])
            if text[at] in ("when", "if"):
                yield (*text[:at], "exactly", "when", *text[at + 1 :])
                yield (*text[:at], "whenever", *text[at + 1 :])


def _from_pieces(spoken: Tokens, words: Words) -> str:
    """A wish of the conditions that stand somewhere in the text, joined by the form that stands there, if any."""
    found = sorted(_pieces(spoken, words), key=lambda piece: not _of_a_device(piece))
    text = " ".join(spoken)
    form = next((form for form in _FORMS if form.replace("-", " ") in text), None)
    if len(found) >= 2 and _of_a_device(found[0]):
        return f"{found[0]} {form if form in _FORMS[:4] else 'exactly when'} {found[1]}"
    if found and _of_a_device(found[0]):
        return f"{found[0]} {form}" if form in _FORMS[4:] else f"always {found[0]}"
    name = next((name for name in words.subjects if name[0] in spoken), None)
    subject = words.subjects[name] if name else next(iter(words.devices), None)
    if subject is None or subject.device is None:
        return "everything off at power-up"
    return f"{subject.name} {subject.device.named[subject.device.quiet]} at power-up"


def _pieces(spoken: Tokens, words: Words) -> Iterator[Condition]:
    at = 0
    while at < len(spoken):
        reader = Reader(words, spoken, at)
        try:
            yield reader._one()
            at = reader.at
        except Stuck:
            at += 1
