"""What is written reads back the same; what is rounded is rounded to the place of its spread."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from coachwork.quantity import (
    ANGLE,
    COUNT,
    KINDS,
    LENGTH,
    MASS,
    RATIO,
    TEMPERATURE,
    Kind,
    Measured,
    OtherKind,
    Source,
    UnknownUnit,
    brief,
    parse,
    show,
)  # fmt: skip

finite = st.floats(allow_nan=False, allow_infinity=False)
everyday = st.floats(-1e5, 1e5) | st.decimals(-5000, 5000, places=2).map(float)


def measured(kind: Kind, values: st.SearchStrategy[float]) -> st.SearchStrategy[Measured]:
    """Values of one kind, with spreads from the same range."""
    value = st.integers(-(2**53), 2**53).map(float) if kind.whole else values
    return st.builds(Measured, value, values.map(abs), st.sampled_from(Source), st.just(kind))


any_measured = st.sampled_from(KINDS).flatmap(lambda kind: measured(kind, finite | everyday))


@settings(deadline=None)  # the first one loads pint
@given(any_measured)
@example(Measured(1.7976931348623157e308, 5e-324, Source.SCAN, ANGLE))
def test_parse_undoes_show(value: Measured) -> None:
    assert parse(show(value), value.kind) == value


IN_OTHER_UNITS = [(kind, unit) for kind in KINDS for unit in kind.units]


@settings(max_examples=500, deadline=None)
@given(st.sampled_from(IN_OTHER_UNITS).flatmap(lambda pair: st.tuples(measured(pair[0], everyday), st.just(pair[1]))))
@example((Measured(20.0, 1.0, Source.METER, TEMPERATURE), "degF"))  # a spread is not shifted with the zero
@example((Measured(1e-300, 0.0, Source.GUESS, TEMPERATURE), "degF"))
@example((Measured(7.3, 0.3, Source.RULER, LENGTH), "in"))
def test_parse_undoes_show_in_every_unit_we_suggest(pair: tuple[Measured, str]) -> None:
    value, unit = pair
    assert parse(show(value, unit), value.kind) == value


@settings(deadline=None)
@given(measured(LENGTH, finite), st.sampled_from(["in", "ft", "thou", "yd"]))
def test_parse_undoes_show_in_imperial_over_all_floats(value: Measured, unit: str) -> None:
    assert parse(show(value, unit), LENGTH) == value


@pytest.mark.parametrize(
    ("read", "kind", "text"),
    [
        ("267", LENGTH, "267 ± 0.1 mm by callipers"),
        ("5' 3 1/2\"", LENGTH, "1612.9 ± 0.1 mm by callipers"),
        ("200", LENGTH, "200 ± 0.1 mm by callipers"),
        ("30", ANGLE, "30 ± 0.5 deg by gauge"),
        ("1:10", RATIO, "0.1 ± 0 from label"),
        ("20", COUNT, "20 ± 0 by counting"),
        ("~35 g", MASS, "35 ± 7 g by guess"),
    ],
)
def test_canonical_text(read: str, kind: Kind, text: str) -> None:
    assert show(parse(read, kind)) == text


def test_show_in_percent_carries_the_sign_twice() -> None:
    assert show(parse("85 % ± 3 %", RATIO), "%") == "85 % ± 3 % from label"


@pytest.mark.parametrize(
    ("read", "kind", "unit", "text"),
    [
        ("267", LENGTH, None, "267.0 ± 0.1 mm"),
        ("267 ± 0.15", LENGTH, None, "267.00 ± 0.15 mm"),
        ("267 ± 0.0999", LENGTH, None, "267.0 ± 0.1 mm"),
        ("1234 ± 100", LENGTH, None, "1200 ± 100 mm"),
        ("267 by choice", LENGTH, None, "267 mm"),
        ("267.123 ± 0.3", LENGTH, "in", "10.517 ± 0.012 in"),
        ("2.5", ANGLE, None, "2.5 ± 0.5 deg"),
        ("20", COUNT, None, "20"),
        ("0.85 ± 0.03", RATIO, "%", "85 % ± 3 %"),
        ("68 degF ± 1 degF", TEMPERATURE, "degF", "68 ± 1 degF"),
    ],
)
def test_brief_rounds_to_the_place_of_the_spread(read: str, kind: Kind, unit: str | None, text: str) -> None:
    assert brief(parse(read, kind), unit) == text


def test_writing_in_a_unit_that_does_not_fit_is_an_error() -> None:
    length = parse("267", LENGTH)
    with pytest.raises(OtherKind):
        show(length, "g")
    with pytest.raises(UnknownUnit):
        brief(length, "mmm")
