"""What each cause looks like: the probability of every sign's outcomes, given the cause.

The numbers are our judgement of how such protections behave; common practice, no source. Where a protection's way back
is known from the build (it latches, or comes back when cool), the row for its kind is taken. No outcome has less than
1 %: people err, and vehicles have two faults.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, get_args

Cause = Literal[
    "regulator heat", "controller heat", "motor heat", "cell cut-off", "brown-out", "signal loss", "idle time-out",
    "mechanical",
]  # fmt: skip
CAUSES: tuple[Cause, ...] = get_args(Cause)

NAMES: Mapping[Cause, str] = MappingProxyType(
    {
        "regulator heat": "the regulator got too hot and shut off",
        "controller heat": "the speed controller got too hot and stopped the motor",
        "motor heat": "the motor got too hot, and its sensor or switch stopped it",
        "cell cut-off": "the pack is empty, or sags: the controller's cell cut-off",
        "brown-out": "the receiver's voltage fell too low and it started anew",
        "signal loss": "the radio's signal was lost",
        "idle time-out": "something switched itself off for standing too long",
        "mechanical": "something between motor and ground slips, or is jammed",
    }
)
# How often each is met at all, before anything is looked at; a motor's sensor and an idle time-out are rarer.
USUAL: Mapping[Cause, float] = MappingProxyType(
    {"regulator heat": 1.0, "controller heat": 1.0, "motor heat": 0.6, "cell cut-off": 1.0, "brown-out": 1.0,
     "signal loss": 1.0, "idle time-out": 0.6, "mechanical": 1.0}
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Sign:
    """Something to look at. effort : in minutes or so, tools counted in; how : what to do"""

    outcomes: tuple[str, ...]
    effort: float
    how: str


SIGNS: Mapping[str, Sign] = MappingProxyType(
    {
        "doing": Sign(
            outcomes=("standing", "crawling", "driving", "climbing", "steering"), effort=30.0,
            how="drive the same round again and note what it does when it stops",
        ),
        "where": Sign(outcomes=("near", "far"), effort=20.0, how="drive the same round again close by"),
        "motor": Sign(
            outcomes=("dead", "weak", "spins", "strains"), effort=1.0,
            how="wheels off the ground, give a little throttle: look and listen whether the motor turns",
        ),
        "steers": Sign(
            outcomes=("yes", "no", "twitches"), effort=1.0, how="before switching anything off, turn the steering wheel"
        ),
        "lights": Sign(
            outcomes=("on", "off", "flicker"), effort=1.0,
            how="before switching anything off, look at the lights that hang on the receiver's supply",
        ),
        "heard": Sign(
            outcomes=("nothing", "beeps", "grinding"), effort=1.5,
            how="wheels off the ground, give a little throttle and listen: beeps, clicking, grinding",
        ),
        "by-itself": Sign(
            outcomes=("no", "within seconds", "after minutes"), effort=5.0,
            how="leave it on and touch nothing for five minutes: does it come back?",
        ),
        "off-and-on": Sign(
            outcomes=("runs", "runs a moment", "nothing"), effort=2.0, how="switch it off and on, and drive on"
        ),
        "after-rest": Sign(
            outcomes=("runs", "runs a moment", "nothing"), effort=15.0,
            how="leave it off for a quarter of an hour, the pack as it is, and drive on",
        ),
    }
)  # fmt: skip

_Row = Mapping[Cause, tuple[float, ...]]
_TABLE: Mapping[str, _Row] = {
    "doing": {
        "regulator heat": (0.25, 0.25, 0.30, 0.12, 0.08), "controller heat": (0.10, 0.28, 0.25, 0.30, 0.07),
        "motor heat": (0.06, 0.22, 0.30, 0.37, 0.05), "cell cut-off": (0.05, 0.17, 0.35, 0.37, 0.06),
        "brown-out": (0.15, 0.10, 0.15, 0.15, 0.45), "signal loss": (0.15, 0.20, 0.45, 0.12, 0.08),
        "idle time-out": (0.93, 0.02, 0.02, 0.01, 0.02), "mechanical": (0.04, 0.17, 0.34, 0.37, 0.08),
    },
    "where": {
        "regulator heat": (0.85, 0.15), "controller heat": (0.85, 0.15), "motor heat": (0.85, 0.15),
        "cell cut-off": (0.85, 0.15), "brown-out": (0.85, 0.15), "signal loss": (0.22, 0.78),
        "idle time-out": (0.90, 0.10), "mechanical": (0.85, 0.15),
    },
    "motor": {
        "regulator heat": (0.93, 0.04, 0.01, 0.02), "controller heat": (0.80, 0.14, 0.02, 0.04),
        "motor heat": (0.64, 0.27, 0.02, 0.07), "cell cut-off": (0.64, 0.31, 0.02, 0.03),
        "brown-out": (0.33, 0.60, 0.03, 0.04), "signal loss": (0.85, 0.10, 0.02, 0.03),
        "idle time-out": (0.94, 0.03, 0.02, 0.01), "mechanical": (0.08, 0.08, 0.59, 0.25),
    },
    "steers": {
        "regulator heat": (0.05, 0.86, 0.09), "controller heat": (0.93, 0.04, 0.03), "motor heat": (0.93, 0.04, 0.03),
        "cell cut-off": (0.92, 0.04, 0.04), "brown-out": (0.35, 0.18, 0.47), "signal loss": (0.05, 0.84, 0.11),
        "idle time-out": (0.30, 0.67, 0.03), "mechanical": (0.94, 0.03, 0.03),
    },
    "lights": {
        "regulator heat": (0.07, 0.85, 0.08), "controller heat": (0.93, 0.04, 0.03), "motor heat": (0.93, 0.04, 0.03),
        "cell cut-off": (0.87, 0.04, 0.09), "brown-out": (0.35, 0.10, 0.55), "signal loss": (0.66, 0.29, 0.05),
        "idle time-out": (0.22, 0.75, 0.03), "mechanical": (0.94, 0.03, 0.03),
    },
    "heard": {
        "regulator heat": (0.93, 0.04, 0.03), "controller heat": (0.70, 0.26, 0.04), "motor heat": (0.72, 0.23, 0.05),
        "cell cut-off": (0.66, 0.30, 0.04), "brown-out": (0.80, 0.16, 0.04), "signal loss": (0.78, 0.18, 0.04),
        "idle time-out": (0.92, 0.05, 0.03), "mechanical": (0.37, 0.03, 0.60),
    },
    "by-itself": {
        "cell cut-off": (0.76, 0.14, 0.10), "brown-out": (0.07, 0.89, 0.04), "signal loss": (0.35, 0.54, 0.11),
        "idle time-out": (0.96, 0.02, 0.02), "mechanical": (0.94, 0.03, 0.03),
    },
    "off-and-on": {
        "cell cut-off": (0.12, 0.66, 0.22), "brown-out": (0.80, 0.14, 0.06), "signal loss": (0.42, 0.13, 0.45),
        "idle time-out": (0.95, 0.03, 0.02), "mechanical": (0.06, 0.06, 0.88),
    },
    "after-rest": {
        "cell cut-off": (0.10, 0.72, 0.18), "brown-out": (0.84, 0.11, 0.05), "signal loss": (0.60, 0.12, 0.28),
        "idle time-out": (0.95, 0.03, 0.02), "mechanical": (0.06, 0.06, 0.88),
    },
}  # fmt: skip
# Of the three that stop for heat, by how they let go.
_HEAT: Mapping[str, Mapping[str, tuple[float, ...]]] = {
    "off-on": {"by-itself": (0.93, 0.02, 0.05), "off-and-on": (0.42, 0.44, 0.14), "after-rest": (0.92, 0.05, 0.03)},
    "cooler": {"by-itself": (0.15, 0.06, 0.79), "off-and-on": (0.12, 0.26, 0.62), "after-rest": (0.92, 0.05, 0.03)},
}  # fmt: skip


def chances(sign: str, cause: Cause, way_back: Mapping[Cause, str]) -> dict[str, float]:
    """Probability of each outcome of a sign under a cause. way_back : off-on or cooler, of those that stop for heat

    >>> round(sum(chances("steers", "regulator heat", {}).values()), 9)
    1.0
    """
    row = _TABLE[sign].get(cause) or _HEAT[way_back.get(cause, "cooler")][sign]
    return dict(zip(SIGNS[sign].outcomes, row, strict=True))
