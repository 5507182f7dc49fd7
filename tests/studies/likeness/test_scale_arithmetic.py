"""Errors and scales worked by hand, against the definitions of the dimensions."""

import numpy as np
import pytest

from coachwork.build.entries import Ask
from coachwork.build.sections.outline import Outline


def test_error_is_what_the_scale_ruler_shows(van, result_of):
    """By hand: 1760 mm at 1:10 is 176.0 mm; the shell's 182.2 mm are 6.2 mm and 3.52 % too much, 1:9.66."""
    dimension = result_of(van(only=("width",)).replace("width = 176.0000", "width = 182.2")).dimensions["width"]

    assert dimension.error_mm[0] == pytest.approx(6.2, abs=1e-9)
    assert dimension.error_percent[0] == pytest.approx(3.5227, abs=1e-4)
    assert 1 / dimension.ratio[0] == pytest.approx(9.6597, abs=1e-4)


def test_spread_of_an_effective_scale_is_that_of_a_quotient(van, result_of):
    """JCGM 100:2008, 5.1.6: relative variances of a quotient add. 1760 ± 5 over 176 ± 0.1, rectangular (4.3.7)."""
    dimension = result_of(van(only=("width",))).dimensions["width"]

    relative = np.sqrt((5 / np.sqrt(3) / 1760) ** 2 + (0.1 / np.sqrt(3) / 176) ** 2)
    assert dimension.ratio_sigma[0] == pytest.approx(0.1 * relative, rel=1e-9)


@pytest.mark.parametrize(("front", "wheelbase", "rear"), [(1.03, 1.0, 1.0), (1.0, 0.98, 1.0), (1.02, 0.99, 1.05)])
def test_errors_of_the_parts_add_up_to_the_error_of_the_whole(van, result_of, front, wheelbase, rear):
    """SAE J1100 (from memory): length L103 = front overhang L104 + wheelbase L101 + rear overhang L105.

    A scale is one factor, so what holds for the dimensions holds for their errors.
    """
    length = (96 * front + 246 * wheelbase + 90 * rear) / 432
    parts = {"front_overhang": front, "wheelbase": wheelbase, "rear_overhang": rear, "length": length}

    looked = result_of(van(parts=parts)).dimensions

    whole = sum(looked[name].error_mm[0] for name in ("front-overhang", "wheelbase", "rear-overhang"))
    assert looked["length"].error_mm[0] == pytest.approx(whole, abs=1e-3)  # the file carries 4 decimals


def test_shared_names_carry_the_codes_their_definitions_have():
    """SAE J1100 codes and ISO 612:1978 clauses, both from memory; a swapped pair would send the callipers astray."""
    codes = {
        "length": "L103", "width": "W103", "height": "H100", "wheelbase": "L101", "front_overhang": "L104",
        "rear_overhang": "L105",
    }  # fmt: skip
    for name, code in codes.items():
        ask = next(m for m in Outline.model_fields[name].metadata if isinstance(m, Ask))
        assert code in (ask.code or "")


def test_a_shell_true_to_scale_has_no_error_anywhere(van, findings_of, full_size):
    findings = findings_of(van())

    assert len(findings) == 3 + len(full_size)
    assert all(abs(finding.value[0]) < 0.01 for finding in findings.values())
    assert all(finding.do is None for finding in findings.values())


@pytest.mark.parametrize("stated", ["1:8", "1:10", "1:12.5"])
def test_stated_scale_changes_the_scale_finding_and_no_dimension(van, findings_of, stated):
    """A 1:10 shell under a wrong label is off once, as a whole; none of its 20 dimensions is modelled wrong."""
    findings = findings_of(van(scale=stated))

    times = float(stated.removeprefix("1:"))
    assert findings["likeness.scale"].value[0] == pytest.approx(100 * (times / 10 - 1), abs=0.01)
    assert all(abs(f.value[0]) < 0.01 for id, f in findings.items() if id != "likeness.scale")
