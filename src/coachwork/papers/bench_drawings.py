"""The drawings of where to put the callipers, as the documentation has them, and which of them shows what."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

import coachwork

# Which tables a drawing is about; keys under another end or wheel are taken in the same way.
_TABLES = {
    "shell-side": r"shell",
    "shell-end": r"shell|wanted\.(front|rear)",
    "wheel-section": r"wheels\.(front|rear)|running-gear\.(front|rear)\.wheel",
    "wheel-backspace": r"wheels\.(front|rear)|running-gear\.(front|rear)\.wheel",
    "corner-behind": r"running-gear\.(front|rear)",
    "corner-above": r"running-gear\.(front|rear)",
    "kingpin-line": r"running-gear\.(front|rear)",
    "two-arm-behind": r"running-gear\.(front|rear)",
    "shaft-and-joint": r"running-gear\.(front|rear)",
    "live-axle-above": r"running-gear\.(front|rear)",
    "live-axle-side": r"running-gear\.(front|rear)",
}
_CORNERS = ("corner-behind", "corner-above", "two-arm-behind", "kingpin-line")


@dataclass(frozen=True, kw_only=True)
class BenchDrawing:
    """One drawing.

    keys : the keys it shows, without their tables
    """

    svg: str
    about: str
    keys: frozenset[str]


@cache
def drawing_of(name: str) -> BenchDrawing:
    """Inside the installed package, or beside the sources in a checkout."""
    packaged = files("coachwork") / "drawings" / f"{name}.svg"
    beside = Path(coachwork.__file__).parents[2] / "docs" / "drawings" / f"{name}.svg"
    svg = (packaged if packaged.is_file() else beside).read_text("utf-8")
    root = ET.fromstring(svg)
    texts = ["".join(text.itertext()) for text in root.iter("{http://www.w3.org/2000/svg}text")]
    about = root.findtext("{http://www.w3.org/2000/svg}desc") or name
    return BenchDrawing(svg=svg, about=about, keys=frozenset(key for text in texts for key in _keys(text)))


def drawings_that_show(keys: Iterable[str]) -> tuple[str, ...]:
    """Names of the drawings that show any of the keys, best first."""
    keys = list(keys)
    found = {name: sum(_shows(name, key) for key in keys) for name in _TABLES}
    if any(".links." in key or key.endswith(".track-rod") for key in keys):
        found |= dict.fromkeys(_CORNERS, 0)
        return tuple(sorted((name for name in found if found[name]), key=lambda name: -found[name]))
    found |= dict.fromkeys(("live-axle-above", "live-axle-side"), 0)
    two_arm = any(key.endswith(("lower-ball", "upper-ball")) for key in keys)
    found["corner-behind" if two_arm else "two-arm-behind"] = 0  # it is one kind of corner or the other
    return tuple(sorted((name for name in found if found[name]), key=lambda name: -found[name]))


def _shows(name: str, key: str) -> bool:
    if name.startswith("live-axle") and ".links." in key:
        return True
    table = re.match(rf"(?:{_TABLES[name]})\.(?=[^.]+$|[^.]+\.[^.]+$)", key)
    return table is not None and key[table.end() :] in drawing_of(name).keys


def _keys(text: str) -> Iterable[str]:
    """The keys among a drawing's words, "-rear" behind "arm-pin-front" being arm-pin-rear."""
    last = ""
    for word in re.findall(r"-?[a-z][a-z.]*(?:-[a-z.]+)*", text):
        if word.startswith("-"):
            word = last.rpartition("-")[0] + word
        last = word
        if "-" in word or "." in word or text.strip() == word:
            yield word
