"""What a number can be: a length, a mass, an angle and so on, each with its units.

A new kind is one line here and, where an instrument measures it, one line in `spreads`.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from coachwork.quantity.sources import Source

Sign = Literal["any", "not negative", "positive"]
"""Which signs a use of a kind allows: a camber angle is "any", a wheelbase "positive"."""

# The first 50 digits of pi, so that a bare 30 and "30 deg" are the same number to the last bit.
_RAD_PER_DEG = Fraction("3.1415926535897932384626433832795028841971693993751") / 180


@dataclass(frozen=True)
class Kind:
    """A kind of quantity.

    name      : one word for tables and keys
    unit      : internal unit, the one `Measured.value` is in
    dimension : phrase for sentences, "a length"
    example   : how a builder may write one
    usual     : what it is measured with when nobody says
    bare_unit : unit that a bare number in the file means, and `bare_scale`, its size in the internal unit
    units     : units a builder may well use; only for suggestions, others of the dimension are read as well
    whole     : only whole numbers, and no unit
    """

    name: str
    unit: str
    dimension: str
    example: str
    usual: Source
    units: tuple[str, ...] = ()
    bare_unit: str = ""
    bare_scale: Fraction = Fraction(1)
    whole: bool = False

    def __hash__(self) -> int:
        return hash(self.name)

    def __post_init__(self) -> None:
        if not self.bare_unit:
            object.__setattr__(self, "bare_unit", self.unit)

    @property
    def wanted(self) -> str:
        """What to write, for an error.

        >>> LENGTH.wanted
        'a length, such as 267 mm or 10 1/2 in'
        """
        return f"{self.dimension}, such as {self.example}"

    @property
    def wish(self) -> str:
        """The same as the half of a sentence.

        >>> MASS.wish
        'a mass is wanted here, such as 35 g or 1.2 kg'
        """
        return f"{self.dimension} is wanted here, such as {self.example}"


LENGTH = Kind(
    "length", "mm", "a length", "267 mm or 10 1/2 in", Source.CALLIPERS, ("mm", "cm", "m", "in", "inch", "ft", "thou")
)
AREA = Kind("area", "mm^2", "an area", "12 cm^2", Source.CALLIPERS, ("mm^2", "cm^2", "in^2"))
VOLUME = Kind("volume", "cm^3", "a volume", "30 cm^3 or 30 ml", Source.LABEL, ("cm^3", "mm^3", "ml", "L"))
MASS = Kind("mass", "g", "a mass", "35 g or 1.2 kg", Source.SCALES, ("g", "kg", "mg", "oz", "lb"))
ANGLE = Kind("angle", "rad", "an angle", "2.5 deg", Source.GAUGE, ("deg", "rad", "arcmin"), "deg", _RAD_PER_DEG)
TIME = Kind("time", "s", "a time", "90 s or 25 min", Source.METER, ("s", "ms", "min", "h"))
MINUTES = Kind("minutes", "s", "a time", "25 min or 90 s", Source.METER, ("min", "s", "h"), "min", Fraction(60))
PULSE = Kind("pulse", "us", "a pulse's length", "1520 us", Source.METER, ("us", "ms"))
SPEED = Kind("speed", "mm/s", "a speed", "12 km/h", Source.METER, ("mm/s", "m/s", "km/h", "mph"))
ROTATION = Kind("rotation", "rpm", "a rotational speed", "14000 rpm", Source.LABEL, ("rpm",))
FREQUENCY = Kind("frequency", "Hz", "a frequency", "50 Hz", Source.LABEL, ("Hz", "kHz"))
FORCE = Kind("force", "N", "a force", "5 N or 0.5 kgf", Source.SCALES, ("N", "mN", "kN", "kgf", "gf", "lbf", "ozf"))
TORQUE = Kind("torque", "N mm", "a torque", "8 kgf cm or 785 N mm", Source.LABEL, ("N mm", "N cm", "N m", "kgf cm"))
SPRING_RATE = Kind(
    "spring rate", "N/mm", "a spring rate", "0.45 N/mm", Source.LABEL, ("N/mm", "N/m", "gf/mm", "kgf/mm", "lbf/in")
)
STRESS = Kind("stress", "MPa", "a stress", "45 MPa", Source.PUBLISHED, ("MPa", "GPa", "kPa", "N/mm^2", "psi", "bar"))
DENSITY = Kind("density", "g/cm^3", "a density", "1.24 g/cm^3", Source.PUBLISHED, ("g/cm^3", "kg/m^3"))
VOLTAGE = Kind("voltage", "V", "a voltage", "7.4 V", Source.METER, ("V", "mV"))
CURRENT = Kind("current", "A", "a current", "2.5 A or 120 mA", Source.METER, ("A", "mA"))
RESISTANCE = Kind("resistance", "ohm", "a resistance", "0.05 ohm or 50 mohm", Source.METER, ("ohm", "mohm", "kohm"))
POWER = Kind("power", "W", "a power", "60 W", Source.LABEL, ("W", "mW", "kW", "hp"))
ENERGY = Kind("energy", "W h", "an energy", "37 W h", Source.LABEL, ("W h", "Wh", "J", "kJ"))
CHARGE = Kind("charge", "mAh", "a charge", "5000 mAh", Source.LABEL, ("mAh", "Ah"))
MOTOR_CONSTANT = Kind("motor constant", "rpm/V", "a motor constant", "3300 rpm/V", Source.LABEL, ("rpm/V",))
TEMPERATURE = Kind("temperature", "degC", "a temperature", "20 degC", Source.METER, ("degC", "degF", "K"))
THERMAL_RESISTANCE = Kind(
    "thermal resistance", "K/W", "a thermal resistance", "12 K/W", Source.PUBLISHED, ("K/W", "degC/W")
)
VISCOSITY = Kind("viscosity", "mm^2/s", "a viscosity", "350 cSt", Source.LABEL, ("cSt", "mm^2/s"))
RATIO = Kind("ratio", "", "a ratio", "1:10, 0.35 or 35 %", Source.LABEL, ("%",))
COUNT = Kind("count", "", "a count", "20", Source.COUNTING, whole=True)

KINDS = (
    LENGTH, AREA, VOLUME, MASS, ANGLE, TIME, MINUTES, PULSE, SPEED, ROTATION, FREQUENCY, FORCE, TORQUE, SPRING_RATE,
    STRESS, DENSITY, VOLTAGE, CURRENT, RESISTANCE, POWER, ENERGY, CHARGE, MOTOR_CONSTANT, TEMPERATURE,
    THERMAL_RESISTANCE, VISCOSITY, RATIO, COUNT,
)  # fmt: skip
"""Every kind; where two share a dimension (torque and energy, time and pulse) the first one names it in messages."""
