"""What a study may ask for that is in no table: the scanned shell, whose file the build names, its ceiling, the
outlines of decks in a chassis file, and the parts that stand made.

Loaded when a build names a file, not before: most builds have none, and `check` starts at once.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from coachwork.build import Build, NotMeasured, Section, View
from coachwork.build.entries import BLANKS
from coachwork.build.sections.about import About
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.decks import Deck, Decks
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.seating import Seating
from coachwork.build.sections.wheels import Wheels
from coachwork.errors import CoachworkError
from coachwork.plan.asked import asked_parts
from coachwork.plan.asked import stamp as stamp_of_asked
from coachwork.plan.made import made_parts
from coachwork.plan.made import stamp as stamp_of_made
from coachwork.plan.standing import standing_parts
from coachwork.plan.strengths import stamp as stamp_of_strengths
from coachwork.plan.strengths import strengths
from coachwork.scans.ceiling import Ceiling
from coachwork.scans.deck_rim import DeckRim
from coachwork.scans.seated import SeatedShell
from coachwork.studies.parts import Blocked, Missing, Part, is_missing
from coachwork.studies.solids import MadeParts, PartWeights, StandingParts
from coachwork.studies.structure.strengths import Strengths


@dataclass(frozen=True, kw_only=True)
class Supply:
    """One such thing.

    sections : the tables it is made from
    make     : makes it, reading the entries through a view, which notes them
    stamp    : of what lies outside the build file; another stamp, another thing
    """

    sections: tuple[type[Section], ...]
    make: Callable[[Build, View], Any]
    stamp: Callable[[Build], Hashable]


def _seated_shell(build: Build, view: View) -> Part[SeatedShell]:
    if not build[Shell].mesh.strip():
        return Missing(("shell.mesh",))
    from coachwork.scans.loading import seated_shell

    try:
        return seated_shell(
            build.path.parent, shell=build[Shell], prototype=build[Prototype], about=build[About],
            seating=build[Seating].seen_by(view), changes=build[Changes].seen_by(view),
            gear=build[RunningGear].seen_by(view), wheels=build[Wheels].seen_by(view),
        )  # fmt: skip
    except NotMeasured as gap:
        return Missing(gap.keys)
    except CoachworkError as fault:
        return Blocked(str(fault))
    except OSError as fault:
        return Blocked(f"{build[Shell].mesh}: {(fault.strerror or str(fault)).lower()}")


def _deck_ceiling(build: Build, view: View) -> Part[Ceiling]:
    shell = _seated_shell(build, view)
    if is_missing(shell):
        return shell
    from coachwork.scans.loading import ceiling_of

    return ceiling_of(shell)


def _mesh_stamp(build: Build) -> Hashable:
    if not build[Shell].mesh.strip():
        return None
    from coachwork.scans.loading import stamp

    return stamp(build.path.parent, build[Shell], build[Prototype], build[About])


def _from_file(build: Build) -> Mapping[str, Deck]:
    return {name: deck for name, deck in build[Decks].each.items() if deck.outline_from.strip() not in BLANKS}


def _deck_rims(build: Build, view: View) -> Mapping[str, Part[DeckRim]]:
    """Of each deck whose outline a file tells. With samples it stays where the plain numbers have it."""
    seen = build[Decks].seen_by(view)
    return {name: _deck_rim(build, name, deck, seen.each[name]) for name, deck in _from_file(build).items()}


def _deck_rim(build: Build, name: str, plain: Deck, seen: Deck) -> Part[DeckRim]:
    from coachwork.scans.deck_section import deck_rim
    from coachwork.scans.loading import named_file

    key = f"decks.{name}.outline-from"
    try:
        doors = (entry for door in seen.doors.values() for entry in (door.x_from, door.x_to, door.y_from, door.y_to))
        _ = [entry.mm for entry in (seen.height, *(entry for entry in doors if entry.known))]  # on record
        return deck_rim(named_file(build.path.parent, plain.outline_from, key=key), plain.seen_by(None))
    except NotMeasured as gap:
        return Missing(gap.keys)
    except CoachworkError as fault:
        return Blocked(str(fault))
    except OSError as fault:
        return Blocked(f"{plain.outline_from}: {(fault.strerror or str(fault)).lower()}")


def _rims_stamp(build: Build) -> Hashable:
    named = {name: deck.outline_from for name, deck in _from_file(build).items()}
    if not named:
        return None
    from coachwork.scans.loading import digest, named_file

    def state(name: str) -> str:
        try:
            return digest(named_file(build.path.parent, named[name], key=name))
        except (CoachworkError, OSError) as fault:
            return str(fault)

    return tuple((name, named[name], state(name)) for name in named)


Rims: TypeAlias = Mapping[str, Part[DeckRim]]
Scanned: TypeAlias = Part[SeatedShell]
Overhead: TypeAlias = Part[Ceiling]
_SEAT = (Shell, Seating, Changes, RunningGear, Wheels)
SUPPLIES: Mapping[Any, Supply] = {
    Scanned: Supply(sections=_SEAT, make=_seated_shell, stamp=_mesh_stamp),
    Overhead: Supply(sections=_SEAT, make=_deck_ceiling, stamp=_mesh_stamp),
    Rims: Supply(sections=(Decks,), make=_deck_rims, stamp=_rims_stamp),
    PartWeights: Supply(sections=(), make=lambda build, _: asked_parts(build).weights(), stamp=stamp_of_asked),
    StandingParts: Supply(sections=(), make=lambda build, _: standing_parts(build), stamp=stamp_of_asked),
    MadeParts: Supply(sections=(), make=lambda build, _: made_parts(build), stamp=stamp_of_made),
    Strengths: Supply(sections=(), make=lambda build, _: strengths(build), stamp=stamp_of_strengths),
}
"""By the type a study's parameter names."""
