"""What the radio study finds out; every part may be missing on its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coachwork.build import Numbers
from coachwork.build.sections.radio.wishes import Form
from coachwork.studies.parts import Part
from coachwork.studies.radio.cure import Cure, Tried
from coachwork.studies.radio.loads import Loads
from coachwork.studies.radio.noise import Room
from coachwork.studies.radio.setup import Setup
from coachwork.studies.radio.surprises import ModesUsed
from coachwork.studies.radio.traces import Step
from coachwork.studies.result import Result


@dataclass(frozen=True, kw_only=True, eq=False)
class WishAnswer(Result):
    """What became of a wish.

    words    : as it was understood
    devices  : those it names
    count    : (samples,), states that break it; of "can be reached", states that have it
    states   : how many were looked at, and whether those are all (`complete`), `depth` actions away at most
    exact    : whether no position of a control was left out (two swept controls mixed on one channel)
    tick_s   : the step in which time is counted, where devices count time; `coarse` where shorter times were stretched
    steps    : the shortest way to such a state, from power-up on
    breaking : those of its devices that break it there, where the wish asks something of each
    cure     : the cheapest change found for it; part of the joint cure where there is one
    searched : whether one was looked for; not where there are too many states
    tried    : what was, where none was found
    """

    words: str
    form: Form
    devices: tuple[str, ...]
    count: Numbers
    proved: bool
    refuted: bool
    states: int
    complete: bool
    depth: int
    exact: bool
    tick_s: float | None
    coarse: bool
    steps: tuple[Step, ...]
    breaking: tuple[str, ...]
    cure: Cure | None
    searched: bool = True
    tried: Tried | None = None


@dataclass(frozen=True, kw_only=True, eq=False)
class Clear(Result):
    """How far a device's pulses stay clear of its cuts, (samples,) in us, and where they come nearest."""

    room_us: Numbers
    noise_us: Numbers
    nearest: Room


@dataclass(frozen=True, kw_only=True, eq=False)
class Chatter(Result):
    """What keeps a device from switching to and fro while a hand moves slowly through its cut, (samples,) in us."""

    hysteresis_us: Numbers
    noise_us: Numbers
    control: str


@dataclass(frozen=True, kw_only=True, eq=False)
class RadioResult(Result):
    """The whole radio.

    setup   : its plain numbers, first sample; devices that lack a number are not in it
    wished  : each wish as it was understood
    alike   : pairs of accessories that no action tells apart
    joint   : the cheapest changes found that make every wish hold together
    """

    setup: Setup
    wished: Mapping[str, str]
    wishes: Mapping[str, Part[WishAnswer]]
    modes: Mapping[str, Part[ModesUsed]]
    clear: Mapping[str, Part[Clear]]
    chatter: Mapping[str, Part[Chatter]]
    moved_by: Mapping[str, tuple[str, ...]]
    alike: Part[tuple[tuple[str, str], ...]]
    loads: Part[Loads]
    supply_limit_a: Part[Numbers]
    joint: Cure | None
