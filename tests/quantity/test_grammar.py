"""Every form a builder may write, and what it means."""

import math
import subprocess
import sys

import pytest

from coachwork.quantity import (
    ANGLE,
    COUNT,
    CURRENT,
    KINDS,
    LENGTH,
    MASS,
    RATIO,
    RESISTANCE,
    SPRING_RATE,
    TEMPERATURE,
    TORQUE,
    VOLTAGE,
    Kind,
    Source,
    parse,
)  # fmt: skip

# Expected values are worked by hand from the international inch (25.4 mm) and foot (12 in).
NUMBERS = [
    (267, LENGTH, 267.0),
    (267.5, LENGTH, 267.5),
    ("267", LENGTH, 267.0),
    ("267 mm", LENGTH, 267.0),
    ("267mm", LENGTH, 267.0),
    ("  267   mm ", LENGTH, 267.0),
    (".5", LENGTH, 0.5),
    ("5.", LENGTH, 5.0),
    ("1e3", LENGTH, 1000.0),
    ("1.2E-1 m", LENGTH, 120.0),
    ("+5 mm", LENGTH, 5.0),
    ("-5 mm", LENGTH, -5.0),
    ("−5 mm", LENGTH, -5.0),  # the minus sign proper
    ("- 5 mm", LENGTH, -5.0),
    ("267\N{NO-BREAK SPACE}mm", LENGTH, 267.0),
    ("26.7 cm", LENGTH, 267.0),
    ("10 1/2 in", LENGTH, 266.7),
    ('10-1/2"', LENGTH, 266.7),
    ("10½ in", LENGTH, 266.7),
    ("10 ½ in", LENGTH, 266.7),
    ("10.5″", LENGTH, 266.7),
    ("10.5”", LENGTH, 266.7),
    ("½ in", LENGTH, 12.7),
    ("-¼ inch", LENGTH, -6.35),
    ("¾ inches", LENGTH, 19.05),
    ("3/8 in", LENGTH, 9.525),
    ("3/8", LENGTH, 0.375),
    ("5 ft", LENGTH, 1524.0),
    ("5'", LENGTH, 1524.0),
    ("5 ft 3 1/2 in", LENGTH, 1612.9),
    ("5' 3 1/2\"", LENGTH, 1612.9),
    ("5'3½\"", LENGTH, 1612.9),
    ("-5 ft 3 1/2 in", LENGTH, -1612.9),
    ("5 feet 3.5 inches", LENGTH, 1612.9),
    ("5′ 3″", LENGTH, 1600.2),
    ("20 thou", LENGTH, 0.508),
    ("35 g", MASS, 35.0),
    ("1.2 kg", MASS, 1200.0),
    ("180", ANGLE, math.pi),
    ("180°", ANGLE, math.pi),
    ("180 deg", ANGLE, math.pi),
    ("10800 arcmin", ANGLE, math.pi),
    ("1.5 rad", ANGLE, 1.5),
    ("7400 mV", VOLTAGE, 7.4),
    ("120 mA", CURRENT, 0.12),
    ("50 mohm", RESISTANCE, 0.05),
    ("2.2 kΩ", RESISTANCE, 2200.0),
    ("20 °C", TEMPERATURE, 20.0),
    ("785", TORQUE, 785.0),
    ("0.785 N·m", TORQUE, 785.0),
    ("0.785 Nm", TORQUE, 785.0),
    ("78.5 Ncm", TORQUE, 785.0),
    ("0.45 N/mm", SPRING_RATE, 0.45),
    ("1:10", RATIO, 0.1),
    ("1 : 9.4", RATIO, 1 / 9.4),
    ("2.6:1", RATIO, 2.6),
    ("35 %", RATIO, 0.35),
    ("35%", RATIO, 0.35),
    ("35 percent", RATIO, 0.35),
    ("0.35", RATIO, 0.35),
    ("1/10", RATIO, 0.1),
    ("20", COUNT, 20.0),
    (20, COUNT, 20.0),
    (20.0, COUNT, 20.0),
]


@pytest.mark.parametrize(("read", "kind", "value"), NUMBERS)
def test_value_is_the_float_nearest_to_what_is_written(read: str | float, kind: Kind, value: float) -> None:
    assert parse(read, kind).value == value


def test_ten_and_a_half_inches_is_exact() -> None:
    assert parse("10 1/2 in", LENGTH).value == float(10.5 * 25.4) == 266.7


@pytest.mark.parametrize(
    "text", ["8 kgf cm", "8 kg cm", "8 kg·cm", "8 kg*cm", "8 kg-cm", "8 kg.cm", "8kgcm", "8 kgfcm"]
)
def test_a_servo_label_in_kg_cm_means_a_weight_times_an_arm(text: str) -> None:
    assert parse(text, TORQUE).value == 784.532  # 8 x 9.80665 N x 10 mm


@pytest.mark.parametrize(
    ("read", "kind", "value", "half_width"),
    [
        ("267 ± 0.3 mm", LENGTH, 267.0, 0.3),
        ("267 mm ± 0.3", LENGTH, 267.0, 0.3),
        ("267 mm ± 0.3 mm", LENGTH, 267.0, 0.3),
        ("267±0.3", LENGTH, 267.0, 0.3),
        ("267 +/- 0.3", LENGTH, 267.0, 0.3),
        ("267 + / - 0.3", LENGTH, 267.0, 0.3),
        ("267 +- 0.3 mm", LENGTH, 267.0, 0.3),
        ("10 in ± 0.5 mm", LENGTH, 254.0, 0.5),
        ("10 ± 1/2 in", LENGTH, 254.0, 12.7),
        ("5 ft 3 in ± 1/8 in", LENGTH, 1600.2, 3.175),
        ("250 mm ± 2 %", LENGTH, 250.0, 5.0),
        ("-250 ± 2%", LENGTH, -250.0, 5.0),
        ("3 ± 5 mm", LENGTH, 3.0, 5.0),  # wider than the value: allowed
        ("20 degC ± 9 degF", TEMPERATURE, 20.0, 5.0),  # a spread has no zero to shift
        ("68 ± 9 degF", TEMPERATURE, 20.0, 5.0),
        ("1:10 ± 1 %", RATIO, 0.1, 0.001),
        ("1:10 ± 0.002", RATIO, 0.1, 0.002),
        ("0.85 ± 0.03", RATIO, 0.85, 0.03),
        ("85 % ± 3 %", RATIO, 0.85, 0.03),  # points, as the value itself is in points
        ("3.5 .. 4.2 V", VOLTAGE, 3.85, 0.35),
        ("3.5..4.2V", VOLTAGE, 3.85, 0.35),
        ("3.5 V .. 4.2 V", VOLTAGE, 3.85, 0.35),
        ("3.5 … 4.2 V", VOLTAGE, 3.85, 0.35),
        ("3 ... 4", VOLTAGE, 3.5, 0.5),
        ("-2 .. 3 deg", ANGLE, math.pi / 360, math.pi / 72),
        ("50 .. 68 degF", TEMPERATURE, 15.0, 5.0),
        ("4 .. 4 V", VOLTAGE, 4.0, 0.0),
        ("19 .. 21", COUNT, 20.0, 1.0),
    ],
)
def test_spreads_and_ranges(read: str, kind: Kind, value: float, half_width: float) -> None:
    got = parse(read, kind)
    assert (got.value, got.half_width) == (value, half_width)


@pytest.mark.parametrize(
    ("read", "source"),
    [
        ("267", Source.CALLIPERS),
        ("267 by ruler", Source.RULER),
        ("267 mm by Ruler", Source.RULER),
        ("267 from ruler", Source.RULER),
        ("267 by calipers", Source.CALLIPERS),
        ("267 by caliper", Source.CALLIPERS),
        ("267 by tape", Source.TAPE),
        ("267 from photo", Source.PHOTO),
        ("267 by  photo", Source.PHOTO),
        ("267 from label", Source.LABEL),
        ("2670 from published  data", Source.PUBLISHED),
        ("267 from scan", Source.SCAN),
        ("267 by computation", Source.COMPUTED),
        ("267 by choice", Source.CHOSEN),
        ("267 by guess", Source.GUESS),
        ("~267", Source.GUESS),
        ("~ 267 mm by guess", Source.GUESS),
        ("267 ± 1 mm by ruler", Source.RULER),
        ("266 .. 268 mm by ruler", Source.RULER),
    ],
)
def test_source_is_read_from_the_end_of_the_text(read: str, source: Source) -> None:
    assert parse(read, LENGTH).source is source


def test_every_source_has_its_own_phrase() -> None:
    for source in Source:
        assert parse(f"267 ± 1 mm {source.value}", LENGTH).source is source


def test_the_instrument_to_assume_is_the_callers_where_it_measures_the_kind() -> None:
    assert parse("267", LENGTH, source=Source.RULER).source is Source.RULER
    assert parse("267 by tape", LENGTH, source=Source.RULER).source is Source.TAPE
    assert parse("35", MASS, source=Source.RULER).source is Source.SCALES


@pytest.mark.parametrize("kind", KINDS)
def test_every_kinds_own_example_reads(kind: Kind) -> None:
    for example in kind.example.replace(" or ", ", ").split(", "):
        assert parse(example, kind).kind is kind


def test_pint_is_not_loaded_for_a_kinds_own_units() -> None:
    """Loading it takes half a second, which a file of bare numbers must not pay."""
    program = """
import sys
from coachwork.quantity import ANGLE, LENGTH, RATIO, RESISTANCE, TEMPERATURE, TORQUE, brief, parse, show
for text, kind in [(267, LENGTH), ("~ 267 ± 1 mm", LENGTH), ("2.5", ANGLE), ("2.5 deg", ANGLE), ("1:10", RATIO),
                   ("3 %", RATIO), ("3 ohm", RESISTANCE), ("20 °C", TEMPERATURE), ("785 N mm", TORQUE),
                   ("8 kgf cm", TORQUE), ("1 in", LENGTH)]:
    show(parse(text, kind)), brief(parse(text, kind))
assert "pint" not in sys.modules
parse("1 mile", LENGTH)
assert "pint" in sys.modules
"""
    subprocess.run([sys.executable, "-c", program], check=True)
