"""A measured value, and the spread assumed where none is stated."""

import math

import numpy as np
import pytest

from coachwork.quantity import (
    ANGLE,
    CHARGE,
    COUNT,
    CURRENT,
    DEFAULT,
    KINDS,
    LENGTH,
    MASS,
    RATIO,
    TEMPERATURE,
    TORQUE,
    VOLTAGE,
    Kind,
    Measured,
    Source,
    Spread,
    parse,
)  # fmt: skip


def test_sigma_is_that_of_a_rectangular_distribution() -> None:
    """JCGM 100:2008, 4.3.7 (variance a**2/3), checked by sampling rather than by the same formula."""
    samples = np.random.default_rng(1).uniform(-0.3, 0.3, 1_000_000)
    sigma = Measured(267.0, 0.3, Source.CALLIPERS, LENGTH).sigma
    # Standard error of the sampled deviation: 0.45 sigma / sqrt(1e6), so 1 % is over twenty of them.
    assert sigma == pytest.approx(samples.std(), rel=0.01)


def test_worked_example_of_the_guide() -> None:
    """JCGM 100:2008, F.2.2.1: a digital display with step dx has u = 0.29 dx (from memory)."""
    assert parse("7.4 V from label", VOLTAGE).sigma == pytest.approx(0.29 * 0.1, rel=0.01)


def test_low_and_high() -> None:
    value = Measured(10.0, 0.5, Source.RULER, LENGTH)
    assert (value.low, value.high) == (9.5, 10.5)


@pytest.mark.parametrize(
    ("value", "half_width", "kind", "message"),
    [
        (math.nan, 0.0, LENGTH, "a measured value must be a finite number, not nan"),
        (math.inf, 0.0, LENGTH, "a measured value must be a finite number, not inf"),
        (1.0, -0.1, LENGTH, "a half-width must be a finite number and not negative, not -0.1"),
        (1.0, math.nan, LENGTH, "a half-width must be a finite number and not negative, not nan"),
        (1.0, math.inf, LENGTH, "a half-width must be a finite number and not negative, not inf"),
        (1.5, 0.0, COUNT, "a count must be a whole number, not 1.5"),
    ],
)
def test_impossible_values_are_refused(value: float, half_width: float, kind: Kind, message: str) -> None:
    with pytest.raises(ValueError, match="^" + message + "$"):
        Measured(value, half_width, Source.COMPUTED, kind)


DEG = math.pi / 180


@pytest.mark.parametrize(
    ("read", "kind", "half_width"),
    [
        ("267 by callipers", LENGTH, 0.1),
        ("267 by ruler", LENGTH, 0.5),
        ("1 m by tape", LENGTH, 1.0),
        ("267 from photo", LENGTH, 5.34),
        ("267 from scan", LENGTH, 0.3),
        ("2670 from published data", LENGTH, 5.0),
        ("1200 kg from published data", MASS, 12_000.0),
        ("267 by choice", LENGTH, 0.0),
        ("~ 35 g", MASS, 7.0),
        ("~ -35 mm", LENGTH, 7.0),
        ("35 g", MASS, 1.0),
        ("2.5", ANGLE, 0.5 * DEG),
        ("~ 0", ANGLE, 2 * DEG),
        ("~ 0 degC", TEMPERATURE, 5.0),
        ("20 degC", TEMPERATURE, 2.0),
        ("12 V", VOLTAGE, 0.06),
        ("0.5 V", VOLTAGE, 0.01),
        ("10 A", CURRENT, 0.15),
        ("7.4 V from label", VOLTAGE, 0.05),
        ("7.40 V from label", VOLTAGE, 0.005),
        ("5000 mAh from label", CHARGE, 0.5),
        ("5 Ah from label", CHARGE, 500.0),
        ("1e3 mAh from label", CHARGE, 500.0),
        ("8 kg cm", TORQUE, 49.03325),  # half of 1 kgf cm
        ("3/8 in from label", LENGTH, 25.4 / 16),
        ("5 ft 3.5 in from label", LENGTH, 1.27),
        ("1:10", RATIO, 0.0),
        ("20", COUNT, 0.0),
    ],
)
def test_spread_assumed_when_none_is_stated(read: str, kind: Kind, half_width: float) -> None:
    assert parse(read, kind).half_width == pytest.approx(half_width, rel=1e-15)


def test_every_kind_has_a_rule_for_its_usual_source_and_for_a_guess() -> None:
    for kind in KINDS:
        for source in (kind.usual, Source.LABEL, Source.PUBLISHED, Source.COMPUTED, Source.CHOSEN, Source.GUESS):
            assert DEFAULT.of(source, kind) is not None, (kind.name, source)


def test_spreads_can_be_set_without_touching_the_defaults() -> None:
    mine = DEFAULT.replacing(Source.RULER, LENGTH, Spread(absolute=0.25)).replacing(
        Source.GUESS, None, Spread(relative=0.5)
    )
    assert parse("267 by ruler", LENGTH, spreads=mine).half_width == 0.25
    assert parse("~ 100", LENGTH, spreads=mine).half_width == 50.0
    assert parse("267 by ruler", LENGTH).half_width == 0.5


def test_a_stated_spread_beats_every_default() -> None:
    assert parse("267 ± 3 mm by choice", LENGTH).half_width == 3.0
    assert parse("~ 35 ± 2 g", MASS).half_width == 2.0
