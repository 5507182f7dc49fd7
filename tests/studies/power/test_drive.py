"""Whole drives against scipy's Radau with its event detection, written apart (power_radau), and against energy."""

import math

import numpy as np
import pytest
from power_case import Case
from power_radau import radau

GUARDS = (
    ("cell cut-off", "bus", 6.4, "motor", "off-on", 0.0, 1.0),
    ("controller heat", "controller", 105.0, "motor", "cooler", 85.0),
    ("regulator heat", "regulator", 150.0, "supply"),
    ("brown-out", "rail", 4.2, "supply", "by itself", 2.0, 0.02),
    ("empty", "share", 0.0, "all", "never"),
)
BASE = Case(guards=GUARDS)
DRIVES = {
    "it warms until controller and regulator trip": (BASE, math.inf),
    "a latch is cleared after five minutes, again and again": (BASE.but(controller_m2=0.004), 300.0),
    "an old pack is cut off and then empty": (BASE.but(share=0.06, resistance_ohm=0.06), 60.0),
    "a weak pack and a switching regulator in the open": (
        BASE.but(linear=False, closed=False, share=0.1, charge_as=1800.0, out_v=6.0, resistance_ohm=0.15,
                 constant_vs=60 / (2 * np.pi * 700)), 60.0,
    ),
    "a thin supply browns out at every door": (BASE.but(limit_a=1.8, usual=1.0, heavy=2.4), math.inf),
    "a separate linear regulator on its own plate": (BASE.but(built_in=False), math.inf),
}  # fmt: skip


@pytest.mark.parametrize(("case", "restart_s"), DRIVES.values(), ids=DRIVES)
def test_temperatures_and_every_event_are_those_of_a_stiff_integrator(case, restart_s):
    """20 min. Events within 0.05 s, temperatures within 0.02 K, energies within 0.05 %; Radau runs at 1e-8."""
    events, trace = radau(case, 1200.0, restart_s=restart_s)
    ours = case.drive(1200.0, restart_s=np.array([restart_s]))

    assert [(one.trip, one.resets) for one in ours.happenings] == [(trip, resets) for _, trip, resets in events]
    assert [one.second for one in ours.happenings] == pytest.approx([when for when, *_ in events], abs=0.05)
    last = trace[-1][1]
    assert ours.degc[0] == pytest.approx(last[:7], abs=0.02)
    assert ours.share[0] == pytest.approx(last[8], abs=1e-4)
    apart = 0.05 * 23.0  # J: where an event may lie 0.05 s apart, so may 23 W, the most that any of them draws
    assert ours.chemical_j[0] == pytest.approx(last[9], rel=5e-4, abs=apart)
    assert ours.shaft_j[0] == pytest.approx(last[10], rel=5e-4, abs=0.05 * 3.0)  # 3 W of it at the shaft
    assert ours.lost_j[0] == pytest.approx(last[11], rel=5e-4, abs=apart)


@pytest.mark.parametrize(("case", "restart_s"), DRIVES.values(), ids=DRIVES)
def test_energy_closes_within_half_a_per_cent(case, restart_s):
    """Given up by the pack = to the gears + to the outside + stored in lumps and in the slow pair."""
    ours = case.drive(1800.0, restart_s=np.array([restart_s]))
    net, pack = case.net(), case.vehicle().pack
    stored = np.sum(net.capacity_j_k * (ours.degc - net.outside_degc[:, None]), axis=1)
    pair = 0.5 * pack.slow_s / pack.slow_ohm * ours.slow_v**2

    open_ends = ours.chemical_j - ours.shaft_j - ours.lost_j - stored - pair
    assert abs(open_ends[0]) < 0.005 * ours.chemical_j[0]


def test_shorter_steps_change_nothing_that_matters():
    case, restart = BASE.but(controller_m2=0.004), np.array([300.0])
    usual, fine = case.drive(1800.0, restart_s=restart), case.drive(1800.0, restart_s=restart, longest_step_s=1.0)

    assert np.abs(usual.degc - fine.degc).max() < 0.01
    assert [one.second for one in usual.happenings] == pytest.approx([o.second for o in fine.happenings], abs=0.02)


def test_many_samples_are_many_drives():
    """Each sample by itself gives the same as all together, events and all."""
    rng = np.random.default_rng(4)
    spread = {
        name: BASE.numbers[name] * rng.uniform(0.8, 1.25, 12)
        for name in ("controller_m2", "usual", "heavy", "resistance_ohm", "outside_degc", "ohm", "mass_kg", "shell_m2")
    }
    many = BASE.but(**spread)
    together = many.drive(1500.0, restart_s=np.full(12, 240.0))

    for i in range(12):
        alone = BASE.but(**{name: values[i] for name, values in spread.items()})
        one = alone.drive(1500.0, restart_s=np.array([240.0]))
        assert one.degc[0] == pytest.approx(together.degc[i], abs=1e-3)  # moments are found to 0.1 ms
        mine = [(o.trip, o.resets, round(o.second, 2)) for o in together.happenings if o.sample == i]
        assert mine == [(o.trip, o.resets, round(o.second, 2)) for o in one.happenings]
    assert len({len([o for o in together.happenings if o.sample == i]) for i in range(12)}) > 1, "they differ"


def test_a_drive_is_cancelled_and_tells_how_far_it_is():
    from coachwork.studies.power.drive import Stopped

    told = []
    BASE.drive(600.0, progress=told.append)
    assert told == sorted(told)
    assert told[-1] == 1.0
    with pytest.raises(Stopped):
        BASE.drive(600.0, cancelled=lambda: True)


def test_watching_tells_the_same_first_moments_as_acting():
    """Until the first guard acts, tied and free guards see the same drive."""
    from dataclasses import replace

    from coachwork.studies.power.drive import drive
    from coachwork.studies.power.duty import stretches
    from coachwork.studies.power.guards import watching

    case = BASE.but(controller_m2=0.004)
    acting = case.drive(1800.0)
    tied = drive(
        case.vehicle(), case.net(), watching(case.made_guards()), stretches(case.legs), rail_a=case.rail_a(),
        seconds=1800.0,
    )  # fmt: skip
    first = min(acting.happenings, key=lambda one: one.second)

    assert tied.first_s[first.trip][0] == pytest.approx(first.second, abs=0.01)
    assert tied.hottest_degc[0, 1] > 106, "and it goes on to tell how warm it would have become"
    assert replace(acting, happenings=()).trips["controller heat"][0] >= 1
