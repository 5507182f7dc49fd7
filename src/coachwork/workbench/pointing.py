"""From a verdict's place, told in words, to the things in the drawing that light up, and back."""

from __future__ import annotations

import re
from functools import lru_cache

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


Things = tuple[tuple[str, str], ...]  # what is drawn: id and name


def pointed_at(verdict: Verdict, things: Things) -> list[str]:
    """Ids of what a verdict is about; empty where nothing of it is drawn."""
    return [] if verdict.where is None else list(_pointed_at(verdict.id, verdict.where.part, things))


@lru_cache(maxsize=2048)  # verdicts and parts keep their names from edit to edit
def _pointed_at(verdict: str, told: str, things: Things) -> tuple[str, ...]:
    if told == SHELL or told.startswith(f"{SHELL}:"):
        return tuple(id for id, _ in things if id == SHELL)
    named = _named(things)
    found: list[str] = []
    for one in told.split(","):
        words = _words(one)
        ends = [end for end in _ENDS if end in words] or [end for end in _ENDS if f".{end}." in f"{verdict}."]
        wanted = [word for word in words if word not in _NOT_TELLING and word not in _ENDS]
        if "arch" in wanted:  # a wheel arch is no wheel
            wanted = ["arch"]
        sides = [side for side in ("left", "right") if side in words]
        for id, name in named:
            fits = all(word in name or _DRAWN_AS.get(word) in name for word in wanted)
            its_ends = [end for end in _ENDS if end in name]
            if wanted and fits and (not ends or not its_ends or set(ends) & set(its_ends)):
                its_sides = [side for side in ("left", "right") if side in name]
                if not sides or not its_sides or set(sides) & set(its_sides):
                    found.append(id)
        if not wanted and ends:  # "front axle"
            found += [id for id, name in named if {ends[0], "tyre"} <= set(name)]
    return tuple(dict.fromkeys(found))


@lru_cache(maxsize=4)
def _named(things: Things) -> tuple[tuple[str, list[str]], ...]:
    return tuple((id, _words(name)) for id, name in things)


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
