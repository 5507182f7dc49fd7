"""Letters that the font lacks are shown by their code, and words too long for a column get places to break at."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path

LONG = 22  # letters; a longer word may be broken
_STEP = 8
_BREAK = "\u200b"


def shown(text: str, *, breaks: bool = True) -> str:
    """The text as it can be printed.

    >>> shown("arm \\U0001f697"), shown("plain")
    ('arm [U+1F697]', 'plain')
    """
    known = _known()
    text = "".join(letter if ord(letter) in known or letter in "\n" else _coded(letter) for letter in text)
    return re.sub(rf"\S{{{LONG + 1},}}", lambda word: _broken(word[0]), text) if breaks else text


def _coded(letter: str) -> str:
    if letter in ("\t", "\r", "\u2028", "\u2029") or unicodedata.category(letter) == "Zs":
        return " "
    if unicodedata.category(letter) in ("Cf", "Mn"):  # joiners, variation selectors: nothing to see of their own
        return ""
    return f"[U+{ord(letter):04X}]"


def _broken(word: str) -> str:
    """Behind dots, hyphens, underscores and slashes; where there are none for long, anywhere."""
    parts = re.split(r"(?<=[.\-_/,])", word)
    return _BREAK.join(part[i : i + _STEP] for part in parts for i in range(0, len(part), _STEP))


@cache
def font_folder() -> Path:
    """Where matplotlib keeps its fonts."""
    import matplotlib as mpl

    return Path(mpl.get_data_path()) / "fonts" / "ttf"


@cache
def _known() -> frozenset[int]:
    from matplotlib.ft2font import FT2Font

    return frozenset(FT2Font(str(font_folder() / "DejaVuSans.ttf")).get_charmap())
