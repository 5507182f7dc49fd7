"""The words a wish can be made of: names of this build's controls and devices with their positions and modes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from coachwork.build.sections.radio.controls import Control
from coachwork.build.sections.radio.devices import Device

Tokens = tuple[str, ...]
# Words that carry no meaning of their own in a wish.
_GLUE = "is are be the a an must stays stay should shall will would does do did its their it they please wo"
# Words that deny: a wish means the opposite without one, so no correction may add or drop it.
_DENIALS = "not no never neither nor nothing none nobody noone nowhere hardly without"
DENIALS = frozenset(_DENIALS.split())
_FORMS = """always never exactly only whenever unless if then when while at any power up on off signal loss lost there
one two three four five action actions from anywhere to within can reached and or not everything all quiet but
raised lowered moved rest above below no neither nor nothing"""
POSITIONS = {2: (-1.0, 1.0), 3: (-1.0, 0.0, 1.0)}  # of a control's named positions, low to high
REST = {"low": -1.0, "middle": 0.0, "high": 1.0}


@dataclass(frozen=True)
class Subject:
    """A control or device as wishes speak of it.

    states : the tokens of a mode or position -> which one, low to high
    """

    name: str
    states: Mapping[Tokens, int]
    control: Control | None = None
    device: Device | None = None

    @property
    def rest(self) -> float:
        """Of a control, -1 to 1."""
        assert self.control is not None
        return REST[self.control.resting]


@dataclass(frozen=True)
class Words:
    """What can be said of one build."""

    subjects: Mapping[Tokens, Subject] = field(default_factory=dict)

    @classmethod
    def of(cls, controls: Mapping[str, Control], devices: Mapping[str, Device]) -> Words:
        """The words for these controls and devices."""
        found: dict[Tokens, Subject] = {}
        for name, control in controls.items():
            states = {tokens(word): i for i, word in enumerate(control.named)}
            found[tokens(name)] = Subject(name, states, control=control)
        for name, device in devices.items():
            states = {tokens(word): i for i, word in enumerate(device.named)}
            found[tokens(name)] = Subject(name, states, device=device)
        return cls(found)

    @property
    def devices(self) -> list[Subject]:
        """Only those."""
        return [subject for subject in self.subjects.values() if subject.device is not None]

    def known(self) -> set[str]:
        """Every single word that can stand in a wish."""
        words = set(_FORMS.split())
        for name, subject in self.subjects.items():
            words |= set(name)
            for state in subject.states:
                words |= set(state)
        return words

    def of_wish(self, text: str) -> Tokens:
        """A wish's words, less those that say nothing."""
        mine, glue = self.known(), _GLUE.split()
        return tuple(word for word in tokens(_spelt_out(text)) if word not in glue or word in mine)


def _spelt_out(text: str) -> str:
    """A text with its contracted denials in full.

    >>> _spelt_out("It isn't on, can't be on and cannot be on; no longer!")
    'it is not on, can not be on and can not be on; not!'
    """
    text = text.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").replace("can't", "can not")
    text = re.sub(r"\b(\w+)n't\b", r"\1 not", text).replace("cannot", "can not")
    return re.sub(r"\b(no longer|no more)\b", "not", text)


def tokens(text: str) -> Tokens:
    """Words, numbers and brackets, in small letters; a hyphen parts two words.

    >>> tokens("Engine-sound silent, unless dial above -30 %")
    ('engine', 'sound', 'silent', ',', 'unless', 'dial', 'above', '-30', '%')
    """
    return tuple(re.findall(r"-?\d+(?:\.\d+)?|%|[^\W\d_]+|[(),:]", re.sub(r"(?<=\w)-(?=\w)", " ", text.lower())))


def longest(choices: Iterable[Tokens], words: Tokens, at: int) -> Tokens | None:
    """The longest of some phrases that stands at a place."""
    fitting = [choice for choice in choices if choice and words[at : at + len(choice)] == choice]
    return max(fitting, key=len, default=None)
