"""From a verdict's place, told in words, to the things in the drawing that light up, and back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from coachwork.confidence.json_form import Json
from coachwork.studies.finding import Verdict

SHELL = "shell"
_WORD = re.compile(r"[a-z0-9]+")
_ENDS = ("front", "rear")
# What a study calls a thing -> a word in the name of what is drawn.
_DRAWN_AS = {
    "spring": "damper", "wheel": "tyre", "suspension": "arm", "linkage": "arm", "drive": "shaft", "toe": "tie",
    "sill": SHELL, "arch": SHELL, "pinion": "motor", "spur": "motor", "mount": "motor", "tail": "lamp",
}  # fmt: skip
_NOT_TELLING = {"s", "the", "of", "and", "inner", "outer", "left", "right", "whole", "lead", "lights", "regulator"}


def pointed_at(verdict: Verdict, things: Sequence[Mapping[str, Json]]) -> list[str]:
    """Ids of what a verdict is about, of `things` with an id and a name; empty where nothing of it is drawn."""
    if verdict.where is None:
        return []
    told = verdict.where.part
    if told == SHELL or told.startswith(f"{SHELL}:"):
        return [str(thing["id"]) for thing in things if thing["id"] == SHELL]
    found: list[str] = []
    for one in told.split(","):
        words = _words(one)
        ends = [end for end in _ENDS if end in words] or [end for end in _ENDS if f".{end}." in f"{verdict.id}."]
        wanted = [word for word in words if word not in _NOT_TELLING and word not in _ENDS]
        if "arch" in wanted:  # a wheel arch is no wheel
            wanted = ["arch"]
        sides = [side for side in ("left", "right") if side in words]
        for thing in things:
            name = _words(str(thing["name"]))
            fits = all(word in name or _DRAWN_AS.get(word) in name for word in wanted)
            its_ends = [end for end in _ENDS if end in name]
            if wanted and fits and (not ends or not its_ends or set(ends) & set(its_ends)):
                its_sides = [side for side in ("left", "right") if side in name]
                if not sides or not its_sides or set(sides) & set(its_sides):
                    found.append(str(thing["id"]))
        if not wanted and ends:  # "front axle"
            found += [str(thing["id"]) for thing in things if {ends[0], "tyre"} <= set(_words(str(thing["name"])))]
    return list(dict.fromkeys(found))


def _words(text: str) -> list[str]:
    """Small letters, singular, "axle" left out: every wheel hangs on one.

    >>> _words("front wheel arches"), _words("camber link's inner")
    (['front', 'wheel', 'arch'], ['camber', 'link', 's', 'inner'])
    """
    found = _WORD.findall(text.lower())
    return [_singular(word) for word in found if word != "axle"]


def _singular(word: str) -> str:
    if word.endswith("ches"):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word


def by_thing(pointed: Mapping[str, Iterable[str]]) -> dict[str, list[str]]:
    """{thing: verdicts} from {verdict: things}."""
    back: dict[str, list[str]] = {}
    for verdict, things in pointed.items():
        for thing in things:
            back.setdefault(thing, []).append(verdict)
    return back
