"""Where in a TOML text each key, list item and header stands.

TOML readers drop places, and style-keeping TOML libraries hide them: the one we tried finds a line at the price of one
parse of the whole file per key (50 ms for 370 lines), and moves a comment above the next header when it adds a table.
So this walks over a text that tomllib has accepted. It has to know where keys, strings and brackets begin and end, not
what is allowed.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal, NamedTuple

Steps = tuple[str | int, ...]
Form = Literal["header", "value", "list", "inline table"]

_TOKEN = re.compile(
    r'''
    (?P<string> """(?:\\.|[^\\])*?""""{0,2} | \'\'\'.*?\'\'\'\'{0,2} | "(?:\\.|[^"\\\n])*" | '[^'\n]*' )
  | (?P<comment> \#[^\n]* )
  | (?P<newline> \n )
  | (?P<mark> [\[\]{},=.] )
  | (?P<bare> [^\s\[\]{},=.\#"']+ )
    ''',
    re.VERBOSE | re.DOTALL,
)


_TABLE = re.compile(r"(?<=\n)(?=\[)")  # before a line that begins with a bracket


class Place(NamedTuple):
    """One thing with a name or a position in a list.

    path       : names and list positions, tables included
    line       : of its key (or itself, in a list), from 1
    start, end : of its value, or of the whole header, as text[start:end]
    table      : path of the header it stands under
    """

    path: Steps
    line: int
    start: int
    end: int
    form: Form
    table: Steps


class _Token(NamedTuple):
    kind: str
    text: str
    line: int
    start: int
    end: int


def _tokens(text: str) -> Iterator[_Token]:
    line = 1
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or ""
        if kind != "comment":
            yield _Token(kind, match[0], line, match.start(), match.end())
        line += match[0].count("\n")
    yield _Token("end", "", line, len(text), len(text))


def places(text: str) -> list[Place]:
    """Everything in the text that has a place, in order; a key that stands twice is listed twice."""
    return list(_places(text))


@lru_cache(maxsize=4)  # one edit asks for its text before and after several times
def _places(text: str) -> tuple[Place, ...]:
    """Table by table where that can be, for an edit leaves all but one of them as they were."""
    tables = _TABLE.split(text)
    if any(table.startswith("[[") for table in tables) or any(quotes in text for quotes in ('"""', "'''")):
        return _whole(text)
    found: list[Place] = []
    line, start = 0, 0
    for table in tables:
        its = _of_table(table)
        if its is None:  # what looks like a header stands in a list
            return _whole(text)
        found += [Place(path, at + line, a + start, b + start, form, under) for path, at, a, b, form, under in its]
        line, start = line + table.count("\n"), start + len(table)
    return tuple(found)


@lru_cache(maxsize=512)
def _of_table(text: str) -> tuple[Place, ...] | None:
    """Of the text from one header to the next, by itself; None where its brackets do not close."""
    marks = [token.text for token in _tokens(text) if token.kind == "mark"]
    return _whole(text) if all(marks.count(a) == marks.count(b) for a, b in ("[]", "{}")) else None


def _whole(text: str) -> tuple[Place, ...]:
    walk = _Walk(list(_tokens(text)))
    walk.document()
    return tuple(sorted(walk.found, key=lambda place: (place.start, len(place.path))))


@dataclass
class _Walk:
    tokens: list[_Token]
    at: int = 0
    found: list[Place] = field(default_factory=list)
    counts: dict[Steps, int] = field(default_factory=dict)  # of [[tables]] so far
    table: Steps = ()

    @property
    def here(self) -> _Token:
        return self.tokens[self.at]

    def take(self, mark: str = "") -> bool:
        """Step over the token here, if it is the mark asked for."""
        if self.here.kind == "end" or (mark and not (self.here.kind in ("mark", "newline") and self.here.text == mark)):
            return False
        self.at += 1
        return True

    def note(self, path: Steps, line: int, start: int, form: Form) -> None:
        end = self.tokens[self.at - 1].end
        self.found.append(Place(path=path, line=line, start=start, end=end, form=form, table=self.table))

    def document(self) -> None:
        while self.here.kind != "end":
            if self.take("\n"):
                continue
            start = self.here.start
            if self.take("["):
                self.header(start, many=self.take("["))
            else:
                self.pair(self.table)
                while self.here.kind not in ("newline", "end"):
                    self.take()  # what this walk does not understand

    def header(self, start: int, *, many: bool) -> None:
        line, names = self.here.line, self.key()
        path: Steps = ()
        for name in names:
            path = (*path, name)
            if path in self.counts and path != names:
                path = (*path, self.counts[path] - 1)  # [a.b] below [[a]] belongs to the latest a
        if many:
            self.counts[path] = self.counts.get(path, 0) + 1
            path = (*path, self.counts[path] - 1)
        while self.here.kind not in ("newline", "end"):
            self.take()
        self.table = path
        self.note(path, line, start, "header")

    def key(self) -> tuple[str, ...]:
        names = []
        while self.here.kind in ("bare", "string"):
            token = self.here
            names.append(_unquoted(token.text) if token.kind == "string" else token.text)
            self.take()
            if not self.take("."):
                break
        return tuple(names)

    def pair(self, inside: Steps) -> None:
        line, first = self.here.line, self.at
        path = (*inside, *self.key())
        if self.take("="):
            self.value(path, line)
        else:
            self.at = max(self.at, first + 1)  # go on, whatever stands here

    def value(self, path: Steps, line: int) -> None:
        start = self.here.start
        if self.take("["):
            position = 0
            while self.here.kind != "end" and not self.take("]"):
                if not (self.take("\n") or self.take(",")):
                    self.value((*path, position), self.here.line)
                    position += 1
            self.note(path, line, start, "list")
        elif self.take("{"):
            while self.here.kind != "end" and not self.take("}"):
                if not (self.take("\n") or self.take(",")):
                    self.pair(path)
            self.note(path, line, start, "inline table")
        else:
            self.take()
            while self.here.kind in ("bare", "string") or self.here.text == ".":
                self.take()  # the digits behind a point, the time behind a date
            self.note(path, line, start, "value")


def _unquoted(text: str) -> str:
    if text.startswith("'"):
        return text[1:-1]
    try:
        return next(iter(tomllib.loads(f"{text} = 0")))  # for its escapes
    except tomllib.TOMLDecodeError:
        return text[1:-1]
