"""What the receiver's supply has to feed in the three states of a leg, from the radio's table and the wiring's."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from coachwork.build import Current, Numbers, require
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.devices import OWN_PACK, Device
from coachwork.build.sections.wiring import Load, Wiring

SERVO_SHARE = 0.25  # of what a servo draws working hard, on average while you drive; common practice, no source
ELSEWHERE = ("pack", "controller")  # feeders of a load that the receiver's supply does not see


def rail_a(radio: Radio, wiring: Wiring) -> Mapping[str, Numbers]:
    """Amperes by state: quiet, usual, heavy. Raises NotMeasured naming every current that is blank."""
    fed = {name: device for name, device in radio.devices.items() if _fed(name, device, radio, wiring)}
    others = {name: load for name, load in wiring.loads.items() if name not in radio.devices and name != "receiver"}
    own = {name: load for name, load in others.items() if _feeder(name, wiring) not in ELSEWHERE}
    entries = {name: _of_device(device, wiring.loads.get(name, Load())) for name, device in fed.items()}
    entries |= {name: (load.idle, load.typical, load.peak) for name, load in own.items()}
    require(radio.receiver.current, *(entry for three in entries.values() for entry in three))
    total = [radio.receiver.current.a] * 3
    for name, three in entries.items():
        amps = [entry.a for entry in three]
        if name in fed and not wiring.loads.get(name, Load()).typical.given and fed[name].kind == "proportional":
            amps[1] = amps[0] + SERVO_SHARE * (amps[2] - amps[0])
        total = [before + more for before, more in zip(total, amps, strict=True)]
    return dict(zip(("quiet", "usual", "heavy"), (np.asarray(amps) for amps in total), strict=True))


def _of_device(device: Device, load: Load) -> tuple[Current, Current, Current]:
    """Idle, typical and peak: the wiring's own where given, else the radio's."""
    peak = load.peak if load.peak.given else device.current_on
    idle = load.idle if load.idle.given else device.current_quiet
    return idle, load.typical if load.typical.given else peak, peak


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
