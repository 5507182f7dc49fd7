"""The unit of a mesh: told, said by the file, or the only one that makes a sensible length; else a question."""

from __future__ import annotations

import pytest

from coachwork.errors import Unsure
from coachwork.scans.units import MM_PER_UNIT, unit_of

LENGTH_MM = 448.0


@pytest.mark.parametrize("unit", MM_PER_UNIT)
def test_a_known_length_tells_every_unit(unit):
    found = unit_of(LENGTH_MM / MM_PER_UNIT[unit], asked=None, declared=None, expected_mm=450.0, told="the build")
    assert found.name == unit
    assert "the build makes it 450 mm long" in found.why


@pytest.mark.parametrize("unit", ["mm", "m", "ft"])
def test_without_a_known_length_any_shell_s_length_will_do(unit):
    assert unit_of(LENGTH_MM / MM_PER_UNIT[unit], asked=None, declared=None, expected_mm=None, told="").name == unit


def test_where_two_units_make_a_shell_both_are_named():
    """17.6 is 176 mm in centimetres and 448 mm in inches: both are lengths of shells."""
    with pytest.raises(Unsure, match=r"it could be cm or in\. Say which: --units"):
        unit_of(17.638, asked=None, declared=None, expected_mm=None, told="")


def test_where_none_does_that_is_said():
    with pytest.raises(Unsure, match="none of the usual units"):
        unit_of(30_000.0, asked=None, declared=None, expected_mm=450.0, told="the build")


def test_the_builder_s_word_is_taken():
    assert unit_of(17.638, asked="cm", declared="in", expected_mm=450.0, told="").name == "cm"


def test_the_file_s_word_is_taken_unless_the_length_speaks_against_it():
    in_metres = unit_of(0.448, asked=None, declared="m", expected_mm=None, told="")
    assert (in_metres.name, in_metres.mm) == ("m", 1000.0)
    # glTF says metres; many programs write millimetres all the same.
    wrong = unit_of(448.0, asked=None, declared="m", expected_mm=None, told="")
    assert wrong.name == "mm"
    assert "the file says m, which cannot be" in wrong.why
