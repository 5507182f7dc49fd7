"""Preferred values against IEC 60063."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwork.build.sections.wiring import PLUG_STYLES
from coachwork.catalogue.cells import CELLS
from coachwork.catalogue.plugs import PLUGS
from coachwork.catalogue.preferred import preferred, preferred_at_least

# IEC 60063:2015, tables 1 and 2 (from memory), one decade.
IEC_60063 = {
    "E6": "1.0 1.5 2.2 3.3 4.7 6.8",
    "E12": "1.0 1.2 1.5 1.8 2.2 2.7 3.3 3.9 4.7 5.6 6.8 8.2",
    "E24": "1.0 1.1 1.2 1.3 1.5 1.6 1.8 2.0 2.2 2.4 2.7 3.0 3.3 3.6 3.9 4.3 4.7 5.1 5.6 6.2 6.8 7.5 8.2 9.1",
    "E96": "1.00 1.02 1.05 1.07 1.10 1.13 1.15 1.18 1.21 1.24 1.27 1.30 1.33 1.37 1.40 1.43 1.47 1.50 1.54 1.58 1.62 "
    "1.65 1.69 1.74 1.78 1.82 1.87 1.91 1.96 2.00 2.05 2.10 2.15 2.21 2.26 2.32 2.37 2.43 2.49 2.55 2.61 2.67 2.74 "
    "2.80 2.87 2.94 3.01 3.09 3.16 3.24 3.32 3.40 3.48 3.57 3.65 3.74 3.83 3.92 4.02 4.12 4.22 4.32 4.42 4.53 4.64 "
    "4.75 4.87 4.99 5.11 5.23 5.36 5.49 5.62 5.76 5.90 6.04 6.19 6.34 6.49 6.65 6.81 6.98 7.15 7.32 7.50 7.68 7.87 "
    "8.06 8.25 8.45 8.66 8.87 9.09 9.31 9.53 9.76",
}


@pytest.mark.parametrize("series", IEC_60063)
def test_series_are_those_of_iec_60063(series):
    assert preferred(series) == tuple(float(value) for value in IEC_60063[series].split())


@given(st.floats(1e-3, 1e6))
def test_the_next_value_is_less_than_one_step_above(value):
    """E12 steps are 10^(1/12) = 1.21; the largest step of the rounded series is 1.0 to 1.2 to 1.5: 1.25."""
    found = preferred_at_least(value)

    assert value * (1 - 1e-9) <= found < 1.2501 * value


def test_every_plug_that_a_lead_may_name_is_in_the_catalogue():
    assert set(PLUGS) == set(PLUG_STYLES)


def test_cells_live_between_their_volts():
    for cell in CELLS.values():
        assert cell.least_v < cell.low_v < cell.nominal_v < cell.full_v <= cell.rest_v[1]
        assert cell.rest_v[0] <= cell.low_v
