"""Volts, amperes and names in the sentences of these verdicts; the sources they share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.wiring.result import Case
from coachwork.studies.wording import first

LABEL = "its label"
CAUTION = "Lithium packs burn when shorted: unplug the pack first; its leaflet, local rules and qualified practice rule"


def volts(number: Numbers | float) -> str:
    """To a hundredth.

    >>> volts(4.567)
    '4.57 V'
    """
    return f"{number if isinstance(number, float) else first(number):z.2f} V"


def amperes(number: Numbers | float) -> str:
    """In mA under one ampere.

    >>> amperes(0.0214), amperes(1.664), amperes(21.9), amperes(380.2)
    ('21 mA', '1.66 A', '21.9 A', '380 A')
    """
    value = number if isinstance(number, float) else first(number)
    if abs(value) < 0.9995:
        return f"{1000 * value:z.0f} mA"
    return f"{value:z.2f} A" if abs(value) < 9.995 else f"{value:z.1f} A" if abs(value) < 99.95 else f"{value:z.0f} A"


def listed(names: Iterable[str]) -> str:
    """Names with commas and an and.

    >>> listed(["bell"]), listed(["bell", "sign", "lamp"])
    ('bell', 'bell, sign and lamp')
    """
    names = list(names)
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else "nothing"


def extreme(cases: Mapping[str, Case], of: Callable[[Case], Numbers], *, least: bool = False) -> tuple[Numbers, str]:
    """The largest (or smallest) over some cases, each sample by itself, and the first sample's case."""
    arrays = np.broadcast_arrays(*(of(case) for case in cases.values()))
    found = np.minimum.reduce(arrays) if least else np.maximum.reduce(arrays)
    plain = [float(array.flat[0]) for array in arrays]
    at = plain.index(min(plain) if least else max(plain))
    return np.asarray(found), list(cases)[at]


def lasting(cases: Mapping[str, Case]) -> dict[str, Case]:
    """Those that go on for minutes: not a held servo, not pulling away."""
    return {name: case for name, case in cases.items() if case.state not in ("servo held", "pulling away")}
