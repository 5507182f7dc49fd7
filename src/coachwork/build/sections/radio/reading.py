"""From a wish's text to its meaning, or to what was understood of it and the nearest form that would do."""

from __future__ import annotations

from coachwork.build.sections.radio.clauses import Stuck
from coachwork.build.sections.radio.grammar import Reader
from coachwork.build.sections.radio.nearest import nearest, stems
from coachwork.build.sections.radio.wishes import DeviceIs, Wish, atoms
from coachwork.build.sections.radio.words import Subject, Tokens, Words, longest

_FORMS = (
    "A exactly when B, A only when B, A whenever B, A unless B, never A, A at power-up, A on signal loss, "
    "one action from anywhere to A, A can be reached"
)


class NotUnderstood(ValueError):
    """A wish that cannot be read: what was understood, where it stuck, and the nearest form that reads.

    nearest : "" where nothing that reads comes near
    forms   : the forms there are, with words of this build, for then
    """

    def __init__(self, understood: tuple[str, ...], stuck: str, wanted: str, nearest: str, forms: str) -> None:
        self.understood, self.stuck, self.wanted = understood, stuck, wanted
        self.nearest, self.forms = nearest, forms
        super().__init__(self.what)

    @property
    def what(self) -> str:
        """One phrase: the pieces that were understood, and the word that was not."""
        pieces = ", ".join(f'"{piece}"' for piece in self.understood)
        at = f'not "{self.stuck}"' if self.stuck else "and there it ends"
        return f"understood {pieces or 'nothing'}, {at}"

    @property
    def help(self) -> str:
        """What is wanted where it stuck, and what would read."""
        instead = f'the nearest wish that reads: "{self.nearest}"' if self.nearest else self.forms
        return f"wanted there: {self.wanted}; {instead}"


def wish_of(text: str, words: Words) -> Wish:
    """The meaning. Raises NotUnderstood."""
    spoken = words.of_wish(text)
    try:
        return Reader(words, spoken).wish()
    except Stuck as stuck:
        rest = " ".join(spoken[stuck.at : stuck.at + 3])
        raise NotUnderstood(
            stuck.understood, rest, stuck.wanted, nearest(spoken, words), _forms(spoken, words)
        ) from None


def speaks_of_a_device(wish: Wish) -> bool:
    """Whether there is anything that could be otherwise: where a hand puts a control is nobody's fault."""
    return any(isinstance(atom, DeviceIs) for atom in atoms(wish.about))


def _forms(spoken: Tokens, words: Words) -> str:
    """Every form, and what A and B can be: of what the text names, else of the first device and control there are."""
    every = words.subjects
    said = stems(spoken)
    named = [every[name] for name in every if any(longest([stems(name)], said, i) for i in range(len(said)))]
    if not any(one.device for one in named):
        named += sorted(words.devices, key=lambda one: not (one.device and one.device.accessory))[:1]
    if not any(one.control for one in named):
        named += [one for one in every.values() if one.control][:1]
    such = ", ".join(f'"{one.name} {state}"' for one in named[:3] for state in _states(one))
    return f"nothing that reads comes near it; the forms are: {_FORMS}; and A and B are such as {such or 'lamp on'}"


def _states(subject: Subject) -> tuple[str, ...]:
    if subject.device is not None:
        return subject.device.named
    return subject.control.named if subject.control is not None else ()
