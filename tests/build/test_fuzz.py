"""Whatever stands in the file, the answer is a build or a list of faults, never anything else."""

from __future__ import annotations

import tomllib
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from coachwork.build import read, read_text, with_entry
from coachwork.build.fields import NAME, Field, file_tables
from coachwork.errors import BuildRefused, CoachworkError

FIELDS = [field for outer in file_tables() for table in outer.walk() for field in table.fields]
VALID = """\
[build]
name = "Post van"
scale = "1:10"
[prototype]
length = 4100
[shell]
length = "410 ± 0.2 mm"   # twice
width = "6 1/2 in"
[shell.front]
top = 31.50
[running-gear]
drive = "shaft"
[running-gear.front]
kind = "camber-link"
hub-face = [0, 63.5, "20 mm"]
arm-pin-front = [
  15,
  "?",
  5,
]
wheel = { inset = -3, tyre-diameter = 66 }
[running-gear.front.links.panhard]
axle = { x = 1, z = 3 }
[details."rain gutter"]
along = "height"
shell = "~ 31"
"""
# Values of every type TOML has, plausible and not.
SCALARS = st.one_of(
    st.booleans(), st.integers(), st.integers(min_value=10**400, max_value=10**401), st.floats(), st.text(),
    st.dates(), st.datetimes(), st.times(),
    st.text(alphabet="0123456789.,/ ±~+-:'\"°½mincgdeft%byrule", max_size=30),
    st.sampled_from(["?", "", "267 mm", "1:10", "10 1/2 in", "nan", "inf", "1e999", "3 .. 2 mm", "by ruler", "1/0 mm"]),
)  # fmt: skip
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=7), st.dictionaries(st.sampled_from(["x", "y", "z", "q", "length"]), inner, max_size=3)
    ),
    max_leaves=8,
)


def build_or_faults(text: str) -> None:
    """Read a text; whatever else than a build or a list of faults comes out fails the test by itself."""
    faults = []
    try:
        read_text(text, Path("build.toml"))
    except BuildRefused as refused:
        faults = refused.faults or [None]
    for fault in faults:
        assert fault is not None, "refused without a fault"
        assert fault.wanted
        assert fault.line is None or 1 <= fault.line <= text.count("\n") + 1
        assert "\n" not in str(fault)


def toml(value: object) -> str:
    """A value as TOML; ours, since the library reads only."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            plain = (c if c.isprintable() and c not in '"\\' else f"\\U{ord(c):08x}" for c in value)
            return '"' + "".join(plain) + '"'
        case float():
            return repr(value)
        case int():
            return str(value) if abs(value) < 10**300 else hex(value) if value >= 0 else "0"
        case list():
            return "[" + ", ".join(map(toml, value)) + "]"
        case dict():
            return "{ " + ", ".join(f"{toml(k)} = {toml(v)}" for k, v in value.items()) + " }"
    return value.isoformat()  # type: ignore[attr-defined]  # dates and times


@settings(max_examples=200)
@given(st.binary(max_size=300))
def test_any_bytes(tmp_path_factory: pytest.TempPathFactory, raw: bytes):
    path = tmp_path_factory.mktemp("fuzz") / "build.toml"
    path.write_bytes(raw)
    with suppress(BuildRefused):
        read(path)


@settings(max_examples=200)
@given(st.text(alphabet="[]{}=.,#\"'\\\n\t \r abxyz-0123456789", max_size=80))
@example("[" * 2000)
@example("a = " + "[" * 2000)
@example("a = " + "{b = " * 2000)
@example("a." * 3000 + "b = 1")
@example("[shell]\nlength = " + "1" * 5000)
@example('[shell]\nlength = """\n' + "x\n" * 500)
@example("\r[shell]")
@example("[shell]\nlength = 1\n[shell.length]\nx = 1")
@example("[[running-gear.front]]\nkind = 3\n[running-gear.front.right]\nx = 1")
@example("[details]\nalong = 'length'\n'' = 1\n[details.'']\n\"\\n\" = 2")
def test_any_text_that_looks_like_toml(text: str):
    build_or_faults(text)


@settings(max_examples=200)
@given(st.data())
def test_a_valid_file_with_some_of_it_changed(data: st.DataObject):
    text = VALID
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        until = data.draw(st.integers(at, min(len(text), at + 12)))
        put = data.draw(
            st.one_of(st.just(""), st.text(max_size=3), st.sampled_from(list("[]{}=.,#\"'\n0 ")), st.just(VALID[:40]))
        )
        text = text[:at] + put + text[until:]
    build_or_faults(text)


@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(FIELDS), VALUES)
def test_any_type_at_every_key(field: Field, value: object):
    key = field.key.replace(NAME, '"a.b"')
    text = f"{key} = {toml(value)}\n"
    try:
        tomllib.loads(text)
    except (ValueError, RecursionError):
        return  # numbers too long for TOML; the syntax tests have those
    build_or_faults(text)


@pytest.mark.parametrize("value", ["true", "1979-05-27", "[]", "{}", "[[1]]", '"x"', "nan", "-1", "1e300", "[1,2,3]"])
def test_each_type_at_each_key(value: str):
    """The same without chance: all 600 keys, ten awkward values."""
    for field in FIELDS:
        build_or_faults(f"{field.key.replace(NAME, 'a')} = {value}")


@settings(max_examples=200)
@given(st.sampled_from(FIELDS), st.one_of(st.text(max_size=20), st.floats(), st.sampled_from(["267", "1.50", "?"])))
def test_a_number_put_in_is_refused_or_changes_nothing_else(field: Field, value: str | float):
    key = field.key.replace(NAME, "a b")
    try:
        text = with_entry(VALID, key, value)
    except CoachworkError:
        return
    assert "# twice" in text
    assert less(tomllib.loads(text), key.split(".")) == less(tomllib.loads(VALID), key.split("."))
    assert key.split(".")[-1] in text


def less(tables: dict[str, object], path: list[str]) -> dict[str, object]:
    """Tables without one key and without tables that hold nothing."""
    found: dict[str, object] = {}
    for name, item in tables.items():
        if name == path[0] and (len(path) == 1 or not isinstance(item, dict)):
            continue
        item = less(item, path[1:] if name == path[0] else ["-"]) if isinstance(item, dict) else item
        if item != {}:
            found[name] = item
    return found
