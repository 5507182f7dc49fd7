"""Changes of the chassis that were drawn and computed: by how much each one makes it stiffer.

Chassis and changed chassis are computed alike, coarsely and without the door; their ratio is better than either, for
like meshes err alike. The ratio is then put on what the chassis gives with its door.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

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
class Trial:
    """A change that was computed: by how much stiffer in twist and in bending the chassis is then, 1 for no change."""

    change: Change
    twist_times: float
    bending_times: float


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


def best(trials: Sequence[Trial], times: float, *, bending: bool = False) -> tuple[Trial, float] | None:
    """The change that does most, with its own factor; of those that reach `times`, the one that overdoes it least."""
    by = [(trial, trial.bending_times if bending else trial.twist_times) for trial in trials]
    reach = [pair for pair in by if pair[1] >= times]
    if reach:
        return min(reach, key=lambda pair: pair[1])
    helps = [pair for pair in by if pair[1] > 1.02]
    return max(helps, key=lambda pair: pair[1], default=None)


def trial_json(trial: Trial) -> dict[str, object]:
    """As plain data."""
    return {"words": trial.change.words, "entries": dict(trial.change.entries), "twist": trial.twist_times,
            "bending": trial.bending_times}  # fmt: skip


def trial_of(data: Mapping[str, object]) -> Trial:
    """The way back. Raises KeyError, TypeError or ValueError for what is none.

    >>> higher = Trial(change=Change(words="walls 18 mm high", entries={"parts.chassis.wall-height": "18.0"}),
    ...                twist_times=1.2, bending_times=1.9)
    >>> trial_of(trial_json(higher)) == higher
    True
    """
    entries = data["entries"]
    if not isinstance(entries, Mapping):
        raise TypeError(f"entries are {type(entries).__name__}")
    change = Change(words=str(data["words"]), entries={str(key): str(text) for key, text in entries.items()})
    return Trial(change=change, twist_times=float(str(data["twist"])), bending_times=float(str(data["bending"])))
