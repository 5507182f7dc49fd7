"""Entries of the build file: a place for a measured number, filled or still blank.

A section's field is never a bare float and never None. It is an `Entry` that knows its key in the file, how to
measure it, and the `Measured` it holds, if any. A study takes its number with the unit in the name
(`shell.wheelbase.mm`), always an array over samples: one sample for the plain answer, many when spreads are
carried through. Taking a number that is blank raises `NotMeasured`, which names the key.

    entry = Length(measured, key="shell.wheelbase", ...)
    entry.mm        -> array (samples,)          entry.known -> bool
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, ClassVar, Literal, Protocol, Self

import numpy as np
from numpy.typing import NDArray
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from coachwork.quantity import (
    ANGLE,
    AREA,
    CHARGE,
    COUNT,
    CURRENT,
    DEFAULT,
    LENGTH,
    MASS,
    MINUTES,
    MOTOR_CONSTANT,
    POWER,
    PULSE,
    RATIO,
    RESISTANCE,
    SPEED,
    SPRING_RATE,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    TIME,
    TORQUE,
    VISCOSITY,
    VOLTAGE,
    Kind,
    Measured,
    Source,
    Spreads,
    Unreadable,
    parse,
)

Numbers = NDArray[np.float64]
BLANKS = ("", "?")  # what a builder writes for "not yet"


class Typed(float):
    """A float that remembers its digits: `12.50` on a label says more than 12.5."""

    text: str


def as_typed(text: str) -> Typed:
    """A number of the file, for the TOML reader."""
    number = Typed(text)
    number.text = text.replace("_", "")
    return number


class NotMeasured(Exception):
    """A number is needed that the build does not hold yet."""

    def __init__(self, entries: Iterable[Entry | str]) -> None:
        self.keys = tuple(dict.fromkeys(e if isinstance(e, str) else e.key for e in entries))
        super().__init__(", ".join(self.keys))


class View(Protocol):
    """How a study sees the entries: as they are, or as many samples; and a record of what it looked at."""

    def look(self, entry: Entry) -> Numbers:
        """Samples of a known entry, in the internal unit, shape (samples,)."""

    def note(self, entry: Entry) -> None:
        """Record that the study asked whether this entry is known."""


@dataclass(frozen=True)
class Entry:
    """One number of the build file; subclasses say what kind of number."""

    KIND: ClassVar[Kind]

    measured: Measured | None = None
    key: str = ""
    how: str = ""  # what to put the callipers on
    stand_in: Measured | None = None  # a wide guess to go on with while this is blank
    view: View | None = field(default=None, compare=False, repr=False)

    @property
    def known(self) -> bool:
        """Whether a number can be taken: measured, or a stand-in guess exists."""
        if self.view is not None:
            self.view.note(self)
        return self.best is not None

    @property
    def given(self) -> bool:
        """Whether the builder gave this number (a stand-in does not count)."""
        if self.view is not None:
            self.view.note(self)
        return self.measured is not None

    @property
    def best(self) -> Measured | None:
        """The measurement, or the stand-in while there is none. For reports; studies take numbers by unit."""
        return self.measured if self.measured is not None else self.stand_in

    def samples(self) -> Numbers:
        """The number over samples, in the internal unit, shape (samples,). Raises NotMeasured when blank."""
        if not self.known:
            raise NotMeasured([self])
        best = self.best
        assert best is not None
        return self.view.look(self) if self.view is not None else np.array([best.value])

    def seen_by(self, view: View | None) -> Self:
        """The same entry, seen through a view."""
        # Not `replace`, which is six times slower: this is called for every entry of every run.
        seen = object.__new__(type(self))
        seen.__dict__.update(self.__dict__)
        seen.__dict__["view"] = view
        return seen


class Length(Entry):
    """Millimetres."""

    KIND = LENGTH

    @property
    def mm(self) -> Numbers:
        """Millimetres, (samples,)."""
        return self.samples()


class Area(Entry):
    """Square millimetres."""

    KIND = AREA

    @property
    def mm2(self) -> Numbers:
        """Square millimetres, (samples,)."""
        return self.samples()


class Mass(Entry):
    """Grams."""

    KIND = MASS

    @property
    def g(self) -> Numbers:
        """Grams, (samples,)."""
        return self.samples()


class Angle(Entry):
    """Radians inside, degrees in the file."""

    KIND = ANGLE

    @property
    def rad(self) -> Numbers:
        """Radians, (samples,)."""
        return self.samples()


class Ratio(Entry):
    """A pure number: a scale, a coefficient."""

    KIND = RATIO

    @property
    def ratio(self) -> Numbers:
        """Dimensionless, (samples,)."""
        return self.samples()


class Count(Entry):
    """Whole things: teeth, screws."""

    KIND = COUNT

    @property
    def count(self) -> Numbers:
        """How many, (samples,)."""
        return self.samples()


class Torque(Entry):
    """Newton millimetres."""

    KIND = TORQUE

    @property
    def n_mm(self) -> Numbers:
        """Newton millimetres, (samples,)."""
        return self.samples()


class Time(Entry):
    """Seconds."""

    KIND = TIME

    @property
    def s(self) -> Numbers:
        """Seconds, (samples,)."""
        return self.samples()


class Minutes(Time):
    """Seconds inside, minutes in the file."""

    KIND = MINUTES


class Pulse(Entry):
    """Microseconds: the length of a receiver's pulse, or a difference of two."""

    KIND = PULSE

    @property
    def us(self) -> Numbers:
        """Microseconds, (samples,)."""
        return self.samples()


class Current(Entry):
    """Amperes."""

    KIND = CURRENT

    @property
    def a(self) -> Numbers:
        """Amperes, (samples,)."""
        return self.samples()


class Voltage(Entry):
    """Volts."""

    KIND = VOLTAGE

    @property
    def v(self) -> Numbers:
        """Volts, (samples,)."""
        return self.samples()


class Resistance(Entry):
    """Ohms."""

    KIND = RESISTANCE

    @property
    def ohm(self) -> Numbers:
        """Ohms, (samples,)."""
        return self.samples()


class Power(Entry):
    """Watts."""

    KIND = POWER

    @property
    def w(self) -> Numbers:
        """Watts, (samples,)."""
        return self.samples()


class Charge(Entry):
    """Milliampere hours."""

    KIND = CHARGE

    @property
    def mah(self) -> Numbers:
        """Milliampere hours, (samples,)."""
        return self.samples()


class MotorConstant(Entry):
    """Revolutions a minute for each volt."""

    KIND = MOTOR_CONSTANT

    @property
    def rpm_per_v(self) -> Numbers:
        """Revolutions a minute for each volt, (samples,)."""
        return self.samples()


class Temperature(Entry):
    """Degrees Celsius."""

    KIND = TEMPERATURE

    @property
    def degc(self) -> Numbers:
        """Degrees Celsius, (samples,)."""
        return self.samples()


class ThermalResistance(Entry):
    """Kelvins for each watt."""

    KIND = THERMAL_RESISTANCE

    @property
    def k_per_w(self) -> Numbers:
        """Kelvins for each watt, (samples,)."""
        return self.samples()


class Speed(Entry):
    """Millimetres a second."""

    KIND = SPEED

    @property
    def mm_per_s(self) -> Numbers:
        """Millimetres a second, (samples,)."""
        return self.samples()


class SpringRate(Entry):
    """Newtons for each millimetre."""

    KIND = SPRING_RATE

    @property
    def n_per_mm(self) -> Numbers:
        """Newtons for each millimetre, (samples,)."""
        return self.samples()


class Viscosity(Entry):
    """Square millimetres a second, which are centistokes."""

    KIND = VISCOSITY

    @property
    def mm2_per_s(self) -> Numbers:
        """Square millimetres a second, (samples,)."""
        return self.samples()


_BLANK = Length()


@dataclass(frozen=True)
class Point:
    """A hardpoint: three lengths in the frame of its own end of the chassis."""

    x: Length = _BLANK
    y: Length = _BLANK
    z: Length = _BLANK

    @property
    def coordinates(self) -> tuple[Length, Length, Length]:
        """The three entries, x first."""
        return self.x, self.y, self.z

    @property
    def known(self) -> bool:
        """Whether all three coordinates can be taken."""
        return all(entry.known for entry in self.coordinates)

    @property
    def given(self) -> bool:
        """Whether the builder gave any coordinate."""
        return any(entry.given for entry in self.coordinates)

    @property
    def mm(self) -> Numbers:
        """Millimetres, (samples, 3). Raises NotMeasured naming every blank coordinate."""
        require(*self.coordinates)
        return np.stack(np.broadcast_arrays(*(entry.mm for entry in self.coordinates)), axis=-1)


def require(*entries: Entry | Point) -> None:
    """Raise NotMeasured naming all that is blank among the entries, not only the first."""
    flat = [e for entry in entries for e in (entry.coordinates if isinstance(entry, Point) else (entry,))]
    if blank := [entry for entry in flat if not entry.known]:
        raise NotMeasured(blank)


@dataclass(frozen=True, kw_only=True)
class Habits:
    """What a number means when its text does not say: the instrument, and how well each instrument measures.

    everything : the source of every number of this table (published data, the builder's choice), or None
    lengths    : what lengths are measured with otherwise
    """

    everything: Source | None = None
    lengths: Source = LENGTH.usual
    spreads: Spreads = DEFAULT

    def instrument_for(self, kind: Kind) -> Source:
        """The source to assume for a kind."""
        return self.everything or (self.lengths if kind is LENGTH else kind.usual)


@dataclass(frozen=True)
class Note:
    """What a setting means that is no number: a text, a choice, yes or no."""

    how: str


@dataclass(frozen=True, kw_only=True)
class Ask:
    """What a field asks of the builder: how to take the number, and how a sane one looks.

    how    : one sentence, what to put the callipers on
    usual  : the span of sane values in the internal unit; outside it the reader asks to look again
    sign   : which signs are possible at all; others are refused
    guess  : text of a stand-in for studies to go on with while blank (kept wide)
    source : where such a number comes from when the text does not say
    code   : the dimension's code in SAE J1100 or its clause in ISO 612
    """

    how: str
    usual: tuple[float, float] | None = None
    sign: Literal["any", "not negative", "positive"] = "positive"
    guess: str | None = None
    source: Source | None = None
    code: str | None = None

    def __get_pydantic_core_schema__(self, source_type: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Read numbers and text into the annotated entry type."""
        read = self._point if source_type is Point else self._entry

        def validate(raw: Any, info: ValidationInfo) -> Any:
            return raw if isinstance(raw, (Entry, Point)) else read(source_type, raw, info.context or Habits())

        return core_schema.with_info_plain_validator_function(validate)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        """Numbers in the default unit, or text with its own."""
        number: dict[str, Any] = {"type": ["number", "string"], "description": self.how}
        return number

    def blank(self, entry_type: type[Entry], key: str) -> Entry:
        """The entry before anything is measured."""
        return entry_type(key=key, how=self.how, stand_in=self._stand_in(entry_type.KIND))

    @lru_cache  # noqa: B019 - asks live as long as the models do
    def _stand_in(self, kind: Kind) -> Measured | None:
        return None if self.guess is None else parse(self.guess, kind, sign=self.sign, source=Source.GUESS)

    def _entry(self, entry_type: type[Entry], raw: Any, habits: Habits) -> Entry:
        if isinstance(raw, str) and raw.strip() in BLANKS:
            return entry_type()
        source = self.source or habits.instrument_for(entry_type.KIND)
        raw = raw.text if isinstance(raw, Typed) else raw
        try:
            return entry_type(parse(raw, entry_type.KIND, sign=self.sign, source=source, spreads=habits.spreads))
        except Unreadable as fault:
            raise PydanticCustomError("unreadable", "{text}", {"text": str(fault), "fault": fault}) from None

    def _point(self, _: type[Point], raw: Any, habits: Habits) -> Point:
        if isinstance(raw, str) and raw.strip() in BLANKS:
            return Point()
        if isinstance(raw, list) and len(raw) == 3:
            raw = dict(zip("xyz", raw, strict=True))
        if not isinstance(raw, dict) or not set(raw) <= set("xyz"):
            raise PydanticCustomError("point", "a point is three lengths, [x, y, z]", {"read": raw})
        return Point(**{axis: self._entry(Length, value, habits) for axis, value in raw.items()})  # type: ignore[arg-type]
