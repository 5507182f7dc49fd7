"""`[wiring.leads]` and `[wiring.switches]`: the way from one thing to the next, plus and minus together."""

from __future__ import annotations

from typing import Annotated

from coachwork.build.entries import Area, Ask, Count, Current, Length, Note, Resistance
from coachwork.build.section import Section
from coachwork.quantity import Source

PLUG_STYLES = (
    "servo plug", "balance plug", "small two-pin", "barrel", "bullet 2 mm", "bullet 3.5 mm", "bullet 4 mm",
    "flat blades", "tamper-proof two-pin", "screw clamp",
)  # fmt: skip


class Lead(Section):
    """One lead: a plus and a minus wire, from what feeds it to what it feeds."""

    begins: Annotated[
        str,
        Note("what feeds it: pack, tap 1 (the first cell's balance wire), controller, receiver, a regulator, or where "
             "another lead ends"),
    ] = ""  # fmt: skip
    ends: Annotated[
        str, Note("what it feeds: controller, receiver, a regulator's, a load's or a light string's name, or a new one")
    ] = ""
    area: Annotated[
        Area,
        Ask(how="cross-section of one conductor, printed on its insulation or reel, or from its reel's label; or give "
            "awg, which goes before it. Until then that of a servo's lead, or 2.5 ± 1.2 mm^2 where it ends at the "
            "controller", source=Source.LABEL, usual=(0.03, 20), guess="0.25 ± 0.15 mm^2"),
    ] = Area()  # fmt: skip
    awg: Annotated[
        Count, Ask(how="American wire gauge printed on its insulation, in place of area", source=Source.LABEL,
                   usual=(8, 34)),
    ] = Count()  # fmt: skip
    stranded: Annotated[bool, Note("whether it is of many thin wires; false for a single stiff one")] = True
    length: Annotated[
        Length,
        Ask(how="by ruler, one way, plug to plug along the wire; the way back is counted by itself",
            source=Source.RULER, usual=(10, 2000), guess="150 ± 80 mm"),
    ] = Length()  # fmt: skip
    colour: Annotated[str, Note("colours of plus and minus, for the wiring sheet")] = ""
    plug: Annotated[str, Note(f"plug and socket in it: {', '.join(PLUG_STYLES)}; left out: soldered")] = ""
    plugs: Annotated[
        Count, Ask(how="count such pairs in it; left out: one", source=Source.COUNTING, usual=(1, 6))
    ] = Count()  # fmt: skip
    plug_rating: Annotated[
        Current,
        Ask(how="amperes the plug may carry all the time, by its seller; left out: what is usual for its style",
            source=Source.LABEL, usual=(0.5, 200)),
    ] = Current()  # fmt: skip
    plug_resistance: Annotated[
        Resistance,
        Ask(how="plus and minus contact of one pair together, by multimeter: millivolts across both under a known "
            "load, over its amperes; left out: what is usual for its style", sign="not negative", source=Source.LABEL,
            usual=(0.0001, 0.5)),
    ] = Resistance()  # fmt: skip
    switch: Annotated[str, Note("the switch in it, by its name in wiring.switches")] = ""
    fuse: Annotated[
        Current, Ask(how="amperes printed on the fuse in it; left out: none", source=Source.LABEL, usual=(0.1, 100))
    ] = Current()

    def guess_for(self, name: str, usual: str | None) -> str | None:
        """What feeds the motor is ten times as thick as the others."""
        return "2.5 ± 1.2 mm^2" if name == "area" and self.ends.strip() == "controller" else usual


class Switch(Section):
    """One switch in a lead."""

    rating: Annotated[
        Current,
        Ask(how="amperes on its body or by its seller; where it says V beside them, it is for that voltage",
            source=Source.LABEL, usual=(0.05, 60), guess="2.0 ± 1.0 A"),
    ] = Current()  # fmt: skip
    resistance: Annotated[
        Resistance,
        Ask(how="closed, by multimeter: millivolts across it under a known load, over its amperes", sign="not negative",
            source=Source.LABEL, usual=(0.0005, 0.5), guess="20 ± 12 mohm"),
    ] = Resistance()  # fmt: skip
