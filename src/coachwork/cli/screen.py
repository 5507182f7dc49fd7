"""Where a command writes: wraps to the terminal's width, colours if that helps, and never fails on a letter."""

from __future__ import annotations

import os
import re
import shutil
import textwrap
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TextIO

Tone = Literal["plain", "strong", "bad", "warning", "good", "faint"]

NARROWEST, WIDEST = 60, 100  # columns; longer lines are hard to read, shorter ones tear the numbers from their units
_CODES: dict[Tone, str] = {
    "plain": "", "strong": "1", "bad": "1;31", "warning": "1;33", "good": "32", "faint": "2",
}  # fmt: skip
_TYPEWRITTEN = {
    "±": "+/-", "°": " deg", "×": "x", "·": "-", "–": "-", "—": "-", "−": "-", "…": "...", "’": "'", "‘": "'",
    "“": '"', "”": '"', "„": '"', "≤": "<=", "≥": ">=", "→": "->", "Ω": "ohm", "µ": "u", "²": "2", "³": "3",
    "½": " 1/2", "¼": " 1/4", "¾": " 3/4",
}  # fmt: skip
_UNIT = re.compile(r"(?<=\d) (?=(?:mm|deg|rad|g|kg|N|V|A|W|%)(?:\W|$))|(?<=±) (?=\d)|(?<=\+/-) (?=\d)")


@dataclass(frozen=True, kw_only=True)
class Screen:
    """A stream for people.

    colour     : whether tones are shown; no meaning may hang on them
    only_ascii : whether the terminal may be unable to show anything else
    """

    stream: TextIO
    width: int
    colour: bool
    only_ascii: bool

    @classmethod
    def for_people(cls, stream: TextIO, environment: Mapping[str, str] = os.environ) -> Screen:
        """The screen behind a stream, as the terminal and the environment want it (NO_COLOR: no-color.org)."""
        columns = shutil.get_terminal_size((80, 24)).columns
        terminal = stream.isatty() and environment.get("TERM") != "dumb"
        locale = next((environment[name] for name in ("LC_ALL", "LC_CTYPE", "LANG") if environment.get(name)), "C")
        encoding = (stream.encoding or "ascii").lower().replace("-", "")
        return cls(
            stream=stream,
            width=min(max(columns, NARROWEST), WIDEST),
            colour=terminal and not environment.get("NO_COLOR"),
            only_ascii=encoding != "utf8" or locale in ("C", "POSIX"),
        )

    def raw(self, text: str) -> None:
        """Text as it is, unwrapped."""
        self._write(text + "\n")

    def gap(self) -> None:
        """An empty line."""
        self._write("\n")

    def say(self, text: str, *, mark: str = "", tone: Tone = "plain", indent: int = 0, hang: int | None = None) -> None:
        """A paragraph, wrapped.

        mark   : what stands in front of it, in `tone`; without a mark the tone is the text's
        indent : columns before the mark
        hang   : columns before the second line on; None: where the text of the first began
        """
        start = " " * indent + (mark + " " if mark else "")
        below = " " * (len(start) if hang is None else hang)
        # An unbreakable space keeps a number and its unit on one line while it is wrapped.
        lines = textwrap.wrap(
            _UNIT.sub("\xa0", self._letters(text)), self.width, initial_indent=start, subsequent_indent=below,
            break_long_words=False, break_on_hyphens=False,
        ) or [start.rstrip()]  # fmt: skip
        lines = [line.replace("\xa0", " ") for line in lines]
        if mark:
            lines[0] = lines[0].replace(mark, self._toned(mark, tone), 1)
        else:
            lines = [line.replace(line.strip(), self._toned(line.strip(), tone), 1) for line in lines]
        self._write("\n".join(lines) + "\n")

    def _toned(self, text: str, tone: Tone) -> str:
        return f"\x1b[{_CODES[tone]}m{text}\x1b[0m" if self.colour and text and _CODES[tone] else text

    def _letters(self, text: str) -> str:
        """The text without control characters and, where need be, in ASCII."""
        text = "".join(c if c.isprintable() or c in "\n\t" else "?" for c in text)
        if not self.only_ascii or text.isascii():
            return text
        for letter, plain in _TYPEWRITTEN.items():
            text = text.replace(letter, plain)
        letters = (c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
        return "".join(c if c.isascii() else "?" for c in letters)

    def _write(self, text: str) -> None:
        if self.only_ascii and not text.isascii():
            text = self._letters(text)
        encoding = self.stream.encoding or "ascii"
        self.stream.write(text.encode(encoding, "replace").decode(encoding))  # a file name may hold odd bytes
