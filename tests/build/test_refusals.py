"""What a builder reads when the file is wrong: every message in full, for each was written for somebody at a bench."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from coachwork.build import read_text
from coachwork.errors import BuildRefused

A_LENGTH = "a length is wanted here, such as 267 mm or 10 1/2 in"
IN_QUOTES = "put a number with a unit, a spread or a guess in quotes"

# what is wrong: (the file, the lines of the complaint)
SYNTAX = {
    "decimal comma": (
        "[shell]\nlength = 12,5",
        "line 2: cannot read `length = 12,5`; write the decimal with a point: length = 12.5",
    ),
    "unit without quotes": (
        "[shell]\nlength = 267 mm",
        f'line 2: cannot read `length = 267 mm`; {IN_QUOTES}: length = "267 mm"',
    ),
    "guess without quotes": (
        "[shell]\nlength = ~ 35",
        f'line 2: cannot read `length = ~ 35`; {IN_QUOTES}: length = "~ 35"',
    ),
    "spread without quotes": (
        "[shell]\nlength = 267 ± 0.3  # twice",
        f'line 2: cannot read `length = 267 ± 0.3  # twice`; {IN_QUOTES}: length = "267 ± 0.3"',
    ),
    "fraction without quotes": (
        "[shell]\nlength = 10 1/2 in",
        f'line 2: cannot read `length = 10 1/2 in`; {IN_QUOTES}: length = "10 1/2 in"',
    ),
    "inch sign without quotes": (
        '[shell]\nlength = 10"',
        f'line 2: cannot read `length = 10"`; {IN_QUOTES}: length = "10 in"',
    ),
    "inch sign inside quotes": (
        '[shell]\nlength = "10 1/2""',
        'line 2: cannot read `length = "10 1/2""`; for inches inside quotes write in: length = "10 1/2 in"',
    ),
    "unit behind the quotes": (
        '[shell]\nlength = "267" mm',
        'line 2: cannot read `length = "267" mm`; the unit belongs inside the quotes: length = "267 mm"',
    ),
    "open quotes": (
        '[shell]\nlength = "267',
        'line 2: cannot read `length = "267`; the quotes do not close: length = "267"',
    ),
    "quotes of a word processor": (
        "[shell]\nlength = “267 mm”",
        'line 2: cannot read `length = “267 mm”`; use plain quotes: length = "267 mm"',
    ),
    "nothing behind the equals sign": (
        "[shell]\nlength =",
        'line 2: cannot read `length =`; write "?" while it is not measured: length = "?"',
    ),
    "question mark without quotes": (
        "[shell]\nlength = ?",
        'line 2: cannot read `length = ?`; put the question mark in quotes: length = "?"',
    ),
    "no equals sign": (
        "[shell]\nlength 267",
        "line 2: cannot read `length 267`; write = between key and value: length = 267",
    ),
    "colon for the equals sign": (
        "[shell]\nlength: 267",
        "line 2: cannot read `length: 267`; write = between key and value: length = 267",
    ),
    "two equals signs": (
        "[shell]\nlength == 267",
        "line 2: cannot read `length == 267`; one = is enough: length = 267",
    ),
    "a key of two words": (
        "[shell]\nfront overhang = 61",
        "line 2: cannot read `front overhang = 61`; a key has letters, digits and hyphens only: front-overhang = 61",
    ),
    "a header of two words": (
        "[running gear]\nwheelbase = 267",
        "line 1: cannot read `[running gear]`; a table's name stands alone on its line, in brackets, without blanks: "
        "[running-gear]",
    ),
    "an open header": (
        "[shell\nlength = 267",
        "line 1: cannot read `[shell`; a table's name stands alone on its line, in brackets, without blanks: [shell]",
    ),
    "a key twice": (
        "[shell]\nlength = 267\nwidth = 166\nlength = 268",
        "line 4: cannot read `length = 268`; shell.length stands on line 2 already; keep one of the two",
    ),
    "a table twice": (
        "[shell]\nlength = 267\n[build]\n[shell]\nwidth = 166",
        "line 4: cannot read `[shell]`; [shell] stands on line 1 already; keep one of the two",
    ),
    "a comma missing in a point": (
        "[running-gear.front]\nhub-face = [1.5 2 3]",
        "line 2: cannot read `hub-face = [1.5 2 3]`; the numbers of a list are separated by commas: "
        "hub-face = [1.5, 2, 3]",
    ),
    "semicolons in a point": (
        "[running-gear.front]\nhub-face = [1.5; 2; 3]",
        "line 2: cannot read `hub-face = [1.5; 2; 3]`; the numbers of a list are separated by commas: "
        "hub-face = [1.5, 2, 3]",
    ),
    "a unit in a point": (
        "[running-gear.front]\nhub-face = [1, 2 mm, 3]",
        "line 2: cannot read `hub-face = [1, 2 mm, 3]`; in a list, too, a number with a unit, a spread or a guess "
        'stands in quotes: hub-face = [1, "2 mm", 3]',
    ),
    "an open point": (
        "[running-gear.front]\nhub-face = [1, 2, 3\nlower-ball = [1, 2, 3]",
        "line 2: cannot read `hub-face = [1, 2, 3`; the list does not close; it ends with ]",
    ),
    "a point without a digit behind it": (
        "[shell]\nlength = 267.",
        "line 2: cannot read `length = 267.`; a digit has to follow the point: length = 267.0",
    ),
    "two points": (
        "[shell]\nlength = 267..5",
        "line 2: cannot read `length = 267..5`; one point is enough: length = 267.5; "
        'a range stands in quotes: length = "267 .. 5"',
    ),
    "a point without a digit before it": (
        "[shell]\nlength = .5",
        "line 2: cannot read `length = .5`; a digit has to stand before the point: length = 0.5",
    ),
    "a leading zero": (
        "[shell]\nlength = 0267",
        "line 2: cannot read `length = 0267`; a number cannot start with a zero and a digit: length = 267",
    ),
    "text without quotes": (
        "[running-gear.front]\nkind = camber-link",
        'line 2: cannot read `kind = camber-link`; put text in quotes: kind = "camber-link"',
    ),
    "yes": (
        "[running-gear.front]\nleaf-sprung = yes",
        "line 2: cannot read `leaf-sprung = yes`; yes is written true, no is written false, and both only where the "
        "key asks for one of them",
    ),
    "a comment of another language": (
        "[shell]\n// as measured on Sunday",
        "line 2: cannot read `// as measured on Sunday`; a comment starts with #",
    ),
    "prose": (
        "Dear diary",
        "line 1: cannot read `Dear diary`; every line is key = value, a [table] or a # comment",
    ),
    "a letter nobody sees": (
        "[shell]\nlength = 267\x00",
        "line 2: cannot read `length = 267?`; there is a character that cannot be seen or printed; delete the line and "
        "type it again",
    ),
    "a backslash": (
        '[shell]\nmesh = "C:\\vans\\shell.stl"',
        'line 2: cannot read `mesh = "C:\\vans\\shell.stl"`; a backslash means something else inside double quotes; '
        "use single ones: mesh = 'C:\\vans\\shell.stl'",
    ),
}

NUMBERS = {
    "a mass for a length": (
        '[shell]\nlength = "35 g"',
        f"line 2: shell.length: 35 g is a mass; {A_LENGTH}",
    ),
    "a length for an angle": (
        '[running-gear.front.steering]\nlock = "25 mm"',
        "line 2: running-gear.front.steering.lock: 25 mm is a length; an angle is wanted here, such as 2.5 deg",
    ),
    "an unknown unit": (
        '[shell]\nlength = "267 mmm"',
        "line 2: shell.length: read 267 mmm; mmm is not a known unit; did you mean mm?",
    ),
    "a decimal comma in quotes": (
        '[shell]\nlength = "12,5 mm"',
        "line 2: shell.length: read 12,5 mm; write 12,5 as 12.5: a point before the decimals, nothing between "
        "thousands",
    ),
    "a comma that can be either": (
        '[prototype]\nlength = "4,130 mm"',
        "line 2: prototype.length: read 4,130 mm; 4,130 can be 4130 or 4.130; write the one that is meant, without a "
        "comma",
    ),
    "a negative length": (
        "[shell]\nlength = -3",
        "line 2: shell.length: -3 is negative; a length here cannot be less than zero",
    ),
    "no length at all": (
        "[shell]\nlength = 0",
        "line 2: shell.length: 0 is zero; a length here must be more than zero",
    ),
    "not a number": (
        "[shell]\nlength = nan",
        "line 2: shell.length: nan is not a number that can be measured; leave the key out if it is not known",
    ),
    "infinity": (
        "[shell]\nlength = inf",
        "line 2: shell.length: inf is not a number that can be measured; leave the key out if it is not known",
    ),
    "true": (
        "[shell]\nlength = true",
        f"line 2: shell.length: true (yes or no) is no number; {A_LENGTH}",
    ),
    "a date": (
        "[shell]\nlength = 1979-05-27",
        f"line 2: shell.length: 1979-05-27 (a date or a time of day) is no number; {A_LENGTH}",
    ),
    "a list for a number": (
        "[shell]\nlength = [267]",
        f"line 2: shell.length: a list is no number; {A_LENGTH}",
    ),
    "a table for a number": (
        '[shell]\nlength = { value = 267, unit = "mm" }',
        f"line 2: shell.length: a table is no number; {A_LENGTH}",
    ),
    "a range the wrong way round": (
        '[shell]\nlength = "268 .. 266 mm"',
        "line 2: shell.length: the ends of 268 .. 266 mm are swapped; write the smaller one first",
    ),
    "an unknown instrument": (
        '[shell]\nlength = "267 mm by rulr"',
        "line 2: shell.length: read 267 mm by rulr; by rulr names no known source; did you mean ruler?",
    ),
    "half a tooth": (
        "[changes]\nbelt-teeth = 96.5",
        "line 2: changes.belt-teeth: 96.5 is not a whole number; a count is wanted here, such as 20",
    ),
    "a scale in words": (
        '[build]\nscale = "1:ten"',
        "line 2: build.scale: read 1:ten; ten does not start with a readable number; a ratio is wanted here, such as "
        "1:10, 0.35 or 35 %",
    ),
}

SHAPES = {
    "a key mistyped": (
        "[shell]\nlenght = 267",
        "line 2: shell.lenght: there is no key of this name; did you mean length?",
    ),
    "a key with an underscore": (
        "[shell]\nfront_overhang = 61",
        "line 2: shell.front_overhang: there is no key of this name; did you mean front-overhang?",
    ),
    "a key of another table": (
        "[shell]\ntrack-front = 134",
        "line 2: shell.track-front: there is no key of this name; it belongs in [prototype]",
    ),
    "a key of nowhere": (
        "[measuring]\nxyzzy = 1",
        "line 2: measuring.xyzzy: there is no key of this name; this table knows lengths, shown-in, callipers, ruler, "
        "tape, scan, published, gauge, scales, photo, guess",
    ),
    "a seller's offset": (
        "[wheels.front]\noffset = 6",
        'line 2: wheels.front.offset: there is no key of this name; sellers\' "offset" has either sign; give '
        "backspace, or inset (positive: mounting face outboard)",
    ),
    "a key above the first table": (
        "front-overhang = 61\n[shell]",
        "line 1: front-overhang: there is no key of this name outside the tables; put it below a line [prototype] or "
        "[shell]",
    ),
    "a table mistyped": (
        "[shel]\nlength = 267",
        "line 1: shel: there is no table of this name; did you mean [shell]?",
    ),
    "a table in double brackets": (
        "[[shell]]\nlength = 267",
        "line 1: shell: read a list of 1; there is one shell only: write [shell] in single brackets",
    ),
    "a number for a table": (
        "shell = 267",
        "line 1: shell: read 267; a table is wanted: a line [shell], then its keys below",
    ),
    "a number for a table inside": (
        "[running-gear]\nfront = 3",
        "line 2: running-gear.front: read 3; a table is wanted here: a line [running-gear.front], then its keys below",
    ),
    "a kind that is none": (
        '[running-gear.front]\nkind = "camberlink"',
        'line 2: running-gear.front.kind: read "camberlink"; did you mean "camber-link"? one of "camber-link", '
        '"two-arm", "live-axle" is wanted',
    ),
    "two coordinates": (
        "[running-gear.front]\nhub-face = [1, 2]",
        "line 2: running-gear.front.hub-face: read a list of 2; a point is three lengths: hub-face = [x, y, z], with "
        '"?" for one that is not measured',
    ),
    "decimal commas in a point": (
        "[running-gear.front]\nhub-face = [1,5, 2,0, 3,25]",
        "line 2: running-gear.front.hub-face: read a list of 6; write decimals with a point: "
        "hub-face = [1.5, 2.0, 3.25]",
    ),
    "two bad coordinates on lines of their own": (
        '[running-gear.front]\nhub-face = [\n  1,\n  "3 g",\n  true,\n]',
        "line 4: running-gear.front.hub-face.y: 3 g is a mass; " + A_LENGTH,
        "line 5: running-gear.front.hub-face.z: true (yes or no) is no number; " + A_LENGTH,
    ),
    "a detail that runs nowhere": (
        "[details.mirror]\nshell = 3",
        'line 1: details.mirror.along: it is left out; write along = "length" or along = "width" or along = "height"',
    ),
    "a detail with a typo": (
        '[details.mirror]\nalong = "length"\nshel = 3',
        "line 3: details.mirror.shel: there is no key of this name; did you mean shell?",
    ),
    "a link's typo": (
        "[running-gear.front.links.top]\nchasis = [1, 2, 3]",
        "line 2: running-gear.front.links.top.chasis: there is no key of this name; did you mean chassis?",
    ),
    "perhaps": (
        '[running-gear.front]\nleaf-sprung = "perhaps"',
        'line 2: running-gear.front.leaf-sprung: read "perhaps"; true or false is wanted, without quotes',
    ),
    "a number for a name": (
        "[build]\nname = 3",
        'line 2: build.name: read 3; text in quotes is wanted: name = "3"',
    ),
    "a format of tomorrow": (
        "[build]\nformat = 2",
        "line 2: build.format: the file says format 2; this version of coachwork reads format 1",
    ),
}


def complaint(text: str) -> list[str]:
    """The lines a builder sees, less the heading."""
    with pytest.raises(BuildRefused) as refused:
        read_text(text, Path("van/build.toml"))
    heading, *lines = str(refused.value).splitlines()
    count = len(refused.value.faults)
    assert heading == f"van/build.toml: {'1 thing' if count == 1 else f'{count} things'} to put right"
    return [line.removeprefix("  ") for line in lines]


CASES = {**SYNTAX, **NUMBERS, **SHAPES}


@pytest.mark.parametrize(("text", "expected"), [(text, lines) for text, *lines in CASES.values()], ids=list(CASES))
def test_the_complaint_names_the_line_and_what_to_write(text: str, expected: list[str]):
    assert complaint(text) == expected


# Those of the syntax complaints that end in a line to type instead.
PROPOSED = {name: (text, match[1]) for name, (text, line) in SYNTAX.items()
            if (match := re.search(r"`; .*: ([\w.-]+ = \S.*)$", line))}  # fmt: skip


@pytest.mark.parametrize(("text", "proposed"), PROPOSED.values(), ids=list(PROPOSED))
def test_a_proposed_line_is_right_toml(text: str, proposed: str):
    """Else a builder who does as told is told off again."""
    key = proposed.partition(" = ")[0]
    (bad,) = (line for line in text.split("\n") if line.replace(" ", "-").startswith(key))

    assert tomllib.loads(text.replace(bad, proposed))


def test_most_syntax_complaints_propose_a_line():
    assert len(PROPOSED) >= 20


def test_all_faults_are_told_at_once_in_the_order_of_the_file():
    text = '[shell]\nlength = 267  # right\nwidth = 12,5\nheight = 3 in\nwheelbase = "3 g"\n[shel]\nx = 1\n'
    assert [line.partition(":")[0] for line in complaint(text)] == ["line 3", "line 4", "line 5", "line 6"]


def test_a_key_lost_on_an_unreadable_line_is_not_called_left_out():
    assert complaint("[details.mirror]\nalong = length\nshell = 3") == [
        'line 2: cannot read `along = length`; put text in quotes: along = "length"'
    ]


def test_forty_unreadable_lines_are_enough():
    lines = complaint("[shell]\n" + "length = 1,5\n" * 100)
    assert len(lines) == 40
