"""Plugs by style: what they usually carry all the time, and how much their two contacts resist when new.

Generic styles, no makes; all of it common practice, no source, and therefore settable for every plug in the build file.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Plug:
    """One pair, plus and minus; the resistance is that of both contacts together."""

    rating_a: float
    resistance_ohm: float


PLUGS: dict[str, Plug] = {
    "servo plug": Plug(rating_a=3.0, resistance_ohm=0.030),
    "balance plug": Plug(rating_a=2.0, resistance_ohm=0.030),
    "small two-pin": Plug(rating_a=3.0, resistance_ohm=0.020),
    "barrel": Plug(rating_a=3.0, resistance_ohm=0.030),
    "bullet 2 mm": Plug(rating_a=15.0, resistance_ohm=0.003),
    "bullet 3.5 mm": Plug(rating_a=35.0, resistance_ohm=0.0012),
    "bullet 4 mm": Plug(rating_a=50.0, resistance_ohm=0.0008),
    "flat blades": Plug(rating_a=40.0, resistance_ohm=0.0015),
    "tamper-proof two-pin": Plug(rating_a=12.0, resistance_ohm=0.010),
    "screw clamp": Plug(rating_a=8.0, resistance_ohm=0.006),
}
