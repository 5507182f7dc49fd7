"""The wiring as a network: what its nodes are joined by, and the law of each element. No vehicle, no build file here.

All volts are counted from the pack's minus pole, and a lead's plus and minus wire stand together in one resistance:
right where a lead's two wires carry the same current, which they do unless one minus wire serves two plus wires.

    ground ~ cell 1 ~ tap 1 ~ cell 2 ~ pack ~ lead ~ controller ~ regulator > receiver ~ lead ~ load > ground

Axes: cases first (a case is one sample in one state of the loads), then elements. An array of one case serves for all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Numbers
from coachwork.studies.result import Result

Places = NDArray[np.intp]
GROUND = -1
BOUNDLESS_A = 1e6  # far beyond what any wire of such a vehicle could carry
THERMAL_V = 0.02585  # kT/e at 300 K
E = TypeVar("E", "Branches", "Regulators", "Loads", "Strings")
EMISSION = 2.0  # of light-emitting diodes; between 1.5 and 3, common practice, no source
RESISTING_V = 0.2  # volts on a diode's own resistance at its rated current; common practice, no source


@dataclass(frozen=True, kw_only=True, eq=False)
class Branches(Result):
    """Resistances with or without a voltage in them: leads and cells.

    begins, ends : (branches,), nodes; GROUND for the pack's minus pole
    ohm          : (cases, branches), positive
    volts        : (cases, branches), lifts the end over the beginning, as a cell does
    """

    names: tuple[str, ...]
    begins: Places
    ends: Places
    ohm: Numbers
    volts: Numbers

    def current_a(self, node_v: Numbers) -> Numbers:
        """From beginning to end, (cases, branches)."""
        at = np.concatenate([node_v, np.zeros((len(node_v), 1))], axis=1)  # the last column is ground
        return np.asarray((at[:, self.begins] - at[:, self.ends] + self.volts) / self.ohm)


@dataclass(frozen=True, kw_only=True, eq=False)
class Loads(Result):
    """What draws a current whatever the voltage, less below `fade_v` and nothing at 0 V; or one that grows with it.

    node                       : (loads,)
    steady_a, siemens, fade_v  : (cases, loads)
    """

    names: tuple[str, ...]
    node: Places
    steady_a: Numbers
    siemens: Numbers
    fade_v: Numbers

    def draw(self, volts: Numbers) -> tuple[Numbers, Numbers]:
        """Current and its slope over the voltage, (cases, loads)."""
        share = np.clip(volts / self.fade_v, 0.0, 1.0)
        fading = (volts > 0) & (volts < self.fade_v)
        slope = np.where(fading, self.steady_a / self.fade_v, 0.0) + self.siemens
        return self.steady_a * share + self.siemens * volts, slope


@dataclass(frozen=True, kw_only=True, eq=False)
class Strings(Result):
    """Light-emitting diodes in series with a resistance, some such strings side by side; alike.

    node                            : (strings,)
    side_by_side, leds              : (cases, strings), how many strings, and diodes in each
    ohm                             : (cases, strings), in each string, what they share counted for each in full
    forward_v, rated_a              : (cases, strings), of one diode: its volts at its rated current
    lit                             : (cases, strings), 1 lit, 0 dark
    """

    names: tuple[str, ...]
    node: Places
    side_by_side: Numbers
    leds: Numbers
    ohm: Numbers
    forward_v: Numbers
    rated_a: Numbers
    lit: Numbers

    def diode_a(self, volts: Numbers) -> tuple[Numbers, Numbers]:
        """Current through each diode when lit, and its slope, (cases, strings)."""
        return string_current_a(
            volts=volts, leds=self.leds, ohm=self.ohm, forward_v=self.forward_v, rated_a=self.rated_a
        )

    def draw(self, volts: Numbers) -> tuple[Numbers, Numbers]:
        """Current of all strings side by side, and its slope, (cases, strings)."""
        current, slope = self.diode_a(volts)
        return current * self.side_by_side * self.lit, slope * self.side_by_side * self.lit


def string_current_a(
    *, volts: Numbers, leds: Numbers, ohm: Numbers, forward_v: Numbers, rated_a: Numbers
) -> tuple[Numbers, Numbers]:
    """Current through diodes in series with a resistance, and its slope over the voltage; arrays of one shape.

    W. Shockley's diode with a resistance, solved by the Wright omega function, w + ln w = u (R. Corless, D. Jeffrey,
    2002): n diodes drop n (m Vt ln(i / is) + rs i), the resistance R i.

    >>> one = np.array([1.0])
    >>> i, _ = string_current_a(volts=6 * one, leds=2 * one, ohm=100 * one, forward_v=2 * one, rated_a=0.02 * one)
    >>> round(1000 * float(i[0]), 1)  # (6 V - 2 x 2 V) / 100 ohm
    20.0
    """
    from scipy.special import wrightomega

    step_v = leds * EMISSION * THERMAL_V
    own_ohm = RESISTING_V / rated_a
    total = ohm + leds * own_ohm
    log_saturation = np.log(rated_a) - (forward_v - RESISTING_V) / (EMISSION * THERMAL_V)
    current = step_v / total * wrightomega(volts / step_v + log_saturation + np.log(total / step_v))
    return current, current / (step_v + current * total)


@dataclass(frozen=True, kw_only=True, eq=False)
class Regulators(Result):
    """A steady voltage as long as the input is `drop_v` above it; behind a small resistance; current one way only.

    begins, ends                     : (regulators,), nodes of input and output
    set_v, drop_v, ohm, most_a       : (cases, regulators); most_a is where its own current limit holds it
    efficiency                       : (cases, regulators), of a switching one; NaN for a linear one
    own_a                            : (cases, regulators), what it draws itself
    """

    names: tuple[str, ...]
    begins: Places
    ends: Places
    set_v: Numbers
    drop_v: Numbers
    ohm: Numbers
    most_a: Numbers
    efficiency: Numbers
    own_a: Numbers

    def flow(self, input_v: Numbers, output_v: Numbers) -> Flow:
        """Currents and slopes, (cases, regulators)."""
        held = input_v - self.drop_v < self.set_v
        inner_v = np.maximum(np.where(held, input_v - self.drop_v, self.set_v), 0.0)
        free = (inner_v - output_v) / self.ohm
        output_a = np.clip(free, 0.0, self.most_a)
        # Unloaded, as a search for the volts begins, it gives nothing yet; what counts then is what it will give.
        moves = (free >= 0) & (free < self.most_a)
        by_output = np.where(moves, -1 / self.ohm, 0.0)
        by_input = np.where(moves & held & (inner_v > 0), 1 / self.ohm, 0.0)
        # A switching one takes what it gives as power; below half its output it stops, or it would ask for any current.
        floor_v = np.maximum(input_v, self.set_v / 2)
        share = np.where(np.isnan(self.efficiency), 1.0, inner_v / (self.efficiency * floor_v))
        share_slope = np.where(
            np.isnan(self.efficiency),
            0.0,
            np.where(held & (inner_v > 0), 1 / (self.efficiency * floor_v), 0.0)
            - np.where(input_v > self.set_v / 2, inner_v / (self.efficiency * floor_v**2), 0.0),
        )
        awake = np.clip(input_v, 0.0, 1.0)  # its own current ends with its input
        return Flow(
            output_a=output_a,
            output_by_input=by_input,
            output_by_output=by_output,
            input_a=output_a * share + self.own_a * awake,
            input_by_input=by_input * share
            + output_a * share_slope
            + np.where((input_v > 0) & (input_v < 1), self.own_a, 0.0),
            input_by_output=by_output * share,
        )


@dataclass(frozen=True, kw_only=True, eq=False)
class Flow:
    """What goes into and comes out of regulators, and the slopes over input and output volts."""

    output_a: Numbers
    output_by_input: Numbers
    output_by_output: Numbers
    input_a: Numbers
    input_by_input: Numbers
    input_by_output: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Network(Result):
    """All elements over the same nodes."""

    nodes: tuple[str, ...]
    branches: Branches
    regulators: Regulators
    loads: Loads
    strings: Strings

    @property
    def cases(self) -> int:
        """How many cases there are: of the element that has most."""
        held = [
            value.shape[0]
            for part in (self.branches, self.regulators, self.loads, self.strings)
            for value in vars(part).values()
            if isinstance(value, np.ndarray) and value.ndim == 2
        ]
        return max(held, default=1)

    def without_limits(self) -> Network:
        """The same with regulators that give whatever is asked of them."""
        regulators = self.regulators
        return replace(self, regulators=replace(regulators, most_a=np.full_like(regulators.most_a, BOUNDLESS_A)))

    def of(self, which: Places | NDArray[np.bool_]) -> Network:
        """Some of the cases only; which: (cases,), a mask or places."""
        cases = self.cases

        def some(part: E) -> E:
            held: dict[str, Any] = {name: value for name, value in vars(part).items() if isinstance(value, np.ndarray)}
            own: dict[str, Any] = {
                name: value[which] for name, value in held.items() if value.ndim == 2 and len(value) == cases
            }
            return replace(part, **own) if cases > 1 else part

        return replace(
            self, branches=some(self.branches), regulators=some(self.regulators), loads=some(self.loads),
            strings=some(self.strings),
        )  # fmt: skip
