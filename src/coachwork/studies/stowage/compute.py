"""From the tables to how everything is stowed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

import numpy as np

from coachwork.build import require
from coachwork.build.sections.boxes import Boxes, words_of
from coachwork.build.sections.ceilings import Ceilings
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.envelopes import Envelopes
from coachwork.build.sections.keep_outs import KeepOuts
from coachwork.build.sections.loads import Loads
from coachwork.build.sections.masses import Masses
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.build.sections.stowing import Stowing
from coachwork.build.sections.wanted import Wanted
from coachwork.build.sections.wheels import Wheels
from coachwork.build.sections.wiring import Wiring
from coachwork.scans.ceiling import Ceiling
from coachwork.scans.deck_rim import DeckRim
from coachwork.studies.clearance.inputs import Sections
from coachwork.studies.linkage.result import LinkageResult
from coachwork.studies.memory import Memory
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing
from coachwork.studies.stowage.around import around
from coachwork.studies.stowage.glance import clash_at_a_glance
from coachwork.studies.stowage.judge import Places, air, distance, in_reach, plugs, run, side, way_out
from coachwork.studies.stowage.placed import has_place, placed
from coachwork.studies.stowage.posing import problem_of
from coachwork.studies.stowage.result import Distance, Fit, StowageResult
from coachwork.studies.stowage.tables import Tables, all_needed, gaps_asked


def stowage(
    boxes: Boxes,
    decks: Decks,
    ceilings: Ceilings,
    keep_outs: KeepOuts,
    places: BoxPlaces,
    stowing: Stowing,
    wiring: Wiring,
    loads: Loads,
    masses: Masses,
    wanted: Wanted,
    shell: Shell,
    running_gear: RunningGear,
    wheels: Wheels,
    changes: Changes,
    envelopes: Envelopes,
    linkage: LinkageResult,
    overhead: Part[Ceiling],
    rims: Mapping[str, Part[DeckRim]],
    plain: StowageResult | None,
    memory: Memory,
) -> StowageResult:
    """The boxes judged where they are; those without a place looked at one by one.

    With samples, what moves past and the shell's inside stay where `plain` has them, and what is told of boxes that
    have no place is told by the plain numbers.
    """
    if plain is not None:
        near = plain.tables.around
    else:
        sections = Sections(
            shell=shell, gear=running_gear, wheels=wheels, changes=changes, envelopes=envelopes, samples=1
        )
        near = around(boxes, decks, (sections, linkage), overhead, rims, memory)
    tables = Tables(
        boxes=boxes, decks=decks, ceilings=ceilings, keep_outs=keep_outs, places=places, stowing=stowing,
        wiring=wiring, loads=loads, masses=masses, wanted=wanted, wheelbase=running_gear.wheelbase,
        stretch=changes.stretch, around=near, rims=rims,
    )  # fmt: skip
    fitted = None if plain is None or not _not_all_placed(tables) else plain.fit
    # Most edits of the running gear leave all that lies round the boxes where it was.
    judged = memory.once_reading("judged", (near, rims, fitted), lambda: _judged(tables, fitted, memory))
    return replace(judged, tables=tables)


def _judged(tables: Tables, fitted: Part[Fit] | None, memory: Memory) -> StowageResult:
    """All of it; `fitted` is the answer to the whole question where that is known."""
    boxes = tables.boxes
    where: Places = {name: attempt(placed, name, tables) for name in boxes.each}
    asked = attempt(gaps_asked, tables)
    pairs: dict[str, Part[Distance]] = {}
    for one, two in _pairs(tables):
        gap = asked if is_missing(asked) else asked[one, two]
        pairs[f"{one}.{two}"] = gap if is_missing(gap) else attempt(distance, one, two, gap, where, tables)
    judged = StowageResult(
        fit=attempt(_no_fit) if fitted is None else fitted,
        air={name: attempt(air, name, where, tables) for name in boxes.each},
        plugs={name: attempt(plugs, name, where, tables) for name, box in boxes.each.items() if box.exits},
        leads={
            f"{name}.{lead}": attempt(run, name, lead, where, tables)
            for name, box in boxes.each.items()
            for lead in box.leads
        },
        reach={
            f"{name}.{face}": attempt(in_reach, name, face, where, tables)  # type: ignore[arg-type]
            for name, box in boxes.each.items()
            for face in words_of(box.reach)
        },
        out={name: attempt(way_out, name, where, tables) for name, box in boxes.each.items() if box.comes_out},
        apart=pairs,
        side=attempt(partial(side, where, tables)),
        tables=tables,
    )
    return judged if fitted is not None else judged.with_fit(attempt(fit, judged, memory))


def _no_fit() -> Fit:
    raise CannotBe("not looked at yet")


def _pairs(tables: Tables) -> list[tuple[str, str]]:
    """Who keeps apart hangs on names only, not on numbers."""
    known = [*tables.boxes.each, *tables.keep_outs.each]
    found: dict[tuple[str, str], None] = {}
    for name, box in tables.boxes.each.items():
        others = [other for other in box.keep_from if other in known and other != name]
        if box.heat == "spoilt by heat":
            others += [n for n, b in tables.boxes.each.items() if b.heat == "hot"]
            others += [n for n, k in tables.keep_outs.each.items() if k.hot]
        for other in others:
            boxes = list(tables.boxes.each)
            swap = other in boxes and boxes.index(other) < boxes.index(name)
            found[(other, name) if swap else (name, other)] = None
    return list(found)


def _unplaced(tables: Tables) -> list[str]:
    return [name for name in tables.boxes.each if not has_place(tables.places.each.get(name))]


def _not_all_placed(tables: Tables) -> bool:
    return not tables.boxes.each or bool(_unplaced(tables))


def fit(judged: StowageResult, memory: Memory) -> Fit:
    """Of places that are given: how many demands they break. Else what can be told without a solver."""
    tables = judged.tables
    if _not_all_placed(tables):
        problem = problem_of(tables)
        # In whole steps, so that most edits leave it as it is.
        clash = memory.once("clash at a glance", (problem,), lambda: clash_at_a_glance(problem))
        if clash is None:
            unplaced = _unplaced(tables)
            names = ", ".join(unplaced)
            raise CannotBe(
                f"{names} {'has' if len(unplaced) == 1 else 'have'} no place yet; each would fit by itself: "
                "coachwork stow tells whether all fit together, and where"
            )
        return Fit(number=np.full(1, float(len(clash.demands))), clash=clash, step_mm=problem.step_mm)
    require(*all_needed(tables))
    checks = {
        **{f"{name} has no air": part if is_missing(part) else part.least_mm for name, part in judged.air.items()},
        **{f"{name}'s plugs": part if is_missing(part) else part.spare_mm for name, part in judged.plugs.items()},
        **{
            f"the lead {name}": part if is_missing(part) else part.length_mm - part.needs_mm
            for name, part in judged.leads.items()
        },
        **{f"reach of {name}": part if is_missing(part) else -part.number for name, part in judged.reach.items()},
        **{f"the way out of {name}": part if is_missing(part) else -part.number for name, part in judged.out.items()},
        **{
            f"{part.one} from {part.two}" if not is_missing(part) else name: (
                part if is_missing(part) else part.apart_mm - part.asked_mm
            )
            for name, part in judged.apart.items()
        },
    }
    spare = {name: margin for name, margin in checks.items() if not is_missing(margin)}
    if not spare:
        raise CannotBe("none of the boxes could be judged")
    number = np.sum(np.broadcast_arrays(*((margin < 0).astype(float) for margin in spare.values())), axis=0)
    broken = tuple(name for name, margin in spare.items() if margin.flat[0] < 0)
    return Fit(number=np.asarray(number), broken=broken)
