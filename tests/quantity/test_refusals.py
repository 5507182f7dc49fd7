"""What a builder is told when a text is no number: the whole sentence, word for word."""

import datetime
from typing import Any

import pytest

from coachwork.quantity import (
    ANGLE,
    COUNT,
    FORCE,
    FREQUENCY,
    KINDS,
    LENGTH,
    MASS,
    POWER,
    RATIO,
    TEMPERATURE,
    TIME,
    TORQUE,
    VOLTAGE,
    Kind,
    Sign,
    Unreadable,
    parse,
)  # fmt: skip

A_LENGTH = "a length is wanted here, such as 267 mm or 10 1/2 in"
A_VOLTAGE = "a voltage is wanted here, such as 7.4 V"
A_RATIO = "a ratio is wanted here, such as 1:10, 0.35 or 35 %"
A_TIME = "a time is wanted here, such as 90 s or 25 min"
A_COUNT = "a count is wanted here, such as 20"
TWO_NUMBERS = (
    "has two numbers and no operator; write a spread as 3.5 ± 0.2, a range as 3.5 .. 4.2, a fraction as 10 1/2"
)
KNOWN = (
    "known are callipers, ruler, tape, gauge, scales, meter, counting, label, published data, photo, scan, "
    "computation, choice, guess"
)
NOT_FINITE = "is not a number that can be measured; leave the key out if it is not known"
POINT = "a point before the decimals, nothing between thousands"
QUOTES = "has two single quotes; write in (or \") for inches, ft (or ') for feet"
FEET = "cannot be read as feet and inches; write them as 5 ft 3 1/2 in"

REFUSED = [
    # nothing there
    ("", LENGTH, f"there is no number; {A_LENGTH}"),
    (" \t", LENGTH, f"there is no number; {A_LENGTH}"),
    ("~", LENGTH, f"there is no number; {A_LENGTH}"),
    ("by ruler", LENGTH, f"there is no number; {A_LENGTH}"),
    ("267 mm ±", LENGTH, f"there is no number; {A_LENGTH}"),
    ("± 3", LENGTH, f"there is no number; {A_LENGTH}"),
    ("3 ..", LENGTH, f"there is no number; {A_LENGTH}"),
    # not a text or a number
    (None, LENGTH, f"an empty value is no number; {A_LENGTH}"),
    (True, LENGTH, f"true (yes or no) is no number; {A_LENGTH}"),
    (False, COUNT, f"false (yes or no) is no number; {A_COUNT}"),
    ([267], LENGTH, f"a list is no number; {A_LENGTH}"),
    ((1, 2), LENGTH, f"a list is no number; {A_LENGTH}"),
    ({"value": 1}, LENGTH, f"a table is no number; {A_LENGTH}"),
    (datetime.date(2024, 5, 1), LENGTH, f"2024-05-01 (a date or a time of day) is no number; {A_LENGTH}"),
    (datetime.time(12, 30), TIME, f"12:30:00 (a date or a time of day) is no number; {A_TIME}"),
    (2 + 3j, LENGTH, f"a value of type complex is no number; {A_LENGTH}"),
    # other things in a text
    ("mm", LENGTH, f"mm does not start with a readable number; {A_LENGTH}"),
    ("ca. 35 mm", LENGTH, f"ca. 35 mm does not start with a readable number; {A_LENGTH}"),
    ("267.5.1", LENGTH, f"267.5.1 does not start with a readable number; {A_LENGTH}"),
    ("10 7/4 in", LENGTH, f"10 7/4 in does not start with a readable number; {A_LENGTH}"),
    ("~~5", LENGTH, f"~5 does not start with a readable number; {A_LENGTH}"),
    ("[1, 2]", LENGTH, f"[1, 2] looks like a list; {A_LENGTH}"),
    ("1, 2, 3", LENGTH, f"1, 2, 3 looks like a list; {A_LENGTH}"),
    ("1; 2", LENGTH, f"1; 2 looks like a list; {A_LENGTH}"),
    ("2024-05-01", LENGTH, f"2024-05-01 looks like a date or a time of day; {A_LENGTH}"),
    ("1.5.2024", LENGTH, f"1.5.2024 looks like a date or a time of day; {A_LENGTH}"),
    ("5/1/24", LENGTH, f"5/1/24 looks like a date or a time of day; {A_LENGTH}"),
    ("12:30:05", TIME, f"12:30:05 looks like a date or a time of day; {A_TIME}"),
    ("1:30", TIME, f"1:30 is a ratio; {A_TIME}"),
    ("1:10", LENGTH, f"1:10 is a ratio; {A_LENGTH}"),
    ("1:10 mm", RATIO, f"1:10 mm cannot be read; {A_RATIO}"),
    ("1:0", RATIO, "1:0 divides by zero"),
    ("1/0 in", LENGTH, "1/0 in divides by zero"),
    # comma
    ("267,5", LENGTH, f"write 267,5 as 267.5: {POINT}"),
    ("-267,5 mm", LENGTH, f"write -267,5 as -267.5: {POINT}"),
    ("0,123", LENGTH, f"write 0,123 as 0.123: {POINT}"),
    ("1.234,5", LENGTH, f"write 1.234,5 as 1234.5: {POINT}"),
    ("1,234.5 mm", LENGTH, f"write 1,234.5 as 1234.5: {POINT}"),
    ("1,234,567 mm", LENGTH, f"write 1,234,567 as 1234567: {POINT}"),
    ("267 ± 0,3 mm", LENGTH, f"write 0,3 as 0.3: {POINT}"),
    ("1,234", LENGTH, "1,234 can be 1234 or 1.234; write the one that is meant, without a comma"),
    # not finite, too large
    ("nan", LENGTH, f"nan {NOT_FINITE}"),
    ("-inf", LENGTH, f"-inf {NOT_FINITE}"),
    ("Infinity mm", LENGTH, f"Infinity mm {NOT_FINITE}"),
    ("5 ± ∞", LENGTH, f"∞ {NOT_FINITE}"),
    (float("nan"), LENGTH, f"nan {NOT_FINITE}"),
    (float("-inf"), LENGTH, f"-inf {NOT_FINITE}"),
    ("1e999", LENGTH, "1e999 is too large a number"),
    ("5 ± 1e999", LENGTH, "5 ± 1e999 is too large a number"),
    ("1e5000", LENGTH, f"1e5000 does not start with a readable number; {A_LENGTH}"),
    pytest.param(10**5000, LENGTH, f"a number of more than 200 digits is too large; {A_LENGTH}", id="huge integer"),
    pytest.param("9" * 5000, LENGTH, f"{'9' * 57}... is too long; {A_LENGTH}", id="long text"),
    # another kind
    ("35 g", LENGTH, f"35 g is a mass; {A_LENGTH}"),
    ("267 mm ± 3 g", LENGTH, f"3 g is a mass; {A_LENGTH}"),
    ("3.5 mm .. 4.2 V", VOLTAGE, f"3.5 mm is a length; {A_VOLTAGE}"),
    ("5 m/s", LENGTH, f"5 m/s is a speed; {A_LENGTH}"),
    ("35 %", LENGTH, f"35 % is a ratio; {A_LENGTH}"),
    ("5'", ANGLE, "5' is a length; an angle is wanted here, such as 2.5 deg"),
    ("5' 3\"", MASS, "5' 3\" is a length; a mass is wanted here, such as 35 g or 1.2 kg"),
    ("2 deg", RATIO, f"2 deg is an angle; {A_RATIO}"),
    ("8 kg", FORCE, "8 kg is a mass; a force is wanted here, such as 5 N or 0.5 kgf"),
    ("8 kg", TORQUE, "8 kg is a mass; a torque is wanted here, such as 8 kgf cm or 785 N mm"),
    ("5 rpm", FREQUENCY, "5 rpm is a rotational speed; a frequency is wanted here, such as 50 Hz"),
    ("5 mol", LENGTH, f"5 mol is not a length; {A_LENGTH}"),
    ("5 dB", POWER, "5 dB is not a power; a power is wanted here, such as 60 W"),
    # unit unknown
    ("267 mmm", LENGTH, "mmm is not a known unit; did you mean mm?"),
    ("267 MM", LENGTH, "MM is not a known unit; did you mean mm?"),
    ("267 in.", LENGTH, "in. is not a known unit; did you mean in?"),
    ("12 v", VOLTAGE, "v is not a known unit; did you mean V?"),
    ("12 Volts", VOLTAGE, "Volts is not a known unit; did you mean volts?"),
    ("267 spoons", LENGTH, f"spoons is not a known unit; {A_LENGTH}"),
    ("267 mm^9", LENGTH, "mm^9 is not a known unit; did you mean mm?"),
    ("267 __import__", LENGTH, f"__import__ is not a known unit; {A_LENGTH}"),
    ("5 *", RATIO, f"* is not a known unit; {A_RATIO}"),
    # two numbers
    ("3.5 4.2 mm", LENGTH, f"3.5 4.2 mm {TWO_NUMBERS}"),
    ("3.5 mm 4.2 mm", LENGTH, f"3.5 mm 4.2 mm {TWO_NUMBERS}"),
    ("3-4 mm", LENGTH, f"3-4 mm {TWO_NUMBERS}"),
    ("3 to 4 mm", LENGTH, f"3 to 4 mm {TWO_NUMBERS}"),
    ("1 234 mm", LENGTH, f"1 234 mm {TWO_NUMBERS}"),
    ("10 -1/2 in", LENGTH, f"10 -1/2 in {TWO_NUMBERS}"),
    ("1..2..3", LENGTH, "1..2..3 has more than one ± or ..; one spread or one range is wanted"),
    ("1 .. 2 ± 1", LENGTH, "1 .. 2 ± 1 has more than one ± or ..; one spread or one range is wanted"),
    # feet and inches
    ("5''", LENGTH, f"5'' {QUOTES}"),
    ("5' 3''", LENGTH, f"5' 3'' {QUOTES}"),
    ("5' 3", LENGTH, f"5' 3 {FEET}"),
    ("5 ft 13 in", LENGTH, f"5 ft 13 in {FEET}"),
    ("5.5 ft 3 in", LENGTH, f"5.5 ft 3 in {FEET}"),
    ("5 ft -3 in", LENGTH, f"5 ft -3 in {FEET}"),
    ("5 ft 3 mm", LENGTH, f"5 ft 3 mm {FEET}"),
    # spread and range
    ("267 ± -0.3 mm", LENGTH, "the spread -0.3 mm is negative; write ± 0.3 mm"),
    ("1:10 ± -1 %", RATIO, "the spread -1 % is negative; write ± 1 %"),
    ("20 ± 5 %", TEMPERATURE, "5 % of a temperature depends on where its zero lies; write the spread in degC"),
    (
        "90 ± 2 %",
        RATIO,
        "90 ± 2 % can mean a share of the value or points of a percentage; write % behind both numbers or behind none",
    ),
    ("4.2 .. 3.5 V", VOLTAGE, "the ends of 4.2 .. 3.5 V are swapped; write the smaller one first"),
    ("3500 mV .. 4.2 V", VOLTAGE, "mV and V: both ends of a range must be in one unit"),
    (
        "3.5 V .. 4.2",
        VOLTAGE,
        "the unit of a range stands behind its second number; write 3.5 .. 4.2 V",
    ),
    # counts
    ("20.5", COUNT, f"20.5 is not a whole number; {A_COUNT}"),
    (20.5, COUNT, f"20.5 is not a whole number; {A_COUNT}"),
    ("19 .. 22", COUNT, f"the middle of 19 .. 22 is not a whole number; {A_COUNT}"),
    ("20 teeth", COUNT, "20 teeth has a unit, a count has none; write 20"),
    # sources
    ("267 by rulr", LENGTH, "by rulr names no known source; did you mean ruler?"),
    ("267 by spoon", LENGTH, f"by spoon names no known source; {KNOWN}"),
    ("267 by", LENGTH, f"by is followed by nothing; {KNOWN}"),
    ("~ 5 by ruler", LENGTH, '~ means a guess, yet the text says "by ruler"; leave one of them out'),
    (
        "12 V by callipers",
        VOLTAGE,
        '"by callipers" does not say how exact a voltage is; write the spread, such as 12 V ± 1 %',
    ),
]


@pytest.mark.parametrize(("read", "kind", "message"), REFUSED)
def test_message(read: Any, kind: Kind, message: str) -> None:
    with pytest.raises(Unreadable) as caught:
        parse(read, kind)
    assert str(caught.value) == message
    assert caught.value.wanted == kind.wanted


@pytest.mark.parametrize(
    ("read", "sign", "message"),
    [
        ("-3 mm", "positive", "-3 mm is negative; a length here cannot be less than zero"),
        ("-3 mm", "not negative", "-3 mm is negative; a length here cannot be less than zero"),
        (-3, "positive", "-3 is negative; a length here cannot be less than zero"),
        ("-3 ± 5 mm", "positive", "-3 is negative; a length here cannot be less than zero"),
        ("-1 .. 3 mm", "not negative", "-1 is negative; a length here cannot be less than zero"),
        ("0", "positive", "0 is zero; a length here must be more than zero"),
        ("0 .. 3", "positive", "0 is zero; a length here must be more than zero"),
        ("1e-999", "positive", "1e-999 is zero; a length here must be more than zero"),
        ("~ -3 in by guess", "positive", "-3 in is negative; a length here cannot be less than zero"),
    ],
)
def test_sign_rule(read: str | float, sign: Sign, message: str) -> None:
    with pytest.raises(Unreadable) as caught:
        parse(read, LENGTH, sign=sign)
    assert str(caught.value) == message


def test_sign_rule_lets_through_what_it_should() -> None:
    assert parse("-3", LENGTH).value == -3.0
    assert parse("0", LENGTH, sign="not negative").value == 0.0
    assert parse("1 ± 5", LENGTH, sign="positive").low == -4.0  # a spread wider than possible is the builder's affair
    assert parse("-5 degF", TEMPERATURE).value < 0


@pytest.mark.parametrize(
    ("read", "kind"),
    [("267,5", LENGTH), ("1.234,5", LENGTH), ("1,234.5", LENGTH), ("3.5 V .. 4.2", VOLTAGE), ("20 teeth", COUNT)],
)
def test_a_suggestion_that_replaces_the_whole_text_can_be_read(read: str, kind: Kind) -> None:
    with pytest.raises(Unreadable) as caught:
        parse(read, kind)
    assert caught.value.suggestion is not None
    parse(caught.value.suggestion, kind)


# The library tells kinds apart by their base units, and these share them: a known weakness.
SAME_DIMENSION = ({"torque", "energy"}, {"time", "minutes", "pulse"})


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_refuses_every_other_kinds_example(kind: Kind) -> None:
    for other in KINDS:
        if other is kind or not other.unit or any({kind.name, other.name} <= alike for alike in SAME_DIMENSION):
            continue
        with pytest.raises(Unreadable):
            parse(f"3 {other.unit}", kind)
