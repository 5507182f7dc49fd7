"""A receiver output's pulses, sorted into classes that the devices on it cannot tell apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

import numpy as np

from coachwork.studies.radio.automata import Band, Whole
from coachwork.studies.radio.pulses import pulse_us
from coachwork.studies.radio.setup import Channel, Setup


@dataclass(frozen=True, eq=False)
class Output:
    """A channel's pulses, sorted into classes that its devices cannot tell apart.

    of_levels : (product of the controls' levels,), class of each combination
    bands     : device -> (classes,), band its pulse lies in
    tips      : device -> ((classes,), (classes,)), bands that noise may show it instead, below and above
    lost      : class when the signal is lost, or None where it holds
    none      : class of no pulse
    """

    channel: Channel
    controls: tuple[str, ...]
    of_levels: Whole
    bands: Mapping[str, Whole]
    tips: Mapping[str, tuple[Whole, Whole]]
    lost: int | None
    none: int
    classes: int


def output_of(channel: Channel, setup: Setup, levels: Mapping[str, tuple[float, ...]]) -> Output:
    """Sort the pulses of every combination of levels, of the failsafe and of no pulse into classes."""
    devices = [one for one in setup.devices if one.channel == channel.name and one.cuts_us is not None]
    combinations = list(product(*(levels[name] for name in channel.controls)))
    positions = {name: np.array([one[i] for one in combinations]) for i, name in enumerate(channel.controls)}
    pulses = np.broadcast_to(pulse_us(channel, positions), len(combinations))
    if channel.failsafe_us is not None:
        pulses = np.append(pulses, channel.failsafe_us)

    cuts = np.array([one.cuts_us for one in devices])[:, :, None]  # (devices, cuts, 1)
    exact = (pulses >= cuts).sum(axis=1)  # (devices, pulses), the band
    low = (pulses - setup.noise_us >= cuts).sum(axis=1)
    high = (pulses + setup.noise_us > cuts).sum(axis=1) if setup.noise_us else exact
    signatures = np.concatenate([exact, low, high]).astype(np.intp)
    none = np.full((signatures.shape[0], 1), int(Band.NONE), dtype=np.intp)
    kinds, number = np.unique(np.hstack([signatures, none]), axis=1, return_inverse=True)
    number = np.asarray(number, dtype=np.intp).reshape(-1)
    count = len(devices)
    lost = None
    if channel.failsafe == "off":
        lost = int(number[-1])
    elif channel.failsafe == "preset":
        lost = int(number[len(combinations)])
    return Output(
        channel=channel,
        controls=channel.controls,
        of_levels=number[: len(combinations)],
        bands={one.name: kinds[i] for i, one in enumerate(devices)},
        tips={one.name: (kinds[count + i], kinds[2 * count + i]) for i, one in enumerate(devices)},
        lost=lost,
        none=int(number[-1]),
        classes=kinds.shape[1],
    )
