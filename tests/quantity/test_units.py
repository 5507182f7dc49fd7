"""Units against the documents that define them, not against the library that converts them."""

import math
from fractions import Fraction

import pint
import pytest

from coachwork.quantity import (
    ANGLE,
    CHARGE,
    CURRENT,
    DENSITY,
    ENERGY,
    FORCE,
    KINDS,
    LENGTH,
    MASS,
    POWER,
    ROTATION,
    SPEED,
    SPRING_RATE,
    STRESS,
    TEMPERATURE,
    TIME,
    TORQUE,
    VOLUME,
    Kind,
    parse,
)
from coachwork.quantity.units import EVERYDAY

# Definitions, each exact; quoted from memory, the documents were not opened here.
DEFINED = [
    ("1 in", LENGTH, 25.4),  # international yard and pound agreement, 1959: 1 yd = 0.9144 m
    ("1 ft", LENGTH, 304.8),
    ("1 yd", LENGTH, 914.4),
    ("1 thou", LENGTH, 0.0254),
    ("1 lb", MASS, 453.59237),  # the same agreement
    ("1 oz", MASS, 28.349523125),  # a sixteenth of it
    ("1 kgf", FORCE, 9.80665),  # standard gravity, 3rd CGPM, 1901
    ("1 gf", FORCE, 0.00980665),
    ("1 lbf", FORCE, 4.4482216152605),  # 0.45359237 x 9.80665
    ("1 kg cm", TORQUE, 98.0665),
    ("1 oz in", TORQUE, 7.06155181422604375),  # 0.028349523125 x 9.80665 x 25.4
    ("1 kg/mm", SPRING_RATE, 9.80665),
    ("1 lb/in", SPRING_RATE, 4.4482216152605 / 25.4),
    ("273.15 K", TEMPERATURE, 0.0),  # SI brochure, 9th edition, 2.3.1: t/degC = T/K - 273.15
    ("32 degF", TEMPERATURE, 0.0),
    ("212 °F", TEMPERATURE, 100.0),
    ("-40 degF", TEMPERATURE, -40.0),  # where the two scales meet
    ("1 h", TIME, 3600.0),  # SI brochure, table 8
    ("1 min", TIME, 60.0),
    ("36 km/h", SPEED, 10000.0),
    ("1 mph", SPEED, 447.04),  # 1609.344 m in 3600 s
    ("1 turn/min", ROTATION, 1.0),
    ("1 Ah", CHARGE, 1000.0),
    ("3600 J", ENERGY, 1.0),
    ("1 psi", STRESS, 4.4482216152605 / 25.4**2),
    ("1 N/mm^2", STRESS, 1.0),
    ("1 N/mm²", STRESS, 1.0),
    ("1 N/mm2", STRESS, 1.0),
    ("1 bar", STRESS, 0.1),  # SI brochure, table 8 of the 8th edition
    ("1000 kg/m^3", DENSITY, 1.0),
    ("1 L", VOLUME, 1000.0),
    ("1 kW", POWER, 1000.0),
    ("1 uA", CURRENT, 1e-6),
    ("1 µA", CURRENT, 1e-6),
    ("360 deg", ANGLE, math.tau),
    ("1 turn", ANGLE, math.tau),
]


@pytest.mark.parametrize(("text", "kind", "value"), DEFINED)
def test_unit_has_its_defined_size(text: str, kind: Kind, value: float) -> None:
    # The expected floats above may themselves carry a few roundings of 1.1e-16; ours carries one.
    assert parse(text, kind).value == pytest.approx(value, rel=5e-16, abs=0)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.units])
def test_pint_agrees_in_ordinary_floats(kind: Kind) -> None:
    """A second registry, in floats and with its own reader; ours is in fractions and is asked for by texts."""
    registry = pint.UnitRegistry()
    for unit in kind.units:
        theirs = registry.Quantity(3.0, unit.replace("gf", "gram_force") if unit.startswith("gf") else unit)
        assert parse(f"3 {unit}", kind).value == pytest.approx(theirs.to(kind.unit).magnitude, rel=1e-12)


def test_degrees_use_the_digits_of_pi_that_the_units_library_uses() -> None:
    assert ANGLE.bare_scale == pint.UnitRegistry(non_int_type=Fraction).Quantity(Fraction(1), "deg").to("rad").magnitude


def test_the_shared_registry_of_pint_is_left_alone() -> None:
    before = pint.get_application_registry().get()
    parse("1 in", LENGTH)
    assert pint.get_application_registry().get() is before


@pytest.mark.parametrize(("kind_name", "unit"), sorted(EVERYDAY))
def test_everyday_units_are_what_pint_says(kind_name: str, unit: str) -> None:
    """Bit for bit, so that the few units known without pint cannot be worth anything else than with it."""
    kind = next(kind for kind in KINDS if kind.name == kind_name)
    one = pint.UnitRegistry(non_int_type=Fraction).Quantity(Fraction(1), unit)

    assert EVERYDAY[kind_name, unit] == one.to(kind.unit).magnitude
