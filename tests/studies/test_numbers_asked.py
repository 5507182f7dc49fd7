"""What the driveline, the wiring and the power study ask for: where to read it, and what goes on until then.

Walks every number that these studies read on either van, so a key that is added later is held to the same.
"""

import re
from pathlib import Path

import pytest

from coachwork.build import read
from coachwork.plan import Plan, discover

TABLES = (
    "pack.", "motor.", "controller.", "regulators.", "gearing.", "loads.", "heat.", "cut-outs.", "wiring.",
    "radio.receiver.current", "radio.receiver.supply-limit",
)  # fmt: skip
WHERE = re.compile(
    r"\b(label|leaflets?|data sheet|manual|published|printed|marked|marking|seller|reel|colour rings|charger|"
    r"multimeter|ammeter|voltmeter|wattmeter|thermometer|scales?|callipers|ruler|count|read them off|in series)\b"
)
LEAST = 0.08  # of the value, each way; an efficiency's guess reaches from poor to good with that
LEAST_K = 5.0
NO_GUESS = {
    "a guess would call a pack safe that is not; cells follow from the pack's volts where these leave one count only": (
        "pack.cells", "pack.voltage", "controller.most-cells", "controller.cut-off",
    ),
    "whether two gears meet is not told from a guess": (
        "gearing.module", "gearing.diametral-pitch", "gearing.pinion-module", "gearing.slot-least", "gearing.slot-most",
    ),
    "who writes the table has it in hand": ("wiring.light-strings.*.leds",),
    "none, unless you cut some": ("heat.vents",),
}  # fmt: skip
EXCEPTED = {key for keys in NO_GUESS.values() for key in keys}


def asked(examples):
    studies = tuple(study for study in discover() if study.name in ("driveline", "wiring", "power"))
    found = {}
    for van in ("as-found", "as-finished"):
        build = read(examples / van)
        entries = {entry.key: entry for entry in build.entries()}
        for answer in Plan(studies=studies).run(build).values():
            # The receiver's supply stands in for its regulator's label, which both vans have.
            for key in (answer.read.keys() | {"radio.receiver.supply-limit"}) & entries.keys():
                if key.startswith(TABLES) or ".current-" in key:
                    found[plain(key)] = entries[key]
    return found


def plain(key):
    """Without the builder's own names."""
    return re.sub(r"^(regulators|radio\.devices|wiring\.[a-z-]+)\.[^.]+\.", r"\1.*.", key)


@pytest.fixture(scope="module")
def entries():
    return asked(Path(__file__).parents[2] / "examples" / "harbour-mail-van")


def test_the_walk_comes_by_every_table(entries):
    assert len(entries) > 75
    assert all(any(key.startswith(table) for key in entries) for table in TABLES)
    assert {"radio.devices.*.current-on", "regulators.*.current-limit", "wiring.leads.*.area"} <= entries.keys()


def test_every_number_says_on_what_it_stands_or_with_which_meter_to_get_it(entries):
    assert {key: entry.how for key, entry in entries.items() if not WHERE.search(entry.how)} == {}


def test_every_number_has_a_wide_guess_or_says_what_leaving_it_out_means(entries):
    poor = {
        key: entry.stand_in
        for key, entry in entries.items()
        if not wide(entry) and key not in EXCEPTED and not re.search(r"[Ll]eft out|blank:|in place of", entry.how)
    }

    assert poor == {}


def test_no_exception_is_kept_that_is_none(entries):
    assert [key for key in EXCEPTED if key not in entries or wide(entries[key])] == []


def wide(entry):
    guess = entry.stand_in
    if guess is None:
        return False
    return guess.half_width >= (LEAST_K if guess.kind.name == "temperature" else LEAST * abs(guess.value)) > 0
