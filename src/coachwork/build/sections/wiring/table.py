"""`[wiring]`: all of it, and what is wrong between its keys."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Annotated, ClassVar

from pydantic import Field, field_validator

from coachwork.build.entries import Ask, Ratio, Temperature
from coachwork.build.places import Steps
from coachwork.build.section import Section
from coachwork.build.sections.radio.devices import RECEIVER
from coachwork.build.sections.wiring.leads import PLUG_STYLES, Lead, Switch
from coachwork.build.sections.wiring.lights import LightString
from coachwork.build.sections.wiring.loads import Load, ReceiverLoad


class Wiring(Section):
    """Who feeds whom, through which wires. What is not said is taken as joined without any wire between."""

    TABLE: ClassVar[str] = "wiring"
    ORDER: ClassVar[int] = 62

    air: Annotated[
        Temperature,
        Ask(how="air round wires and regulators while it runs, by thermometer under the shell", sign="any",
            usual=(-20, 90), guess="30 ± 10 degC"),
    ] = Temperature()  # fmt: skip
    contacts: Annotated[
        Ratio,
        Ask(how="how much worse your plugs are than new ones: 1 new, 2 after a hundred pluggings, more when they look "
            "dull or get warm; by multimeter: millivolts across one under a known load, against a new one's",
            usual=(0.5, 10), guess="1.5 ± 0.7"),
    ] = Ratio()  # fmt: skip
    leads: dict[str, Lead] = {}
    switches: dict[str, Switch] = {}
    loads: Annotated[dict[str, Load], Field(validate_default=True)] = {}
    light_strings: dict[str, LightString] = {}

    @field_validator("loads", mode="after")
    @classmethod
    def _with_receiver(cls, loads: dict[str, Load]) -> dict[str, Load]:
        own = loads.get(RECEIVER, Load())
        return {**loads, RECEIVER: ReceiverLoad.model_construct(**dict(own))}

    def own_faults(self) -> Iterator[tuple[Steps, str, str]]:
        """Leads that lead nowhere, plugs and switches that are none."""
        for name, lead in self.leads.items():
            if lead.begins.strip() not in ("", "?") and lead.begins.strip() == lead.ends.strip():
                yield ("leads", name, "ends"), f'read "{lead.ends}", where it begins', "a lead ends somewhere else"
            plug = lead.plug.strip()
            if plug not in ("", "?", *PLUG_STYLES):
                near = difflib.get_close_matches(plug, PLUG_STYLES, n=1, cutoff=0.5)
                wanted = f"did you mean {near[0]}?" if near else f"there are {', '.join(PLUG_STYLES)}"
                yield ("leads", name, "plug"), f'read "{plug}", which is no plug', wanted
            switch = lead.switch.strip()
            if switch not in ("", "?") and switch not in self.switches:
                near = difflib.get_close_matches(switch, self.switches, n=1, cutoff=0.5)
                wanted = f"did you mean {near[0]}?" if near else "name it in [wiring.switches]"
                yield ("leads", name, "switch"), f'read "{switch}", which is no switch', wanted
