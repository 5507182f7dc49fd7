"""A receiver output's pulses, sorted into classes that the devices on it cannot tell apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from hashlib import sha256
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

    @cached_property
    def form(self) -> bytes:
        """What decides what its devices see; not at which pulses."""
        parts: list[object] = [self.controls, self.of_levels.tobytes(), self.lost, self.none]
        parts += [(device, bands.tobytes()) for device, bands in self.bands.items()]
        parts += [(device, below.tobytes(), above.tobytes()) for device, (below, above) in self.tips.items()]
        return sha256(repr(parts).encode()).digest()


def output_of(channel: Channel, setup: Setup, levels: Mapping[str, tuple[float, ...]]) -> Output:
    """Sort the pulses of every combination of levels, of the failsafe and of no pulse into classes."""
    cuts = tuple(
        (one.name, one.cuts_us) for one in setup.devices if one.channel == channel.name and one.cuts_us is not None
    )
    return _output(channel, cuts, tuple((name, levels[name]) for name in channel.controls), setup.noise_us)


# Kept, since radios that differ by one change, or by one number moved within its spread, share all other outputs.
@lru_cache(maxsize=1024)
def _output(
    channel: Channel,
    cuts_us: tuple[tuple[str, tuple[float, float]], ...],
    levels: tuple[tuple[str, tuple[float, ...]], ...],
    noise_us: float,
) -> Output:
    combinations = list(product(*(positions for _, positions in levels)))
    positions = {name: np.array([one[i] for one in combinations]) for i, (name, _) in enumerate(levels)}
    pulses = np.broadcast_to(pulse_us(channel, positions), len(combinations))
    if channel.failsafe_us is not None:
        pulses = np.append(pulses, channel.failsafe_us)

    cuts = np.array([both for _, both in cuts_us]).reshape(-1, 2, 1)  # (devices, cuts, 1)
    exact = (pulses >= cuts).sum(axis=1)  # (devices, pulses), the band
    low = (pulses - noise_us >= cuts).sum(axis=1)
    high = (pulses + noise_us > cuts).sum(axis=1) if noise_us else exact
    signatures = np.concatenate([exact, low, high]).astype(np.intp)
    none = np.full((signatures.shape[0], 1), int(Band.NONE), dtype=np.intp)
    kinds, number = np.unique(np.hstack([signatures, none]), axis=1, return_inverse=True)
    number = np.asarray(number, dtype=np.intp).reshape(-1)
    count = len(cuts_us)
    lost = None
    if channel.failsafe == "off":
        lost = int(number[-1])
    elif channel.failsafe == "preset":
        lost = int(number[len(combinations)])
    return Output(
        channel=channel,
        controls=channel.controls,
        of_levels=number[: len(combinations)],
        bands={name: kinds[i] for i, (name, _) in enumerate(cuts_us)},
        tips={name: (kinds[count + i], kinds[2 * count + i]) for i, (name, _) in enumerate(cuts_us)},
        lost=lost,
        none=int(number[-1]),
        classes=kinds.shape[1],
    )
