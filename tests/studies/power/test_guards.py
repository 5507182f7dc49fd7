"""Each protection trips, latches and lets go as its leaflet says."""

import numpy as np
import pytest
from power_case import Case

from coachwork.studies.power.duty import Leg

HOT = Case().but(controller_m2=0.003)
STANDING = (Leg(seconds=30, speed_m_s=0.5), Leg(seconds=400, speed_m_s=0.0, loads="quiet"))


def story(case, seconds=1800.0, **more):
    return [(one.trip, one.resets, one.second) for one in case.drive(seconds, **more).happenings]


def test_a_latched_regulator_stays_off_until_switched_off_and_on():
    case = HOT.but(guards=(("regulator heat", "regulator", 120.0, "supply"),))
    ((trip, resets, when),) = story(case)
    assert (trip, resets) == ("regulator heat", False)

    later = story(case, restart_s=np.array([200.0]))
    assert later[1] == ("regulator heat", True, pytest.approx(when + 200, abs=1e-3))
    assert later[2][:2] == ("regulator heat", False), "it warms again and trips again"


def test_a_cooling_controller_comes_back_at_its_lower_limit():
    guard = ("controller heat", "controller", 60.0, "motor", "cooler", 50.0)
    case = HOT.but(guards=(guard,)).but(usual=0.02, heavy=0.02, idle_a=0.005, on_ohm=0.25)
    drive = case.drive(3600.0, keep_trace=True)
    events = [(one.resets, one.second) for one in drive.happenings]
    assert [resets for resets, _ in events[:4]] == [False, True, False, True]
    for resets, when in events[:4]:
        degc = np.interp(when, drive.trace.seconds, drive.trace.degc[:, 0, 1])
        assert degc == pytest.approx(50.0 if resets else 60.0, abs=1.0)


def test_a_browned_out_receiver_is_back_after_its_time_and_falls_again_under_the_same_load():
    case = Case(guards=(("brown-out", "rail", 4.5, "supply", "by itself", 2.0, 0.01),)).but(limit_a=1.8, heavy=2.4)
    events = story(case, 78.0)
    first = next(when for _, resets, when in events if not resets)
    assert first == pytest.approx(25.01, abs=0.01), "when the heavy leg begins"
    gaps = np.diff([when for *_, when in events])
    assert gaps[0] == pytest.approx(2.0, abs=1e-3)
    assert gaps[1] == pytest.approx(0.01, abs=1e-3)


def test_a_short_dip_does_not_cut_the_cells_off():
    """A second's sag is not an empty pack: the guard wants it to last."""
    dip = (
        Leg(seconds=20, speed_m_s=0.3),
        Leg(seconds=0.8, speed_m_s=0.3, gradient=0.9),
        Leg(seconds=20, speed_m_s=0.3),
    )
    guard = ("cell cut-off", "bus", 7.0, "motor", "off-on", 0.0)
    weak = Case(legs=dip).but(resistance_ohm=0.2, share=0.5)

    assert story(weak.but(guards=((*guard, 2.0),)), 40.0) == []
    assert story(weak.but(guards=((*guard, 0.2),)), 40.0)[0][0] == "cell cut-off"


def test_standing_too_long_it_falls_asleep():
    case = Case(legs=STANDING, guards=(("idle time-out", "still", 0.0, "all", "off-on", 0.0, 300.0),))
    assert story(case, 430.0) == [("idle time-out", False, pytest.approx(30.0 + 0.5 + 300.0, abs=0.01))]
    assert story(case.but(guards=((*case.guards[0][:6], 500.0),)), 2000.0) == []


def test_a_dead_supply_takes_the_motor_with_it():
    case = HOT.but(guards=(("regulator heat", "regulator", 120.0, "supply"),))
    drive = case.drive(1800.0, keep_trace=True)
    when = drive.happenings[0].second
    after = drive.trace.current_a[drive.trace.seconds > when + 1, 0]
    assert after.max() == pytest.approx(case.numbers["idle_a"])


def test_an_empty_pack_ends_it():
    case = Case(guards=(("empty", "share", 0.0, "all", "never"),)).but(share=0.05)
    drive = case.drive(3600.0, restart_s=np.array([10.0]))
    assert [one.trip for one in drive.happenings] == ["empty"]
    assert drive.share[0] == pytest.approx(0.0, abs=1e-4)
