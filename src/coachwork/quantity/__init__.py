"""Measured numbers: how a builder writes them, what they are worth, how far they may be off.

Every number in a build file is a `Measured`: a value in its kind's internal unit, a half-width, a source. `parse` reads
one, `show` writes it so that it reads back the same, `brief` rounds it for people.

>>> wheelbase = parse("267 ± 0.3 mm by ruler", LENGTH, sign="positive")
>>> brief(wheelbase), show(wheelbase)
('267.0 ± 0.3 mm', '267 ± 0.3 mm by ruler')
"""

from coachwork.quantity.errors import Unreadable
from coachwork.quantity.grammar import parse
from coachwork.quantity.kinds import (
    ANGLE,
    AREA,
    CHARGE,
    COUNT,
    CURRENT,
    DENSITY,
    ENERGY,
    FORCE,
    FREQUENCY,
    KINDS,
    LENGTH,
    MASS,
    MINUTES,
    MOTOR_CONSTANT,
    POWER,
    PULSE,
    RATIO,
    RESISTANCE,
    ROTATION,
    SPEED,
    SPRING_RATE,
    STRESS,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    TIME,
    TORQUE,
    VISCOSITY,
    VOLTAGE,
    VOLUME,
    Kind,
    Sign,
)
from coachwork.quantity.measured import Measured
from coachwork.quantity.sources import Source
from coachwork.quantity.spreads import DEFAULT, Spread, Spreads
from coachwork.quantity.units import OtherKind, UnknownUnit
from coachwork.quantity.writing import brief, show

__all__ = [
    "ANGLE", "AREA", "CHARGE", "COUNT", "CURRENT", "DEFAULT", "DENSITY", "ENERGY", "FORCE", "FREQUENCY", "KINDS",
    "LENGTH", "MASS", "MINUTES", "MOTOR_CONSTANT", "POWER", "PULSE", "RATIO", "RESISTANCE", "ROTATION", "SPEED",
    "SPRING_RATE", "STRESS", "TEMPERATURE", "THERMAL_RESISTANCE", "TIME", "TORQUE", "VISCOSITY", "VOLTAGE", "VOLUME",
    "Kind", "Measured", "OtherKind", "Sign", "Source", "Spread", "Spreads", "UnknownUnit", "Unreadable", "brief",
    "parse", "show",
]  # fmt: skip
