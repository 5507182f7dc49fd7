"""Light strings: the resistor they want, and what the diodes and the fitted resistor have to bear."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.wiring import LightString
from coachwork.catalogue.preferred import preferred_at_least
from coachwork.studies.parts import CannotBe
from coachwork.studies.wiring.assemble import side_by_side, wanted_a
from coachwork.studies.wiring.network import EMISSION, RESISTING_V, THERMAL_V, string_current_a
from coachwork.studies.wiring.result import Case, LightFacts, LightPlan


def diode_v(*, current_a: Numbers, forward_v: Numbers, rated_a: Numbers) -> Numbers:
    """Volts across one diode: Shockley's law with a resistance, through its volts at its rated current.

    >>> float(diode_v(current_a=np.array([0.02]), forward_v=np.array([2.0]), rated_a=np.array([0.02]))[0])
    2.0
    """
    share = current_a / rated_a
    return np.asarray(forward_v + EMISSION * THERMAL_V * np.log(share) + RESISTING_V * (share - 1))


def plan(name: str, string: LightString, cases: Iterable[Case]) -> LightPlan:
    """The resistor to fit. Raises NotMeasured."""
    require(string.leds)
    supply = _most([_supply_v(name, case) for case in cases])
    each, sides, leds = wanted_a(string), side_by_side(string), string.leds.count
    spare = supply - leds * diode_v(
        current_a=each, forward_v=string.forward_voltage.v, rated_a=string.rated_current.a
    )  # fmt: skip
    ohm = np.maximum(spare, 0.0) / (each * (sides if string.one_resistor else 1.0))
    return LightPlan(
        leds=leds,
        side_by_side=sides,
        one_resistor=string.one_resistor,
        supply_v=supply,
        spare_v=spare,
        wanted_a=each,
        wanted_ohm=ohm,
        preferred_ohm=preferred_at_least(float(ohm.flat[0])) if ohm.flat[0] > 0 else None,
    )


def facts(name: str, string: LightString, planned: LightPlan, cases: Iterable[Case]) -> LightFacts:
    """As fitted. The hottest diode has the lowest forward voltage of its bag. Raises NotMeasured, CannotBe."""
    require(string.resistor)
    lit = [case for case in cases if float(np.max(case.diodes_a[name])) > 0]
    if not lit:
        raise CannotBe("no state of the radio lights it")
    resistor, rated = string.resistor.ohm, string.rated_current.a
    supply = _most([case.strings_v[name] for case in lit])
    alike = _most([case.diodes_a[name] for case in lit])
    shared = planned.side_by_side if string.one_resistor else np.ones(1)
    odd_v = string.forward_voltage.v - string.matching.v
    if string.one_resistor:  # the others hold the volts behind the resistor; the odd one takes what it likes of them
        held = supply - resistor * shared * alike
        volts, leds, ohm, forward, of = np.broadcast_arrays(held, planned.leds, 0.0, odd_v, rated)
    else:
        volts, leds, ohm, forward, of = np.broadcast_arrays(supply, planned.leds, resistor, odd_v, rated)
    hottest, _ = string_current_a(volts=volts, leds=leds, ohm=ohm, forward_v=forward, rated_a=of)
    through = hottest if not string.one_resistor else alike * shared
    return LightFacts(
        plan=planned,
        forward_v=string.forward_voltage.v,
        matching_v=string.matching.v,
        rated_a=rated,
        hottest_a=hottest,
        dimmest_a=np.minimum.reduce(np.broadcast_arrays(*(case.diodes_a[name] for case in lit))),
        resistor_ohm=resistor,
        resistor_w=through**2 * resistor,
        power_w=string.resistor_power.w,
    )


def _supply_v(name: str, case: Case) -> Numbers:
    return case.strings_v[name] if name in case.strings_v else case.loads_v[name]


def _most(arrays: list[Numbers]) -> Numbers:
    return np.asarray(np.maximum.reduce(np.broadcast_arrays(*arrays)))
