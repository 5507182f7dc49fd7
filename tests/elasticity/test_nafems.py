"""Benchmarks of the National Agency for Finite Element Methods and Standards; geometry and targets from memory."""


def test_le10_thick_plate_at_d(case):
    """NAFEMS LE10: sigma yy at D is -5.38 MPa. The mesh is refined at D, where the stress is steep."""
    assert abs(case("le10")["sigma_yy"] / -5.38 - 1) < 0.01


def test_le1_elliptic_membrane_at_d(case):
    """NAFEMS LE1: sigma yy at D is 92.7 MPa."""
    assert abs(case("le1")["sigma_yy"] / 92.7 - 1) < 0.01
