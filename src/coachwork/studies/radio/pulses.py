"""From where controls stand to the pulse on an output, in microseconds."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.radio.setup import MIDDLE_US, Channel

SHORTEST_US, LONGEST_US = 750.0, 2250.0  # beyond these no transmitter sends; common practice, no source


def pulse_us(channel: Channel, positions: Mapping[str, Numbers | float]) -> Numbers:
    """The pulse for controls at positions (arrays or floats, -1 to 1), broadcast together.

    Rate and expo bend the control's own travel, mixes are added, then come the end points of either side, reverse
    and the sub-trim: the order in which the trade's transmitters work (common practice, no source).

    >>> steering = Channel(name="steering", control="wheel", reverse=True, high_end=0.8)
    >>> pulse_us(steering, {"wheel": np.array([-1.0, 0.0, 1.0])})
    array([2000., 1500., 1100.])
    """
    travel = np.zeros(1)
    if channel.control:
        travel = travel + channel.rate * expo(positions[channel.control], channel.expo)
    for name, share in channel.mixes:
        travel = travel + share * np.asarray(positions[name])
    travel = np.clip(travel, -1.0, 1.0)
    throw = travel * np.where(travel < 0, channel.low_end, channel.high_end) * channel.full_throw_us
    pulse = MIDDLE_US + channel.sub_trim_us + (-throw if channel.reverse else throw)
    return np.asarray(np.clip(pulse, SHORTEST_US, LONGEST_US))


def expo(position: Numbers | float, amount: float) -> Numbers:
    """A control's travel bent about its middle, its ends kept: (1 - e) x + e x^3.

    A negative amount makes it sharper about the middle: the mirror image, (1 - e) x + e (1 - (1 - |x|)^3) sign x.

    >>> expo(0.5, 0.4), expo(0.5, -0.4)
    (array(0.35), array(0.65))
    """
    x = np.asarray(position, dtype=float)
    if amount >= 0:
        return np.asarray((1 - amount) * x + amount * x**3)
    return np.asarray((1 + amount) * x - amount * np.sign(x) * (1 - (1 - np.abs(x)) ** 3))
