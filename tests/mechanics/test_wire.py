import itertools

import pytest

from bedwright.errors import FaultsFound, OutsideRange
from bedwright.mechanics.wire import check_wire, elastic, known_grade, mass_per_metre, strength, tolerance


def test_grade_is_read_kindly_and_refused_by_name() -> None:
    assert known_grade(" sm ") == "SM"
    with pytest.raises(OutsideRange) as caught:
        known_grade("XM")
    assert str(caught.value) == ("Wire grade 'XM' is not known here; use one of SL, SM, DM, SH, DH, A227, A228, A229.")


def test_greatest_strength_between_sizes_lies_between_theirs() -> None:
    here = strength("SM", 2.2)
    assert here.greatest is not None
    assert 1930 < here.greatest < 1960
    hard = strength("A227", 2.2)
    assert hard.greatest is not None and "between listed sizes of class I" in hard.how
    assert 220 * 6.894757 < hard.least < 227 * 6.894757 and 253 * 6.894757 < hard.greatest < 261 * 6.894757
    assert strength("A228", 2.2).greatest is None


def test_thinner_wire_is_stronger() -> None:
    for grade in ("SL", "SM", "SH", "A227", "A228", "A229"):
        found = [strength(grade, d).least for d in (1.0, 1.15, 1.4, 1.77, 2.2, 2.9, 4.1, 5.5)]
        # listed sizes are rounded to 10 MPa and the law is not: they may meet within 5
        assert all(thin > thick - 5 for thin, thick in itertools.pairwise(found))


def test_tolerance_between_sizes_is_the_wider() -> None:
    assert tolerance(1.03) == 0.020
    assert tolerance(1.75) == 0.025


@pytest.mark.parametrize("diameter", [0.0, -1.0, float("nan"), float("inf"), 0.2, 30.0])
def test_diameters_beyond_the_book_are_refused(diameter: float) -> None:
    with pytest.raises(OutsideRange, match=r"use 0\.5 to 10 mm"):
        strength("SM", diameter)
    with pytest.raises(OutsideRange, match=r"use 0\.5 to 10 mm"):
        tolerance(diameter)


def test_no_mass_for_no_wire() -> None:
    with pytest.raises(OutsideRange, match="give a diameter above 0"):
        mass_per_metre(float("nan"))


def test_every_fault_of_wire_names_its_field() -> None:
    with pytest.raises(FaultsFound) as caught:
        check_wire("ZZ", 2.0)
    assert [fault.field for fault in caught.value.faults] == ["grade"]
    with pytest.raises(FaultsFound) as caught:
        check_wire("SL", 0.6)
    assert [fault.field for fault in caught.value.faults] == ["wire_diameter"]


def test_moduli_of_a227_fall_with_size_and_those_of_en_do_not() -> None:
    assert elastic("A227", 2.2).shear_modulus < elastic("A227", 1.2).shear_modulus
    assert elastic("SM", 2.2) == elastic("DH", 0.9)
