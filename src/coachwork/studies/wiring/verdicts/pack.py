"""The pack: its count of cells, what protects them, what they give, and whether all give the same."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build import Numbers
from coachwork.catalogue.cells import CELLS, Cell
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import attempt, need_all
from coachwork.studies.wiring.result import PackFacts, Solved, WiringResult
from coachwork.studies.wiring.verdicts.wording import CAUTION, amperes, extreme, volts
from coachwork.studies.wording import COMMON_PRACTICE, first

PLACE = Place(part="pack")
UNEVEN_PERCENT = 1.0  # of the capacity, apart after an hour: ten runs until a balancing charger has real work
TIGHT_CELL_V = 0.05
PEAK_SHARE = 2.0  # a pack gives this many times its continuous current for seconds; most labels say so


def findings(result: WiringResult) -> Iterator[Finding]:
    """Cells first, for everything else stands on them."""
    pack = result.pack
    cell = CELLS[pack.chemistry]
    yield judge(
        attempt(lambda: need_all(pack.counted, pack.rest_v)), lambda two: _cells(cell, pack, *two),
        id="wiring.pack.cells", question="Has the pack as many cells as you say?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(pack.cells, pack.most_cells)), lambda two: _most_cells(*two),
        id="wiring.controller.cells", question="Does the speed controller take so many cells?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(pack.cells, pack.cut_off_v)), lambda two: _cut_off(cell, pack, *two),
        id="wiring.pack.cut-off", question="Does the speed controller stop before the cells are harmed?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(result.solved, pack.most_a)), lambda two: _current(*two),
        id="wiring.pack.current", question="Can the pack give what is asked of it?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(result.solved, result.controller_a)), lambda two: _controller(*two),
        id="wiring.controller.current", question="Can the speed controller carry the motor's current?",
    )  # fmt: skip
    yield judge(
        attempt(lambda: need_all(result.solved, pack.capacity_mah)), lambda two: _even(*two),
        id="wiring.pack.even", question="Do all cells of the pack give the same?",
    )  # fmt: skip


def _cells(cell: Cell, pack: PackFacts, cells: Numbers, rest_v: Numbers) -> Told:
    low, high = cell.rest_v
    middle, half = (low + high) / 2, (high - low) / 2
    each, told = first(rest_v / cells), round(first(cells))
    likely = max(1, round(first(rest_v) / cell.nominal_v))
    do = None
    if not low <= each <= high:
        do = (
            f"count again: {volts(rest_v)} would be {likely} cell{'s' if likely > 1 else ''} of {pack.chemistry}"
            if likely != told
            else f"do not use it: a cell of {volts(each)} is harmed or over-charged. {CAUTION}"
        )
    return {
        "value": rest_v / cells - middle,
        "limit": half,
        "sense": "within",
        "tight_within": TIGHT_CELL_V,
        "unit": "V a cell",
        "why": f"{volts(rest_v)} over {told} is {volts(each)} a cell; at rest one of {pack.chemistry} has between "
        f"{low:.1f} and {high:.1f} V, the middle of which is taken off here",
        "do": do,
        "where": PLACE,
        "source": COMMON_PRACTICE,
    }


def _most_cells(cells: Numbers, most: Numbers) -> Told:
    over = first(cells) > first(most)
    return {
        "value": cells,
        "limit": most,
        "unit": "cells",
        "why": f"the pack has {first(cells):.0f} in series, the controller takes {first(most):.0f} at most",
        "do": f"fit a pack of {first(most):.0f} cells, or a controller for {first(cells):.0f}; never try it out"
        if over
        else None,
        "where": Place(part="speed controller"),
        "source": "the controller's label",
    }


def _cut_off(cell: Cell, pack: PackFacts, cells: Numbers, cut_off_v: Numbers) -> Told:
    each = first(cut_off_v / cells)
    wanted = first(cells) * (cell.least_v + 0.2)
    short = each < cell.least_v
    return {
        "value": cut_off_v / cells,
        "limit": cell.least_v,
        "sense": "at least",
        "tight_within": TIGHT_CELL_V,
        "unit": "V a cell",
        "why": f"it stops at {volts(cut_off_v)}, that is {volts(each)} for each of {first(cells):.0f} cells; one of "
        f"{pack.chemistry} is harmed under {cell.least_v:.1f} V, and may burn at its next charge"
        if first(cut_off_v) > 0
        else f"it has no such protection, and a cell of {pack.chemistry} is harmed under {cell.least_v:.1f} V",
        "do": f"set it for {first(cells):.0f} cells of {pack.chemistry}, so that it stops at {wanted:.1f} V or above; "
        "if it cannot be, plug a cell alarm into the balance plug"
        if short
        else None,
        "where": Place(part="speed controller"),
        "source": COMMON_PRACTICE,
    }


def _current(solved: Solved, most_a: Numbers) -> Told:
    lasting_a, _ = extreme(
        {k: c for k, c in solved.cases.items() if c.state != "pulling away"}, lambda c: c.cells_a[-1]
    )
    peak_a, _ = extreme(solved.cases, lambda case: case.cells_a[-1])
    asked = np.maximum(lasting_a, peak_a / PEAK_SHARE)
    short = first(asked) > first(most_a)
    return {
        "value": asked,
        "limit": most_a,
        "tight_within": 0.1 * first(most_a),
        "unit": "A",
        "why": f"{amperes(lasting_a)} with everything on, {amperes(peak_a)} pulling away, of which half counts, for a "
        f"pack gives twice its rating for seconds; it may give {amperes(most_a)} all the time",
        "do": f"fit a pack that gives {amperes(asked)}, by capacity times its rating" if short else None,
        "where": PLACE,
        "source": "capacity times discharge rating, as its label says; twice that for seconds is " + COMMON_PRACTICE,
    }


def _controller(solved: Solved, limit_a: Numbers) -> Told:
    start, _ = extreme(
        {k: c for k, c in solved.cases.items() if c.state == "pulling away"}, lambda c: c.loads_a["motor"]
    )
    return {
        "value": start,
        "limit": limit_a,
        "tight_within": 0.1 * first(limit_a),
        "unit": "A",
        "why": f"the motor draws {amperes(start)} at most, the controller carries {amperes(limit_a)} all the time",
        "do": f"fit a smaller pinion, or a controller for {amperes(1.2 * start)}"
        if first(start) > first(limit_a)
        else None,
        "where": Place(part="speed controller"),
        "source": "the controller's label",
    }


def _even(solved: Solved, capacity_mah: Numbers) -> Told:
    case = solved.cases["driving, full pack"]
    cells = np.broadcast_arrays(*case.cells_a)
    most, least = np.maximum.reduce(cells), np.minimum.reduce(cells)
    apart = (most - least) / (capacity_mah / 1000) * 100
    uneven = first(apart) > UNEVEN_PERCENT
    plain = [first(array) for array in cells]
    return {
        "value": apart,
        "limit": UNEVEN_PERCENT,
        "tight_within": 0.1,
        "unit": "% an hour",
        "why": f"while driving cell {plain.index(max(plain)) + 1} gives {amperes(most - least)} more than cell "
        f"{plain.index(min(plain)) + 1}, for something hangs on a tap between them; the lower one is drained below its "
        "limit unseen, since only the sum is watched"
        if uneven or max(plain) - min(plain) > 1e-6
        else "nothing hangs on a tap between the cells",
        "do": f"feed it from the receiver or from a regulator on the whole pack; never from a balance wire. {CAUTION}"
        if uneven
        else None,
        "where": Place(part="balance plug"),
        "source": f"{COMMON_PRACTICE}: cells kept within a percent of their capacity",
    }
