"""The wish nearest to a text that cannot be read, or none: it may guess at spelling, but never at what is meant.

Whatever denies stays, and nothing that denies is added; a clause that cannot be read is not quietly left out.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator, Mapping
from itertools import chain, pairwise

from coachwork.build.sections.radio.clauses import Stuck
from coachwork.build.sections.radio.grammar import Reader
from coachwork.build.sections.radio.wishes import Condition, DeviceIs, atoms
from coachwork.build.sections.radio.words import DENIALS, Tokens, Words, longest

_JOINS = ("exactly when", "only when", "whenever", "unless")
# Words that begin or hold together a clause: dropped, the rest would say something else.
_HINGE = """when whenever if unless only exactly while until then without at on before after during except but or signal
power than from can always"""
_HINGES = frozenset(_HINGE.split())
_SAYS_OFF = "silent mute muted dark dead out unlit inactive still"
_SAYS_ON = """lit lighted active sound sounds sounding buzz buzzes buzzing beep beeps beeping ring rings ringing honk
honks honking blink blinks blinking flash flashes flashing shine shines shining glow glows glowing run runs running work
works working burn burns burning light lights"""
_OWNERS = 3  # subjects tried for a mode or position that several have and that stands alone
_AT_POWER_UP = ("at", "power", "up")
_ALSO_SAID: dict[str, Tokens] = {
    **dict.fromkeys(_SAYS_OFF.split(), ("off",)),
    **dict.fromkeys(_SAYS_ON.split(), ("on",)),
    **dict.fromkeys(("startup", "start", "boot"), _AT_POWER_UP),
    **dict.fromkeys(("press", "step"), ("action",)),
    **dict.fromkeys(("presses", "steps"), ("actions",)),
    "until": ("unless",),
    "failsafe": ("on", "signal", "loss"),
}


def nearest(spoken: Tokens, words: Words) -> str:
    """The correction that reads and is most like what was written, in our words; "" where none is."""
    found: dict[str, float] = {}
    texts = list(_spelt(spoken, words))
    for attempt in (attempt for text in texts for attempt in _corrections(text)):
        try:
            read = Reader(words, attempt).wish()
        except Stuck:
            continue
        if _of_a_device(read.about):
            wish = str(read)
            likeness = difflib.SequenceMatcher(None, stems(words.of_wish(wish)), stems(spoken), autojunk=False).ratio()
            found.setdefault(wish, likeness)
    if found:
        return max(found, key=lambda wish: found[wish])
    return next(filter(None, (_from_pieces(text, words) for text in texts)), "")


def _of_a_device(condition: Condition) -> bool:
    return any(isinstance(atom, DeviceIs) for atom in atoms(condition))


def _spelt(spoken: Tokens, words: Words) -> Iterator[Tokens]:
    """The text with foreign words put right: misspelt ones, those that say on or off, names that lack a part."""
    known = words.known()
    by_stem = {stem(word): (word,) for one in words.subjects.values() for state in one.states for word in state}
    of_states = {word: by_stem[stem(word)] for word in spoken if stem(word) in by_stem}

    def fixed(word: str, instead: Mapping[str, Tokens]) -> Tokens:
        if word in DENIALS or not word.isalpha():
            return (word,)
        if word in instead:
            return instead[word]
        if word in known:
            return (word,)
        near = _near(word, known)
        return (near,) if near else _ALSO_SAID.get(word, (word,))

    def each(instead: Mapping[str, Tokens]) -> Tokens:
        pieces = [fixed(word, instead) for word in spoken]
        for here, (before, after) in enumerate(pairwise(pieces)):  # "on start" is "at power up"
            if before in (("at",), ("on",), ("when",)) and len(after) == 3:
                pieces[here] = ()
        return tuple(chain.from_iterable(pieces))

    for text in dict.fromkeys((each(of_states), each({}), each(_ALSO_SAID))):
        whole = _whole_names(text, words)
        yield whole
        less = tuple(
            word for word in whole if word in known or word in DENIALS or word in _HINGES or not word.isalpha()
        )
        for which in range(_OWNERS):
            yield _with_subjects(whole, words, which)
            yield _with_subjects(less, words, which)


def _near(word: str, known: set[str]) -> str:
    """The known word it may be a slip of, or "": the shorter, the surer; what denies only by a single letter."""
    of_one_stem = sorted(other for other in known if stem(other) == stem(word))
    likely = difflib.get_close_matches(word, sorted(known), n=3, cutoff=0.6 if len(word) > 5 else 0.74)
    for near in of_one_stem + likely:
        if near in DENIALS and difflib.SequenceMatcher(None, word, near).ratio() < 0.88:
            continue
        return near
    return ""


def stem(word: str) -> str:
    """A word less its ending.

    >>> {stem(word) for word in ("flashes", "flashing", "flashed")}, {stem(word) for word in ("revs", "revving")}
    ({'flash'}, {'rev'})
    """
    stem = re.sub(r"(?<=\w{3})(ing|es|ed|e|s)$", "", word)
    return stem[:-1] if stem[-2:-1] == stem[-1:] != "" and stem != word else stem


def stems(text: Tokens) -> Tokens:
    """Of each word."""
    return tuple(stem(word) for word in text)


def _whole_names(text: Tokens, words: Words) -> Tokens:
    """A name in another form, or of which a part is said that is of no other, as engine for engine-sound, in full."""
    by_stems = {stems(name): name for name in words.subjects}
    holders: dict[str, set[Tokens]] = {}
    for name in words.subjects:
        for word in name:
            holders.setdefault(word, set()).add(name)
    done: list[str] = []
    at = 0
    while at < len(text):
        said = longest(by_stems, stems(text), at)
        held = holders.get(text[at], set())
        part = said is None and len(held) == 1 and not _is_a_state(text[at], words)
        name = next(iter(held)) if part else by_stems[said] if said else (text[at],)
        done += name
        at += 1 if part else len(name)
        while part and at < len(text) and text[at] in name:
            at += 1
    return tuple(done)


def _is_a_state(word: str, words: Words) -> bool:
    return any(word in state for subject in words.subjects.values() for state in subject.states)


def _with_subjects(text: Tokens, words: Words, which: int) -> Tokens:
    """What stands alone, completed.

    A mode or position, as in "when reverse", gets the name of a subject that has it, `which` of those; a device with
    which the text ends, as in "without the buzzer", gets "on".
    """
    owners: dict[Tokens, list[Tokens]] = {}
    for name, subject in words.subjects.items():
        for state in subject.states:
            owners.setdefault(state, []).append(name)
    ends = {name[-1] for name in words.subjects} | {"never", "always", "full"}
    done: list[str] = []
    at = 0
    while at < len(text):
        own = longest(owners, text, at)
        before = next((word for word in reversed(done) if word != "not"), "")
        if own and own not in (("on",), ("off",)) and before not in ends:
            done += owners[own][min(which, len(owners[own]) - 1)]
        piece = own or (text[at],)
        done += piece
        at += len(piece)
    named = any(one.device and tuple(done[-len(name) :]) == name for name, one in words.subjects.items())
    return (*done, "on") if named else tuple(done)


def _corrections(text: Tokens) -> Iterator[Tokens]:
    """`always` put in front; a form in place of one that is none; a word left out that neither denies nor hinges."""
    for whole in (text, *_with_forms(text)):
        yield whole
        yield ("always", *whole)
        for at, word in enumerate(whole):
            last = at == len(whole) - 1
            if word not in DENIALS and (last or word not in _HINGES or word in ("always", "at", "on")):
                yield (*whole[:at], *whole[at + 1 :])


def _with_forms(text: Tokens) -> Iterator[Tokens]:
    """`when`, `if` and `without` as the form that they may mean; what is denied when B says nothing of the rest."""
    for at, word in enumerate(text):
        before, after = text[:at], text[at + 1 :]
        denied = bool(DENIALS & set(before))
        if word in ("when", "if", "while"):
            if before[-1:] == ("only",):
                yield (*before, "when", *after)
            else:
                if word == "when" and not denied:
                    yield (*before, "exactly", "when", *after)
                yield (*before, "whenever", *after)
        elif word == "without":
            yield (*before, "unless", *after) if denied else (*before, "and", "not", *after)


def _from_pieces(text: Tokens, words: Words) -> str:
    """A wish of the conditions that stand somewhere in the text, joined by the form that stands there.

    Nothing where a word that denies or hinges would be left over.
    """
    pieces, left = _pieces(text, words)
    pieces.sort(key=lambda piece: not _of_a_device(piece))
    form = next((form for form in (*_JOINS, "at power up", "on signal loss") if _stands_in(form, left)), "")
    over = [word for word in left if word not in form.split()]
    if not pieces or not _of_a_device(pieces[0]) or any(word in DENIALS or word in _HINGES for word in over):
        return ""
    if len(pieces) == 2 and form in _JOINS:
        return f"{pieces[0]} {form} {pieces[1]}"
    if len(pieces) == 1 and form not in _JOINS:
        return f"{pieces[0]} {form.replace('power up', 'power-up')}" if form else f"always {pieces[0]}"
    return ""


def _stands_in(form: str, left: list[str]) -> bool:
    return f" {form} " in f" {' '.join(left)} "


def _pieces(text: Tokens, words: Words) -> tuple[list[Condition], list[str]]:
    """The conditions in a text, and the words that are part of none."""
    found: list[Condition] = []
    left: list[str] = []
    at = 0
    while at < len(text):
        reader = Reader(words, text, at)
        try:
            found.append(reader.one())
            at = reader.at
        except Stuck:
            left.append(text[at])
            at += 1
    return found, left
