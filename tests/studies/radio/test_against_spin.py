"""Verdicts, shortest lengths and numbers of states against spin, an independent model checker (Debian package spin).

Each reference model is written twice from the same words: as a build here, in Promela beside it. spin searches breadth
first (-DBFS), so its first error is one of the nearest; its depth counts transitions from 0, one less than our actions.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

MODELS = Path(__file__).parent / "promela"

BUTTON = """
[radio.controls]
button = { kind = "button" }
[radio.channels]
one = { number = 1, control = "button", failsafe = "off" }
"""
TWO_COUNTS = (
    BUTTON
    + """
[radio.devices]
a = { kind = "cycling", channel = "one", modes = "off, slow, fast", switches-at = 1500, hysteresis = "20 us" }
b = { kind = "cycling", channel = "one", switches-at = 1500, hysteresis = "20 us" }
"""
)
HELD_THROTTLE = """
[radio.controls]
trigger = { kind = "stick" }
[radio.channels]
throttle = { number = 1, control = "trigger", failsafe = "hold" }
[radio.devices]
drive = { kind = "proportional", channel = "throttle", neutral = 1500, dead-band = 40 }
"""
KEPT = """
[radio.controls]
button = { kind = "button" }
feed = { kind = "two-position", at = "vehicle" }
[radio.channels]
one = { number = 1, control = "button", failsafe = "off" }
[radio.devices]
lamp = { kind = "cycling", channel = "one", switches-at = 1500, powered-by = "feed", memory = "kept" }
"""
LONG_PRESS = (
    BUTTON
    + """
[radio.devices]
sign = { kind = "held", channel = "one", switches-at = 1500, hold-time = "1 s" }
lamp = { kind = "cycling", channel = "one", switches-at = 1500, time-out = "2 s" }
"""
)
THRESHOLDS = """
[radio.controls]
dial = { kind = "dial" }
[radio.channels]
one = { number = 1, control = "dial", failsafe = "off" }
[radio.devices]
low = { kind = "switched", channel = "one", switches-at = 1300, hysteresis = "20 us" }
high = { kind = "switched", channel = "one", switches-at = 1400, hysteresis = "20 us" }
"""
WAITS = """
[radio.controls]
trigger = { kind = "stick" }
[radio.channels]
throttle = { number = 1, control = "trigger", failsafe = "preset", failsafe-pulse = 1500 }
[radio.devices]
drive = { kind = "proportional", channel = "throttle", neutral = 1500, dead-band = 40, waits-for-neutral = true }
"""

# build, wish, Promela model, its macro
REFERENCES = {
    "two counts on one button": (TWO_COUNTS, "a on exactly when b on", "two-counts", ""),
    "a held throttle": (HELD_THROTTLE, "drive neutral on signal loss", "held-throttle", ""),
    "a memory behind a switch": (KEPT, "lamp off at any power-up", "kept-behind-a-switch", ""),
    "a long press": (LONG_PRESS, "sign on only when lamp on", "long-press", ""),
    "two thresholds, one within the other": (THRESHOLDS, "high on only when low on", "two-thresholds", ""),
    "two thresholds, not the same": (THRESHOLDS, "high on exactly when low on", "two-thresholds", "EXACTLY"),
    "a controller that waits": (WAITS, "drive neutral at any power-up", "waits-for-neutral", ""),
}
PROVED = {"two thresholds, one within the other", "a controller that waits"}


@pytest.fixture(scope="module")
def spin(tmp_path_factory):
    """Runs a Promela model: (errors, depth of the first, states of a run that goes on behind errors)."""
    for tool in ("spin", "cc"):
        if shutil.which(tool) is None:
            pytest.fail(f"{tool} is not installed: scripts/system-packages installs what the tests need")

    def run(model: str, macro: str) -> tuple[int, int, int]:
        folder = tmp_path_factory.mktemp(model)
        text = (MODELS / f"{model}.pml").read_text("utf-8")
        (folder / "model.pml").write_text(f"#define {macro}\n{text}" if macro else text, encoding="utf-8")
        subprocess.run(["spin", "-a", "model.pml"], cwd=folder, check=True, capture_output=True)
        subprocess.run(["cc", "-O1", "-w", "-DBFS", "-DNOREDUCE", "-o", "pan", "pan.c"], cwd=folder, check=True)
        first = subprocess.run(["./pan"], cwd=folder, check=True, capture_output=True, text=True).stdout
        whole = subprocess.run(["./pan", "-A"], cwd=folder, check=True, capture_output=True, text=True).stdout
        errors, depth = (int(re.search(rf"{word} (\d+)", first)[1]) for word in ("errors:", "depth reached"))
        return errors, depth, int(re.search(r"(\d+) states, stored", whole)[1])

    return run


@pytest.mark.parametrize("name", REFERENCES)
def test_verdict_length_and_states_are_those_of_spin(judge, spin, name):
    build, wish, model, macro = REFERENCES[name]

    ours = judge(build, wish)
    errors, depth, states = spin(model, macro)

    assert ours.complete
    assert ours.proved == (errors == 0) == (name in PROVED)
    assert ours.states == states
    if errors:
        assert len(ours.way) - 1 == depth + 1
