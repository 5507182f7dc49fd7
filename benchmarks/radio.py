"""States a second of the radio's explorer: a loop over one state at a time against ours on whole arrays.

The large case is twelve devices on eight channels moved by six controls, with power cycles and signal loss, explored in
full. The baseline is what one would write first: a queue, a set, and each state taken through the same tables one by
one; it walks a part of the case, since all of it would take it minutes. Both must find the same states.
"""

from __future__ import annotations

import tracemalloc
from collections import deque
from collections.abc import Iterator

import numpy as np

from benchmarks.rows import Row, per_second
from coachwork.studies.radio.compile import compiled
from coachwork.studies.radio.explore import explore
from coachwork.studies.radio.product import Product
from coachwork.studies.radio.setup import Channel, Control, Device, Setup

THREE = ("low end", "middle", "high end")
DRIVE = ("reverse", "neutral", "forward")


def control(name: str, kind: str, rest: float, positions: tuple[str, ...] = THREE) -> Control:
    return Control(name=name, kind=kind, on_vehicle=False, rest=rest, positions=positions)


def device(name: str, kind: str, channel: str, at_us: float, modes: tuple[str, ...] = ("off", "on"), **more) -> Device:
    middle = int(kind == "proportional")
    half = 20.0 if middle else 10.0
    return Device(
        name=name, kind=kind, modes=modes, quiet=middle, starts=middle, channel=channel,
        cuts_us=(at_us - half, at_us + half), **more,
    )  # fmt: skip


CONTROLS = (
    control("wheel", "stick", 0.0), control("trigger", "stick", 0.0), control("dial", "dial", -1.0),
    control("lights", "three-position", -1.0, ("off", "side", "head")),
    control("button", "button", -1.0, ("released", "pressed")), control("deck", "two-position", -1.0, ("off", "on")),
)  # fmt: skip
CHANNELS = tuple(
    Channel(name=name, number=i + 1, control=moved_by, failsafe=failsafe, failsafe_us=pulse)
    for i, (name, moved_by, failsafe, pulse) in enumerate((
        ("steering", "wheel", "hold", None), ("throttle", "trigger", "preset", 1500.0), ("engine", "dial", "off", None),
        ("lights", "lights", "off", None), ("horn", "button", "off", None), ("deck", "deck", "preset", 1000.0),
        ("brake", "trigger", "off", None), ("revs", "dial", "preset", 1000.0),
    ))
)  # fmt: skip
DEVICES = (
    device("servo", "proportional", "steering", 1500.0, DRIVE),
    device("controller", "proportional", "throttle", 1500.0, DRIVE, waits_for_neutral=True),
    device("brake", "switched", "throttle", 1480.0, below=True),
    device("buzzer", "switched", "brake", 1400.0, below=True),
    device("engine", "switched", "engine", 1200.0),
    device("revs", "switched", "revs", 1600.0),
    device("side", "switched", "lights", 1300.0),
    device("head", "switched", "lights", 1700.0),
    device("horn", "switched", "horn", 1600.0),
    device("beacon", "cycling", "horn", 1600.0, ("off", "slow", "fast", "both")),
    device("strobe", "cycling", "horn", 1600.0, ("off", "slow", "fast")),
    device("deck", "switched", "deck", 1500.0, powered_by="head", powered_when=(1,)),
)
LARGE = Setup(controls=CONTROLS, channels=CHANNELS, devices=DEVICES, noise_us=4.0)
SMALL = LARGE.part(["beacon", "strobe", "horn", "controller", "brake"])


def rows() -> Iterator[Row]:
    """The loop on a part of the case, ours on the same part, and ours on all of it with its peak of memory."""
    small, large = compiled(SMALL), compiled(LARGE)
    found = explore(small.start, small.successors)
    assert looped(small) == set(found.codes.tolist())
    loop = per_second(lambda: looped(small), things=found.states)
    yield Row(
        name=f"5 devices, {found.states:,} states (states)",
        per_second=per_second(lambda: explore(small.start, small.successors), things=found.states),
        baseline="loop over states",
        baseline_per_second=loop,
    )
    tracemalloc.start()
    found = explore(large.start, large.successors)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert found.complete
    yield Row(
        name=f"12 devices, {found.states:,} states, {peak / 1e6:.0f} MB (states)",
        per_second=per_second(lambda: explore(large.start, large.successors), things=found.states),
        baseline="loop over states",
        baseline_per_second=loop,
    )


def looped(product: Product) -> set[int]:
    """Breadth first with a queue and a set, one state at a time."""
    start = int(product.start[0])
    seen, queue = {start}, deque([start])
    while queue:
        code = queue.popleft()
        for _, after in product.successors(np.array([code])):
            if (reached := int(after[0])) not in seen:
                seen.add(reached)
                queue.append(reached)
    return seen
