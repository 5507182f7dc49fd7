"""The few positions of a control that matter: one for each stretch of its travel in which no device sees a difference.

A stick has a thousand positions, but every device only asks on which side of its cuts the pulse lies. So the travel
falls into regions, and all positions of one region lead to the same states. One position stands for each. Where a pulse
lies within its noise of a cut, no hand can leave a swept control for long; such a stretch is passed through but not
stopped in, unless a rest, an end or a detent lies in it. What is lost and what is not: docs/theory/radio.md.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import product
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Numbers
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Channel, Control, Setup

# A transmitter resolves a stick's travel into about a thousand steps (common practice, no source), so a stretch
# between two of these is nothing that could be sent.
STEPS = np.linspace(-1.0, 1.0, 1025)


Positions = Mapping[str, Sequence[float]]  # of controls, by their names


def levels_of(setup: Setup, marks: Positions, stops: Positions) -> dict[str, tuple[float, ...]]:
    """Positions, low to high, for each control.

    marks : positions that wishes speak of; below, at and above each of them are told apart as well
    stops : positions in which a control is left all the same, wherever they lie
    """

    def each(others: Positions) -> dict[str, tuple[float, ...]]:
        return {
            one.name: _levels(one, setup, others, marks.get(one.name, ()), stops.get(one.name, ()))
            for one in setup.controls
        }

    alone = each({control.name: control.fixed for control in setup.controls})
    if all(len(channel.controls) < 2 for channel in setup.channels):
        return alone
    # A mixed channel's cuts lie elsewhere for each position of the other control: once more with all of those.
    return each(alone)


def is_exact(setup: Setup) -> bool:
    """Whether the levels miss nothing: they may where two swept controls are mixed on one channel with cuts."""
    for channel in setup.channels:
        swept = [name for name in channel.controls if setup.control(name).swept]
        if len(swept) > 1 and any(device.channel == channel.name and device.cuts_us for device in setup.devices):
            return False
    return True


def cuts_of(setup: Setup, channel: Channel) -> list[float]:
    """Every pulse at which some device on a channel changes its mind."""
    return sorted({cut for one in setup.devices if one.channel == channel.name and one.cuts_us for cut in one.cuts_us})


def _levels(
    control: Control, setup: Setup, others: Positions, marks: Sequence[float], stops: Sequence[float]
) -> tuple[float, ...]:
    if not control.swept:
        return control.fixed
    moved: list[_Moved] = []
    for channel in setup.channels:
        if control.name in channel.controls and (cuts := cuts_of(setup, channel)):
            rest = tuple((name, tuple(others[name])) for name in channel.controls if name != control.name)
            moved.append((channel, tuple(cuts), rest))
    return _swept(control, tuple(moved), setup.noise_us, tuple(marks), tuple(stops))


# A channel that a control moves, its cuts in us, and the positions of the other controls that move it.
_Moved: TypeAlias = tuple[Channel, tuple[float, ...], tuple[tuple[str, tuple[float, ...]], ...]]


# Kept, since radios that differ by one change, or by one number moved within its spread, share most controls.
@lru_cache(maxsize=1024)
def _swept(
    control: Control, moved: tuple[_Moved, ...], noise_us: float, marks: tuple[float, ...], stops: tuple[float, ...]
) -> tuple[float, ...]:
    sides = [np.sign(STEPS - mark).astype(np.int64) for mark in marks]
    passed = np.zeros(STEPS.size, dtype=bool)
    for channel, cuts, rest in moved:
        names = [name for name, _ in rest]
        for positions in product(*(each for _, each in rest)):
            pulses = pulse_us(channel, {control.name: STEPS, **dict(zip(names, positions, strict=True))})
            sides += [(pulses >= cut).astype(np.int64) for cut in cuts]
            near = _near(pulses, cuts, noise_us)
            if rest:
                sides.append(near.astype(np.int64))  # another position of the other control may clear it: keep it
            else:
                passed |= near
    found = set(stops)
    for inside in _regions(sides):
        found |= _one_a_region(control, inside, passed)
    return tuple(sorted(found))


def _near(pulses: Numbers, cuts: Sequence[float], noise_us: float) -> NDArray[np.bool_]:
    return np.asarray((np.abs(pulses[:, None] - np.array(cuts)) < noise_us).any(axis=1))


def _regions(sides: list[NDArray[np.int64]]) -> list[NDArray[np.int64]]:
    """The steps of each region."""
    every = np.arange(STEPS.size)
    if not sides:
        return [every]
    changes = np.any(np.diff(np.stack(sides), axis=1) != 0, axis=0)
    return np.split(every, np.flatnonzero(changes) + 1)


def _one_a_region(control: Control, inside: NDArray[np.int64], passed: NDArray[np.bool_]) -> set[float]:
    """The position for a region: its rest or an end where it has one, else its middle; and what is left in noise."""
    fixed = [position for position in control.fixed if inside[0] <= _step(position) <= inside[-1]]
    clear = sorted((p for p in fixed if not passed[_step(p)]), key=lambda position: position != control.rest)
    in_noise = {position for position in fixed if passed[_step(position)]}
    free = inside[~passed[inside]]
    if clear:
        return in_noise | {clear[0]}
    if not free.size:
        return in_noise
    middle = float(STEPS[free[free.size // 2]])
    tidy = round(middle, 2)  # in whole per cent, where that is as good
    return in_noise | {tidy if _step(tidy) in free and STEPS[free[0]] <= tidy <= STEPS[free[-1]] else middle}


def _step(position: float) -> int:
    """The step nearest to a position."""
    return round((position + 1.0) / 2.0 * (STEPS.size - 1))
