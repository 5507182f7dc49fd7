"""What is known of each lead, in numbers and words, for the sheets that name wires."""

from __future__ import annotations

import math
from dataclasses import dataclass

from coachwork.build.sections.radio.names import name_in
from coachwork.build.sections.wiring import Lead, Wiring
from coachwork.catalogue.wires import area_for_mm2, awg_area_mm2, usual_current_a
from coachwork.papers.subject import Subject
from coachwork.studies.parts import is_missing
from coachwork.studies.wiring.result import WiringResult


@dataclass(frozen=True, kw_only=True)
class WireFacts:
    """One lead: plus and minus together.

    area_mm2   : of one conductor, None where neither area nor gauge is given
    length_mm  : one way; `guessed` where nobody measured it
    most_a     : the most it carries in any state that was solved, None where the network was not
    wanted_mm2 : the thinnest usual wire for that, where it is thicker than the wire is, or the wire is not known
    """

    name: str
    begins: str
    ends: str
    area_mm2: float | None
    stranded: bool
    length_mm: float | None
    guessed: bool
    colour: str
    plug: str
    plugs: int
    switch: str
    fuse_a: float | None
    most_a: float | None
    wanted_mm2: float | None

    @property
    def gauge(self) -> str:
        """Metric and American.

        >>> gauge_words(0.14)
        '0.14 mm² (AWG 26)'
        """
        return "gauge not known" if self.area_mm2 is None else gauge_words(self.area_mm2)

    @property
    def connector(self) -> str:
        """Its plug in words."""
        if not self.plug:
            return "soldered"
        return self.plug if self.plugs == 1 else f"{self.plugs} x {self.plug}"


def wires_of(of: Subject) -> tuple[WireFacts, ...]:
    """All leads, in the order of the file."""
    result: WiringResult = of.result("wiring")
    return tuple(_facts(name, lead, result) for name, lead in of.build[Wiring].leads.items())


def _facts(name: str, lead: Lead, result: WiringResult) -> WireFacts:
    area = float(lead.area.mm2[0]) if lead.area.given else None
    if area is None and lead.awg.given:
        area = float(awg_area_mm2(lead.awg.count)[0])
    most = None
    if not is_missing(result.solved) and all(name in case.leads_a for case in result.solved.cases.values()):
        most = max(abs(float(case.leads_a[name][0])) for case in result.solved.cases.values())
    return WireFacts(
        name=name, begins=name_in(lead.begins), ends=name_in(lead.ends), area_mm2=area, stranded=lead.stranded,
        length_mm=float(lead.length.mm[0]) if lead.length.known else None, guessed=not lead.length.given,
        colour=lead.colour.strip(), plug=lead.plug.strip(),
        plugs=round(float(lead.plugs.count[0])) if lead.plugs.given else 1,
        switch=name_in(lead.switch), fuse_a=float(lead.fuse.a[0]) if lead.fuse.given else None,
        most_a=most, wanted_mm2=_wanted(area, most),
    )  # fmt: skip


def _wanted(area: float | None, most_a: float | None) -> float | None:
    if most_a is None or (area is not None and float(usual_current_a(area)) >= most_a):
        return None
    try:
        return area_for_mm2(most_a)
    except ValueError:  # no usual wire is thick enough; the study's verdict says what is wrong
        return None


def gauge_words(area_mm2: float) -> str:
    """Metric and the nearest American gauge (ASTM B258), solid and stranded alike.

    >>> gauge_words(2.1)
    '2.1 mm² (AWG 14)'
    """
    gauge = 36 - 39 * math.log(math.sqrt(4 * area_mm2 / math.pi) / 0.127, 92)
    return f"{area_mm2:.3g} mm² (AWG {round(gauge)})"
