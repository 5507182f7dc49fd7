# ruff: noqa: T201, E402
"""Minutes, volts and temperatures for the written logs, by Radau on vans that differ from their build files.

Run by hand (`python tests/studies/power/logs/figures.py`); what it prints went into the logs, rounded and misread as a
builder would. Nothing of the study's own drive is used, only its reading of the build file.
"""

import sys
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

import power_case
import power_radau

from coachwork.build import read, read_text, with_entry
from coachwork.plan import Plan
from coachwork.studies.power.pack import cell_v

VANS = Path(__file__).parents[4] / "examples" / "harbour-mail-van"
NEVER = ("nothing", "never")
# What each van is in truth, against its build file: factors on the plain numbers, and offsets of limits in kelvin.
TRUTHS = {
    "sound always on": ("as-found", {"usual": 1.12, "controller_m2": 0.93, "shell_m2": 1.1}, -2.0),
    "a cool day": ("as-found", {"outside_degc": 0.9, "usual": 1.08, "mass_kg": 1.06, "opening_m2": 0.7}, +1.5),
    "a small controller uphill": ("hill", {"on_ohm": 1.25, "controller_m2": 0.9, "mass_kg": 1.05}, -1.0),
    "the same, lighter": ("hill", {"on_ohm": 1.1, "controller_m2": 0.95, "rolling": 1.1}, +2.0),
    "a warm motor uphill": ("sensor", {"ohm": 1.15, "can_m2": 0.9, "rolling": 1.15}, -1.0),
    "a worn motor": ("sensor", {"ohm": 1.08, "no_load_a": 1.3, "can_m2": 0.95}, +1.0),
    "an old pack": ("as-finished", {"charge_as": 0.72, "resistance_ohm": 1.8, "slow_ohm": 1.8}, 0.0),
    "begun half empty": ("as-finished", {"charge_as": 0.9, "resistance_ohm": 1.2}, 0.0),
}
BEFORE = {"an old pack": 7.62, "begun half empty": 7.48}


def edited(van):
    """The builds of the logs: the demonstration vans, two of them with other numbers."""
    edits = {
        "hill": {"controller.current-limit": "9 A from label", "heat.controller-to-air": "60 ± 8 K/W by meter",
                 "cut-outs.controller": "60 ± 4 degC from label", "duty.file": "", "duty.round": "hill"},
        "sensor": {"cut-outs.motor": "55 ± 3 degC from label", "duty.file": "", "duty.round": "hill",
                   "motor.case-to-air": "9 ± 1.5 K/W by meter"},
        "idle": {"cut-outs.idle": "5 min from label"},
        "thin supply": {"regulators.separate.current-limit": "1.2 A from label",
                        "regulators.separate.voltage": "4.9 V"},
    }  # fmt: skip
    base = van if van.startswith("as-") else "as-finished"
    build = read(VANS / base)
    text = build.text
    for key, value in edits.get(van, {}).items():
        text = with_entry(text, key, value)
    return read_text(text, build.path)


def main():
    """Print what each truth leads to."""
    for name, (van, factors, shift) in TRUTHS.items():
        if len(sys.argv) > 1 and van not in sys.argv[1:]:
            continue
        setup = Plan().run(edited(van), only=["power"])["power"].result.answer.setup
        guards = tuple(
            (g.trip, g.watches, float(g.limit[0]) + (shift if g.trip.endswith("heat") else 0.0), *NEVER, 0.0,
             float(g.hold_s[0]))
            for g in setup.guards if g.trip != "idle time-out"
        )  # fmt: skip
        case = power_case.case_of(setup, guards)
        changes = {key: case.numbers[key] * factor for key, factor in factors.items()}
        if name in BEFORE:
            share = np.interp(BEFORE[name] / 2, *_inverse())
            changes["share"] = float(share)
        case = case.but(**changes)
        events, trace = power_radau.radau(case, 5400.0, rtol=1e-6)
        for when, trip, _ in events[:2]:
            _, state, _ = min(trace, key=lambda row: abs(row[0] - when))
            rest = 2 * float(cell_v("lipo", np.array(state[8])))
            print(f"{name:28} {trip:16} {when / 60:6.2f} min  rest {rest:5.2f} V  " + " ".join(
                f"{lump} {degc:.0f}" for lump, degc in zip(power_radau.LUMPS, state, strict=False)))  # fmt: skip
        if not events:
            print(f"{name:28} nothing", trace[-1][1][:7].round(0))


def _inverse():
    share = np.linspace(0, 1, 1001)
    return cell_v("lipo", share), share


if __name__ == "__main__":
    main()
