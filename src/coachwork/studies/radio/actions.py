"""Actions as a builder types them, in the words that the ways to a broken wish are told in.

    press NAME | let go of NAME | hold NAME 2 s | NAME to POSITION | wait 3 s | power off and on
    lose the signal | the signal returns | noise lifts NAME | noise lowers NAME

A POSITION is one of the control's names, "full NAME" of an end, or per cent of its travel: -100 to 100 % of a stick,
0 to 100 % of a dial. One action a line, or several with semicolons between; what follows a # is a remark.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from coachwork.build.sections.radio.words import Tokens, longest, tokens
from coachwork.studies.radio.setup import SURE_POSITIONS, Control, Setup

_FORMS: dict[Tokens, Literal["power", "lose", "return"]] = {
    ("power", "off", "and", "on"): "power",
    ("lose", "the", "signal"): "lose",
    ("signal", "lost"): "lose",
    ("the", "signal", "returns"): "return",
    ("signal", "returns"): "return",
}
_STEP = 2 / 1024  # a transmitter's resolution: what is typed is sent to the nearest


@dataclass(frozen=True)
class Action:
    """One thing done. `text` as it was typed."""

    kind: Literal["move", "wait", "power", "lose", "return", "noise"]
    text: str
    name: str = ""
    position: float = 0.0
    seconds: float = 0.0
    way: int = 0


class NotAnAction(ValueError):
    """A line that is no action: which one, and the nearest that is."""

    def __init__(self, text: str, wanted: str) -> None:
        self.text, self.wanted = text, wanted
        super().__init__(f'"{text}" is no action; {wanted}')


def actions_of(lines: Iterable[str], setup: Setup) -> list[Action]:
    """Every action of some lines. Raises NotAnAction for the first that cannot be read."""
    found: list[Action] = []
    for line in lines:
        for piece in line.partition("#")[0].split(";"):
            if text := " ".join(piece.split()):
                found += _read(text, setup)
    return found


def _read(text: str, setup: Setup) -> list[Action]:
    words = tokens(text)
    if words == ("switch", "on"):
        return []
    if kind := _FORMS.get(words):
        return [Action(kind, text)]
    controls = {tokens(one.name): one for one in setup.controls}
    match words:
        case ("wait", *amount):
            return [Action("wait", text, seconds=_seconds(tuple(amount), text))]
        case ("noise", "lifts" | "lowers" as way, *device):
            known = {tokens(one.name): one.name for one in setup.devices if one.cuts_us is not None}
            if tuple(device) in known:
                return [Action("noise", text, name=known[tuple(device)], way=1 if way == "lifts" else -1)]
            raise NotAnAction(text, f"the devices are {', '.join(known.values())}")
        case ("press" | "hold" | "let" | "release", *rest):
            return _of_button(text, tuple(rest), controls)
    name = longest(controls, words, 0)
    if name is None:
        raise NotAnAction(text, _nearest(text, setup))
    position = words[len(name) :]
    position = position[1:] if position[:1] == ("to",) else position
    return [Action("move", text, name=controls[name].name, position=_position(controls[name], position, text))]


def _of_button(text: str, rest: Tokens, controls: dict[Tokens, Control]) -> list[Action]:
    verb = tokens(text)[0]
    if verb == "let":
        rest = rest[2:] if rest[:2] == ("go", "of") else rest
    name = longest(controls, rest, 0)
    buttons = [one.name for one in controls.values() if one.kind == "button"]
    if name is None or controls[name].kind != "button":
        raise NotAnAction(text, f"the buttons are {', '.join(buttons)}" if buttons else "there is no button")
    button, behind = controls[name].name, rest[len(name) :]
    down = Action("move", f"press {button}", name=button, position=1.0)
    up = Action("move", f"let go of {button}", name=button, position=-1.0)
    if verb == "hold":
        seconds = _seconds(behind, text)
        return [down, Action("wait", f"wait {seconds:g} s", seconds=seconds), up]
    if behind:
        raise NotAnAction(text, f'did you mean "{verb if verb != "let" else "let go of"} {button}"?')
    return [down if verb == "press" else up]


def _seconds(amount: Tokens, text: str) -> float:
    match amount:
        case (number, "s" | "second" | "seconds") if re.fullmatch(r"\d+(\.\d+)?", number):
            return float(number)
        case (number, "min" | "minutes") if re.fullmatch(r"\d+(\.\d+)?", number):
            return 60 * float(number)
    raise NotAnAction(text, "say how long: wait 2 s, hold NAME 2 s")


def _position(control: Control, words: Tokens, text: str) -> float:
    """Raises NotAnAction where there is no such position."""
    named = {tokens(name): i for i, name in enumerate(control.positions)}
    places = SURE_POSITIONS.get(control.kind, (-1.0, 0.0, 1.0))
    if words in named:
        return places[named[words]]
    if words[:1] == ("full",) and words[1:] in named:
        return places[named[words[1:]]]
    if words == ("rest",):
        return control.rest
    if control.swept and len(words) == 2 and words[1] == "%":
        share = float(words[0]) / 100
        position = 2 * share - 1 if control.kind == "dial" else share
        if -1 <= position <= 1:
            return round(position / _STEP) * _STEP if abs(position * 100 - round(position * 100)) > 1e-9 else position
    percent = ", or per cent of its travel" if control.swept else ""
    raise NotAnAction(text, f"{control.name} goes to {', '.join(control.positions)}{percent}")


def _nearest(text: str, setup: Setup) -> str:
    """The action most like it."""
    buttons = [one.name for one in setup.controls if one.kind == "button"]
    known = ["power off and on", "lose the signal", "the signal returns", "wait 2 s"]
    known += [f"press {name}" for name in buttons] + [f"let go of {name}" for name in buttons]
    known += [f"{one.name} to {name}" for one in setup.controls if one.kind != "button" for name in one.positions]
    near = difflib.get_close_matches(text.lower(), known, n=1, cutoff=0.4)
    return f'did you mean "{near[0]}"?' if near else f"an action is such as: {'; '.join(known[:5])}"
