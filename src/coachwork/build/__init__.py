"""The build file: one TOML file a vehicle, every number a measurement, every section optional.

`read(folder)` gives a `Build`; `build[Shell].wheelbase.mm` is a number over samples. Faults in the file are collected
and raised together (`BuildRefused`); numbers that can be read but look wrong are `build.doubts`. `with_entry` and
`write` put a number back without touching the rest of the file.
"""

from coachwork.build.entries import (
    Angle,
    Area,
    Ask,
    Charge,
    Count,
    Current,
    Entry,
    Length,
    Mass,
    MotorConstant,
    Note,
    NotMeasured,
    Numbers,
    Point,
    Power,
    Pulse,
    Ratio,
    Resistance,
    Speed,
    Temperature,
    ThermalResistance,
    Time,
    Torque,
    View,
    Voltage,
    require,
)  # fmt: skip
from coachwork.build.mending import mend
from coachwork.build.reading import FILE_NAME, FORMAT, find, read, read_text, text_of
from coachwork.build.section import Section, kebab
from coachwork.build.tables import tables
from coachwork.build.vehicle import Build, Doubt
from coachwork.build.writing import with_entry, write, write_whole

__all__ = [
    "FILE_NAME", "FORMAT", "Angle", "Area", "Ask", "Build", "Charge", "Count", "Current", "Doubt", "Entry", "Length",
    "Mass", "MotorConstant", "NotMeasured", "Note", "Numbers", "Point", "Power", "Pulse", "Ratio", "Resistance",
    "Section", "Speed", "Temperature", "ThermalResistance", "Time", "Torque", "View", "Voltage", "find", "kebab",
    "mend", "read", "read_text", "require", "tables", "text_of", "with_entry", "write", "write_whole",
]  # fmt: skip
