"""Between the pack's cells and what they feed: how many there are, their volts, and what every lead takes off.

One place for the driveline, the wiring and the power study, so that they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from coachwork.build import NotMeasured, Numbers
from coachwork.build.sections.controller import Controller
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.radio.names import name_in
from coachwork.build.sections.wiring import Lead, Wiring
from coachwork.catalogue.cells import CELLS
from coachwork.catalogue.plugs import PLUGS
from coachwork.catalogue.wires import awg_area_mm2, resistance_ohm, usual_current_a
from coachwork.studies.result import Result

LEADS_OHM = 0.008  # pack to controller and back, where the wiring does not say; common practice, no source
ON_V = 0.15  # across the controller's switches at its rated current; common practice, no source
MOST_CELLS = 12


def cells_in_series(pack: Pack) -> Numbers:
    """How many, (samples,): as the label says, else by its volts at rest where these leave one count only.

    No count is ever guessed: one cell too many and every limit that protects them is wrong. Raises NotMeasured.
    """
    if pack.cells.given:
        return pack.cells.count
    if pack.voltage.given:
        volts = pack.voltage.v
        low, high = CELLS[pack.chemistry].rest_v
        middle = float(np.mean(volts))  # one pack, whatever the reading's spread
        if len(fit := [n for n in range(1, MOST_CELLS + 1) if low * n <= middle <= high * n]) == 1:
            return np.full(volts.shape, float(fit[0]))
    raise NotMeasured([pack.cells])


def nominal_v(pack: Pack) -> Numbers:
    """The volts on its label, (samples,), which it has through most of a drive. Raises NotMeasured."""
    return cells_in_series(pack) * CELLS[pack.chemistry].nominal_v


def switches_ohm(controller: Controller) -> Numbers:
    """Of the controller's switches, (samples,). Raises NotMeasured."""
    return np.asarray(ON_V / controller.current_limit.a)


@dataclass(frozen=True, kw_only=True, eq=False)
class LeadFacts(Result):
    """One lead in numbers, (samples,).

    ohm : there and back, with its plugs and its switch
    """

    name: str
    area_mm2: Numbers
    length_mm: Numbers
    ohm: Numbers
    wire_a: Numbers
    plug_a: Numbers | None
    switch_a: Numbers | None
    fuse_a: Numbers | None


def lead_facts(name: str, lead: Lead, wiring: Wiring) -> LeadFacts:
    """One lead's resistance and what it may carry. Where both are given, its gauge goes before its area."""
    area = awg_area_mm2(lead.awg.count) if lead.awg.given else lead.area.mm2
    wire = resistance_ohm(
        area_mm2=area, length_mm=lead.length.mm, temperature_degc=wiring.air.degc, stranded=lead.stranded
    )
    ohm, plug_a, switch_a = 2 * wire, None, None
    if (style := lead.plug.strip()) in PLUGS:
        each = lead.plug_resistance.ohm if lead.plug_resistance.given else _worn(style, wiring)
        ohm = ohm + each * (lead.plugs.count if lead.plugs.given else 1.0)
        plug_a = lead.plug_rating.a if lead.plug_rating.given else np.array([PLUGS[style].rating_a])
    if (name_of := lead.switch.strip()) in wiring.switches:
        ohm = ohm + wiring.switches[name_of].resistance.ohm
        switch_a = wiring.switches[name_of].rating.a
    return LeadFacts(
        name=name,
        area_mm2=area,
        length_mm=lead.length.mm,
        ohm=ohm,
        wire_a=usual_current_a(area),
        plug_a=plug_a,
        switch_a=switch_a,
        fuse_a=lead.fuse.a if lead.fuse.given else None,
    )


def _worn(style: str, wiring: Wiring) -> Numbers:
    return np.asarray(PLUGS[style].resistance_ohm * wiring.contacts.ratio)


def way_ohm(wiring: Wiring, *, begins: str, ends: str) -> Numbers | None:
    """All that lies between two places, there and back, (samples,); None where no leads join them."""
    laid = list(_way(wiring, begins=begins, ends=ends))
    if not laid or name_in(wiring.leads[laid[-1]].begins) != begins:
        return None
    return np.asarray(sum((lead_facts(name, wiring.leads[name], wiring).ohm for name in laid), np.zeros(1)))


def _way(wiring: Wiring, *, begins: str, ends: str) -> Iterator[str]:
    """Leads from the end back to the beginning, or as far as they go."""
    into = {name_in(lead.ends): name for name, lead in wiring.leads.items()}
    here = ends
    for _ in range(len(into)):  # leads that run in a circle end here
        if here == begins or here not in into:
            return
        yield into[here]
        here = name_in(wiring.leads[into[here]].begins)


def pack_leads_ohm(wiring: Wiring) -> Numbers:
    """Pack to controller and back, (samples,); a usual value where the wiring does not say."""
    ohm = way_ohm(wiring, begins="pack", ends="controller")
    return np.array([LEADS_OHM]) if ohm is None else ohm
