"""Any text, and any text made of the grammar's own pieces, ends as a number or as a refusal in one line."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from coachwork.quantity import KINDS, Kind, Measured, Source, Unreadable, parse, show

PIECES = [
    "~", "±", "+/-", "+-", "..", "...", "…", ":", "/", "-", "−", "+", ".", ",", "'", "\"", "''", "″", "%", "½", "¾",
    "0", "1", "3", "10", "267", "1/2", "3/8", "1/0", "267.5", ".5", "1e3", "1e999", "e", "E-5", "mm", "in", "ft",
    "g", "kg", "cm", "V", "mV", "deg", "°", "°C", "degF", "K", "rad", "N", "kgf", "ohm", "Ω", "·", "*", "**", "^",
    "2", "²", "dB", "delta_degC", "lambda", "nan", "inf", "∞", "pi", "by", "from", "ruler", "photo", "guess",
    "spoon", " ", "  ", "\n", "(", ")", "_", "\0", "١", "one",
]  # fmt: skip
from_pieces = st.lists(st.sampled_from(PIECES), max_size=9).flatmap(
    lambda pieces: st.sampled_from(["".join(pieces), " ".join(pieces)])
)
any_kind = st.sampled_from(KINDS)
any_sign = st.sampled_from(["any", "not negative", "positive"])


def check(read: Any, kind: Kind, sign: Any) -> None:
    try:
        got = parse(read, kind, sign=sign)
    except Unreadable as refusal:
        sentence = str(refusal)
        assert sentence
        assert sentence.isprintable()
        assert len(sentence) < 300
    else:
        assert isinstance(got, Measured)
        assert sign == "any" or got.value >= 0
        assert sign != "positive" or got.value > 0
        assert parse(show(got), kind) == got


@settings(deadline=None)  # the first one loads pint
@given(st.text(), any_kind, any_sign)
def test_any_text(read: str, kind: Kind, sign: str) -> None:
    check(read, kind, sign)


@settings(max_examples=1000, deadline=None)
@given(from_pieces, any_kind, any_sign)
def test_any_text_from_the_grammars_own_pieces(read: str, kind: Kind, sign: str) -> None:
    check(read, kind, sign)


@settings(max_examples=500, deadline=None)
@given(st.sampled_from(KINDS), st.sampled_from(Source), st.floats(), st.sampled_from(PIECES), st.sampled_from(PIECES))
def test_any_number_with_any_tail(kind: Kind, source: Source, number: float, first: str, second: str) -> None:
    check(f"{number!r} {first}{second}", kind, "any")
    check(f"{number!r} {first} {second} {source.value}", kind, "any")


@settings(deadline=None)
@given(
    st.integers() | st.floats() | st.booleans() | st.none() | st.lists(st.integers()) | st.dates() | st.times()
    | st.binary() | st.complex_numbers() | st.dictionaries(st.text(), st.integers()),
    any_kind,
    any_sign,
)  # fmt: skip
def test_any_value_a_file_could_hold(read: Any, kind: Kind, sign: str) -> None:
    check(read, kind, sign)
