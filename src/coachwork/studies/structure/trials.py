"""Changes of the chassis that were drawn and computed: by how much each one makes it stiffer.

Chassis and changed chassis are computed alike, coarsely and without the door; their ratio is better than either, for
like meshes err alike. How far it may still be off is told with it, and an effect that is less than that is none. The
ratio is then put on what the chassis gives with its door.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from coachwork.build.sections.decks import Decks
from coachwork.build.sections.parts.chassis import Chassis
from coachwork.studies.wording import first

HIGHER, THICKER_MM, RIB_MM, NECK_MM, BOX_MM = 1.3, 0.8, 8.0, 4.0, 6.0
TABLE = "parts.chassis"


@dataclass(frozen=True, kw_only=True)
class Change:
    """Keys of the build file with their new texts, and what that is in words."""

    words: str
    entries: Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class Effect:
    """By how much stiffer: `times`, 1 for no change, and by what share of it the meshes may be off."""

    times: float
    unsure: float

    @property
    def told(self) -> bool:
        """Whether it can be told from no change."""
        return abs(self.times - 1) > self.unsure * self.times


@dataclass(frozen=True, kw_only=True)
class Trial:
    """A change that was computed. `gone`: ribs, box walls and lids of the chassis that find no room any more."""

    change: Change
    twist: Effect
    bending: Effect
    gone: int = 0


LEFT = (1 / 6, 1 / 3)  # of the error that the third order shows, once it is taken off; docs/theory/structure.md


def effect(now: tuple[float, float], then: tuple[float, float]) -> Effect:
    """Of two stiffnesses, each with the error that its mesh showed and that was taken off.

    What is left of an error lies between a sixth and a third of it: the ratio is off by no more than the one's most
    less the other's least.

    >>> effect((100.0, 0.12), (103.0, 0.12))
    Effect(times=1.03, unsure=0.02)
    """
    least, most = LEFT
    small, large = sorted((now[1], then[1]))
    return Effect(times=then[0] / now[0], unsure=round(most * large - least * small, 6))


def candidates(chassis: Chassis, decks: Decks) -> Iterator[Change]:
    """What a designer would try, one at a time."""
    high, wall = first(chassis.wall_height.mm), first(chassis.wall.mm)
    rib, rim = high, first(chassis.rim_height.mm)
    boxed = chassis.box_width.given and rim >= high
    walls = {"wall-height": HIGHER * high} | ({"rim-height": HIGHER * rim} if boxed else {})
    yield _change(f"walls {HIGHER * high:.0f} mm high", walls)
    yield _change(f"walls {wall + THICKER_MM:.1f} mm thick", {"wall": wall + THICKER_MM})
    if chassis.rib_height.given:
        rib = first(chassis.rib_height.mm) + RIB_MM
    yield _change(f"ribs {rib:.0f} mm high", {"rib-height": rib})
    deck = decks.each.get(chassis.deck)
    if chassis.neck_floor.given:
        neck = first(chassis.neck_floor.mm) + NECK_MM
        yield _change(f"necks {neck:.0f} mm thick", {"neck-floor": neck})
    elif deck is not None and deck.thickness.given:
        neck = first(deck.thickness.mm) + NECK_MM
        yield _change(f"necks {neck:.0f} mm thick", {"neck-floor": neck})
    if not chassis.box_width.given:
        yield _change("walls doubled to boxes up to the coaming's height",
                      {"box-width": BOX_MM, "rim-height": max(rim, high)})  # fmt: skip


def _change(words: str, entries: Mapping[str, float]) -> Change:
    return Change(words=words, entries={f"{TABLE}.{key}": f"{value:.1f}" for key, value in entries.items()})


def effect_words(trial: Trial) -> str:
    """In twist and in bending, each with what the meshes leave unsure."""
    words = f"{_more(trial.twist)} in twist, {_more(trial.bending)} in bending"
    return f"{words}; {gone_words(trial)}" if trial.gone else words


def gone_words(trial: Trial) -> str:
    """What the change pushes out."""
    return f"{trial.gone} of its ribs, box walls and lids find no room then, and are left out"


def _more(by: Effect) -> str:
    if not by.told:
        return f"no difference that can be told from 0 \N{PLUS-MINUS SIGN} {100 * by.unsure:.0f} %"
    return f"{100 * (by.times - 1):+z.0f} \N{PLUS-MINUS SIGN} {100 * by.unsure:.0f} %"


def best(trials: Sequence[Trial], times: float, *, bending: bool = False) -> tuple[Trial, Effect] | None:
    """The change that does most, with its own effect; of those that reach `times`, the one that overdoes it least."""
    by = [(trial, trial.bending if bending else trial.twist) for trial in trials]
    helps = [pair for pair in by if pair[1].told and pair[1].times > 1]
    reach = [pair for pair in helps if pair[1].times >= times]
    if reach:
        return min(reach, key=lambda pair: pair[1].times)
    return max(helps, key=lambda pair: pair[1].times, default=None)


def trial_json(trial: Trial) -> dict[str, object]:
    """As plain data."""
    return {"words": trial.change.words, "entries": dict(trial.change.entries), "twist": asdict(trial.twist),
            "bending": asdict(trial.bending), "gone": trial.gone}  # fmt: skip


def trial_of(data: Mapping[str, Any]) -> Trial:
    """The way back. Raises KeyError, TypeError or ValueError for what is none.

    >>> higher = Trial(change=Change(words="walls 18 mm high", entries={"parts.chassis.wall-height": "18.0"}),
    ...                twist=Effect(times=1.2, unsure=0.03), bending=Effect(times=1.9, unsure=0.02))
    >>> trial_of(trial_json(higher)) == higher
    True
    """
    entries = data["entries"]
    if not isinstance(entries, Mapping):
        raise TypeError(f"entries are {type(entries).__name__}")
    change = Change(words=str(data["words"]), entries={str(key): str(text) for key, text in entries.items()})
    twist, bending = (_effect_of(data[name]) for name in ("twist", "bending"))
    return Trial(change=change, twist=twist, bending=bending, gone=int(data["gone"]))


def _effect_of(data: Any) -> Effect:
    if not isinstance(data, Mapping):
        raise TypeError(f"an effect is {type(data).__name__}")
    return Effect(times=float(data["times"]), unsure=float(data["unsure"]))
