"""How many cells a pack has, from its label or its volts; and what the motor draws where nobody measured it."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import NotMeasured, read_text
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.wiring import Wiring
from coachwork.plan import Plan, discover
from coachwork.studies.driveline.drive import Supply
from coachwork.studies.supply import cells_in_series, nominal_v, way_ohm


def build(text):
    return read_text(text, Path("build.toml"))


# Volts of full packs, common practice: 4.20 V a cell (lithium polymer), 3.50 V (lithium iron phosphate, resting).
@pytest.mark.parametrize(
    ("chemistry", "volts", "cells"),
    [("lithium polymer", 4.2, 1), ("lithium polymer", 8.4, 2), ("lithium polymer", 12.6, 3),
     ("lithium polymer", 7.0, 2),
     ("lithium iron phosphate", 7.0, 2)],
)  # fmt: skip
def test_a_pack_s_volts_tell_its_cells_where_one_count_fits(chemistry, volts, cells):
    pack = build(f'[pack]\nchemistry = "{chemistry}"\nvoltage = {volts}')[Pack]

    assert cells_in_series(pack)[0] == cells


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[pack]\nvoltage = 17.0",
        "[pack]\nvoltage = 5.5",
        '[pack]\nchemistry = "nickel metal hydride"\nvoltage = 8.4',
    ],
    ids=["nothing", "four full or five empty", "no cell is at that", "six full or seven empty"],
)
def test_cells_are_never_guessed(text):
    with pytest.raises(NotMeasured, match=r"pack\.cells"):
        cells_in_series(build(text)[Pack])


def test_the_label_goes_before_the_volts():
    """That they disagree is the wiring study's to tell."""
    pack = build("[pack]\ncells = 3\nvoltage = 8.4")[Pack]

    assert cells_in_series(pack)[0] == 3
    assert nominal_v(pack)[0] == pytest.approx(11.1)  # 3 x 3.7 V, as labels of such packs say


RING = """
[wiring.leads]
one = { begins = "pack", ends = "board", area = 1, length = 100 }
two = { begins = "board", ends = "receiver", area = 1, length = 100 }
three = { begins = "lamp", ends = "bell", area = 1, length = 100 }
four = { begins = "bell", ends = "lamp", area = 1, length = 100 }
"""


def test_a_way_is_the_sum_of_its_leads_and_a_ring_or_a_gap_is_none():
    wiring = build(RING)[Wiring]

    whole = way_ohm(wiring, begins="pack", ends="receiver")
    half = way_ohm(wiring, begins="board", ends="receiver")
    assert whole[0] == pytest.approx(2 * half[0])
    assert way_ohm(wiring, begins="pack", ends="lamp") is None
    assert way_ohm(wiring, begins="controller", ends="receiver") is None


def test_power_behind_a_resistance_is_the_lower_current_of_the_two_that_give_it():
    """P = (V - R i) i: 10 V behind 0.1 ohm give 90 W at 10 A (and at 90 A); the most, 250 W, at V / 2R = 50 A."""
    supply = Supply(voltage_v=np.array([10.0]), resistance_ohm=np.array([0.1]), limit_a=np.array([1000.0]))

    assert supply.drawn_a(np.array([90.0]))[0] == pytest.approx(10.0)
    assert supply.drawn_a(np.array([250.0, 900.0])) == pytest.approx([50.0, 50.0])


STUDIES = tuple(study for study in discover() if study.name in ("driveline", "wiring"))


def motor_a(text, state):
    answers = Plan(studies=STUDIES).run(build(text))
    return answers["wiring"].result.solved.cases[state].loads_a["motor"][0], answers["driveline"].result


WHOLE = """
[pack]
cells = 2
[running-gear]
drive = "shaft"
front = { wheel = { tyre-diameter = 68 } }
rear = { wheel = { tyre-diameter = 68 } }
"""


def test_what_the_motor_draws_is_the_driveline_s_once_that_can_tell():
    driving, pull = motor_a(WHOLE, "driving, low pack")
    away, _ = motor_a(WHOLE, "pulling away, low pack")

    assert driving == pytest.approx(pull.round.drawn_a[0])
    assert away == pytest.approx(pull.changed.away_a()[0])
    # A pack gives power: through a chopper less current than the motor has.
    assert 0 < driving < pull.round.start.current_a[0] < away


def test_a_measured_current_goes_before_it_and_a_stand_in_serves_until_then():
    typed = '[controller]\nmotor-drive = "3 A"\nmotor-start = "17 A"\n'

    assert motor_a(WHOLE + typed, "driving, low pack")[0] == pytest.approx(3.0)
    assert motor_a(WHOLE + typed, "pulling away, low pack")[0] == pytest.approx(17.0)
    assert motor_a("[pack]\ncells = 2", "driving, low pack")[0] == pytest.approx(5.0)  # no tyres yet: the stand-in
