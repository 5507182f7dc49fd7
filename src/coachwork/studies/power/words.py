"""How the power study says minutes, degrees and trips."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from coachwork.studies.power.guards import Guard, Trip

MEANS: Mapping[Trip, str] = MappingProxyType(
    {
        "cell cut-off": "the controller stops the motor for the cells' voltage",
        "controller heat": "the controller stops the motor for its own heat",
        "motor heat": "the controller stops for the motor's heat",
        "regulator heat": "the regulator shuts off for its heat and takes the receiver with it",
        "brown-out": "the receiver starts anew for lack of voltage",
        "idle time-out": "something switches itself off for standing too long",
        "empty": "the pack is empty",
    }
)


def minutes(seconds: float) -> str:
    """A time as a driver says it.

    >>> minutes(31.0), minutes(754.0), minutes(30 * 60.0)
    ('31 s', '12.6 min', '30 min')
    """
    if not math.isfinite(seconds):
        return "never"
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.1f}".removesuffix(".0") + " min"


def degrees(degc: float) -> str:
    """A temperature to a degree.

    >>> degrees(104.6)
    '105 degC'
    """
    return f"{degc:z.0f} degC"


def way_back(guard: Guard) -> str:
    """What brings it back, as the end of a sentence."""
    match guard.resets:
        case "off-on":
            return "and stays so until it is switched off and on"
        case "cooler":
            return f"and comes back by itself below {degrees(float(guard.back.flat[0]))}"
        case "by itself":
            return f"and comes back by itself after {float(guard.back.flat[0]):.1f} s"
    return "and stays so"
