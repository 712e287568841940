"""ASTM A227 hard drawn wire (books `astm-a227`, `shigley-11`): strength table in ksi, elastic constants by size."""

import pytest

from bedwright.mechanics.wire import elastic, strength, tolerance

KSI = 6.894757  # MPa
CLASS_1_LEAST = {0.041: 255, 0.048: 248, 0.054: 243, 0.062: 237, 0.072: 232, 0.080: 227, 0.092: 220, 0.106: 216}


def test_class_1_by_its_listed_sizes() -> None:
    found = strength("A227", 0.080 * 25.4)
    assert found.least == pytest.approx(1565, abs=1)  # 227 ksi in the table
    assert found.greatest == pytest.approx(261 * KSI) and found.how == "listed size, class I"
    for inch, ksi in CLASS_1_LEAST.items():
        assert strength("A227", inch * 25.4).least == pytest.approx(ksi * KSI)
    assert strength("A227", 2.0).least == pytest.approx(1563, rel=0.006)  # Shigley's 1783 / 2^0.19


def test_beyond_the_table_the_law_goes_on() -> None:
    """Shigley's constants are rounded: they meet the table's ends within 1.5 %."""
    for inch, ksi in ((0.0409, 255), (0.2071, 190)):
        found = strength("A227", inch * 25.4)
        assert found.least == pytest.approx(ksi * KSI, rel=0.015) and "d^0.19" in found.how


def test_elastic_constants_by_size() -> None:
    # Shigley Table 10-5, GPa
    for d, E, G in ((0.75, 198.6, 80.7), (1.4, 197.9, 80.0), (2.2, 197.2, 79.3), (4.0, 196.5, 78.6)):
        steel = elastic("A227", d)
        assert (steel.youngs_modulus, steel.shear_modulus) == (pytest.approx(E * 1000), pytest.approx(G * 1000))


def test_tolerance_in_inches() -> None:
    assert tolerance(0.050 * 25.4, "A227") == pytest.approx(0.001 * 25.4)
    assert tolerance(0.100 * 25.4, "A227") == pytest.approx(0.002 * 25.4)
