"""What the receiver's supply has to feed in the three states of a leg: the wiring's loads that hang on it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from coachwork.build import Numbers
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.devices import OWN_PACK, RECEIVER, Device
from coachwork.build.sections.wiring import Load, Wiring
from coachwork.studies.parts import attempt, need, need_all
from coachwork.studies.wiring.states import draws_of

ELSEWHERE = ("pack", "controller")  # feeders of a load that the receiver's supply does not see


def rail_a(radio: Radio, wiring: Wiring) -> Mapping[str, Numbers]:
    """Amperes by state: quiet, usual, heavy. Raises NotMeasured naming every current that is blank."""
    fed = [name for name, device in radio.devices.items() if _fed(name, device, radio, wiring)]
    own = [name for name in wiring.loads if name not in radio.devices and _feeder(name, wiring) not in ELSEWHERE]
    parts = [
        attempt(draws_of, name, wiring=wiring, radio=radio, lights_strings=False)
        for name in dict.fromkeys((RECEIVER, *fed, *own))
    ]
    need_all(*parts)
    draws = [need(part) for part in parts]
    return {
        "quiet": np.asarray(sum(one.idle for one in draws)),
        "usual": np.asarray(sum(one.typical for one in draws)),
        "heavy": np.asarray(sum(one.peak for one in draws)),
    }


def _fed(name: str, device: Device, radio: Radio, wiring: Wiring) -> bool:
    """Whether it hangs on the receiver's supply, straight or through others."""
    feeder = _feeder(name, wiring)
    if feeder:
        return feeder not in ELSEWHERE
    seen = set()
    while device.powered_by.strip() in radio.devices and device.powered_by not in seen:
        seen.add(device.powered_by)
        device = radio.devices[device.powered_by.strip()]
    return device.powered_by.strip() != OWN_PACK


def _feeder(name: str, wiring: Wiring) -> str:
    """Where its wires begin, followed back from lead to lead; empty where the wiring does not say."""
    here, feeder = name, wiring.loads.get(name, Load()).fed_by.strip()
    ends = {lead.ends.strip(): lead.begins.strip() for lead in wiring.leads.values()}
    for _ in range(len(ends) + 1):  # a circle ends here
        feeder = feeder or ends.get(here, "")
        if not feeder or feeder == "receiver" or feeder in ELSEWHERE or feeder.startswith("tap "):
            break
        here, feeder = feeder, ends.get(feeder, "")
    return "pack" if feeder.startswith("tap ") else feeder
