"""Lines of keys, against a text in which every line says its own number."""

from __future__ import annotations

import re

import pytest

from coachwork.build.lines import line_of, line_of_key
from coachwork.build.places import places

TEXT = '''\
# 1
loose.key = 2
"quoted.key"."inner" = """
[4]
not = 5
"""
[shell]
length = 8  # not = 0
text = 'a # that is none, and ] }'
point = [
  11.5,  # first
  12,
  [13], 13,
]
one-line = { x = 15, "y z" = { deep = [15, { k = 15 }] } }

[[links]]
v = 1979-05-27 07:32:00
[[links]]
v = -20.5e3
[links.inner]
v = "\\"22 = \\u00e9"
[other]

[shell.late]
v = 26
["a" . b]  # blanks and quotes
v = true
empty = []
last = {}
'''

WHERE = {
    ("loose",): 2, ("loose", "key"): 2, ("quoted.key", "inner"): 3, ("shell",): 7, ("shell", "length"): 8,
    ("shell", "text"): 9, ("shell", "point"): 10, ("shell", "point", 0): 11, ("shell", "point", 1): 12,
    ("shell", "point", 2): 13, ("shell", "point", 3): 13, ("shell", "one-line", "y z", "deep", 1, "k"): 15,
    ("links", 0): 17, ("links", 0, "v"): 18, ("links", 1): 19, ("links", 1, "v"): 20, ("links", 1, "inner", "v"): 22,
    ("other",): 23, ("shell", "late"): 25, ("shell", "late", "v"): 26, ("a", "b", "v"): 28, ("a", "b", "empty"): 29,
    ("a", "b", "last"): 30,
}  # fmt: skip


@pytest.mark.parametrize(("path", "line"), WHERE.items())
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_a_key_is_found_on_its_line(path, line, newline):
    assert line_of(TEXT.replace("\n", newline), path) == line


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("shell", "width"), 7),  # its table
        (("shell", "point", "y"), 12),  # a coordinate of a point written as a list
        (("shell", "point", "q"), 10),
        (("shell", "one-line", "gone", "further"), 15),
        (("nowhere", "at", "all"), None),
    ],
)
def test_what_stands_nowhere_is_found_at_its_nearest_parent(path, line):
    assert line_of(TEXT, path) == line


def test_a_key_in_one_piece_is_found_as_well():
    assert line_of_key(TEXT, "quoted.key.inner") == 3
    assert line_of_key(TEXT, "shell.point.z") == 13
    assert line_of_key(TEXT, "links[2].inner.v") == 22
    assert line_of_key(TEXT, "shell.no.such.thing") == 7
    assert line_of_key(TEXT, "gone") is None


def test_places_hold_exactly_the_value():
    found = {place.path: TEXT[place.start : place.end] for place in places(TEXT)}

    assert found["shell", "length"] == "8"
    assert found["shell", "point", 0] == "11.5"
    assert found["links", 0, "v"].startswith("1979-05-27")
    assert found["links", 1, "v"] == "-20.5e3"
    assert found["shell", "one-line", "y z"] == "{ deep = [15, { k = 15 }] }"
    assert found["shell", "text"] == "'a # that is none, and ] }'"
    assert found["shell",] == "[shell]"


def test_every_number_of_the_text_stands_on_the_line_it_names():
    """The text's own numbers are the reference: whatever place starts with one must be on that line."""
    named = [(place.line, re.match(r"-?(\d+)", TEXT[place.start : place.end])) for place in places(TEXT)]
    told = [(line, int(match[1])) for line, match in named if match and int(match[1]) < 100]
    assert len(told) >= 10
    assert all(line == number for line, number in told)
