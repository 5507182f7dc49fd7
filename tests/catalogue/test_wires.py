"""Copper against the standards that sell it."""

from __future__ import annotations

import pytest

from coachwork.catalogue.wires import (
    CHASSIS_A,
    METRIC_MM2,
    area_for_mm2,
    awg_area_mm2,
    resistance_ohm,
    usual_current_a,
)

# IEC 60228:2004, table 3: class 5, plain copper, maximum at 20 degC (as reprinted by cable makers).   mm2: ohm/km
IEC_60228_CLASS_5 = {
    0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91,
}  # fmt: skip
# IEC 60228:2004, table 1: class 1, solid plain copper, maximum at 20 degC (as reprinted by cable makers).
IEC_60228_CLASS_1 = {0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4.0: 4.61, 6.0: 3.08, 10.0: 1.83}
# ASTM B258, solid round wire: gauge: (diameter mm, ohm per km at 20 degC); gauges 10 to 14 from a reprint, in which
# 1000 ft have 0.9989, 1.588 and 2.525 ohm; 20, 24 and 30 from memory.
ASTM_B258 = {10: (2.588, 3.277), 12: (2.052, 5.209), 14: (1.628, 8.282), 20: (0.812, 33.3), 24: (0.511, 84.2),
             30: (0.255, 339.0)}  # fmt: skip


@pytest.mark.parametrize(("area_mm2", "most"), IEC_60228_CLASS_5.items())
def test_stranded_wire_lies_between_ideal_copper_and_iec_60228(area_mm2, most):
    """The lower bound is another standard's (IEC 60028, 1/58 ohm mm2/m), so a table copied wrongly cannot agree."""
    ours = float(resistance_ohm(area_mm2=area_mm2, length_mm=1e6, temperature_degc=20))

    assert 1000 / 58 / area_mm2 < ours <= most


@pytest.mark.parametrize(("area_mm2", "most"), IEC_60228_CLASS_1.items())
def test_a_solid_wire_is_no_worse_than_class_1_allows(area_mm2, most):
    ours = float(resistance_ohm(area_mm2=area_mm2, length_mm=1e6, temperature_degc=20, stranded=False))

    assert 0.93 * most < ours <= most


@pytest.mark.parametrize(("gauge", "told"), ASTM_B258.items())
def test_gauges_are_those_of_astm_b258(gauge, told):
    diameter_mm, ohm_per_km = told
    area = float(awg_area_mm2(gauge))

    assert (4 * area / 3.14159265) ** 0.5 == pytest.approx(diameter_mm, rel=2e-3)
    solid = float(resistance_ohm(area_mm2=area, length_mm=1e6, temperature_degc=20, stranded=False))
    assert solid == pytest.approx(ohm_per_km, rel=5e-3)


def test_copper_resists_a_fifth_more_when_it_is_70_degc():
    """IEC 60228, annex A: a resistance at 70 degC times 0.836 is that at 20 degC (from memory)."""
    cold, warm = (float(resistance_ohm(area_mm2=1, length_mm=1000, temperature_degc=t)) for t in (20, 70))

    assert cold / warm == pytest.approx(0.836, abs=0.001)


def test_the_usual_current_passes_through_its_table_and_grows_with_the_wire():
    for gauge, ampere in CHASSIS_A.items():
        assert float(usual_current_a(awg_area_mm2(gauge))) == pytest.approx(ampere)
    usual = [float(usual_current_a(area)) for area in METRIC_MM2]
    assert usual == sorted(usual)


def test_the_wire_told_for_a_current_carries_it_and_the_next_thinner_does_not():
    area = area_for_mm2(9.0)

    assert float(usual_current_a(area)) >= 9.0
    assert float(usual_current_a(METRIC_MM2[METRIC_MM2.index(area) - 1])) < 9.0
    with pytest.raises(ValueError, match="no usual wire"):
        area_for_mm2(5000)
