"""Contents on labels and bought foam. Books: eu-1007-2011, law-label, pfa-1994."""

from decimal import Decimal

import pytest

from bedwright.marks.contents import Content, fibres_must_be_named, in_order_of_mass, shares_of_mass
from bedwright.quality.foam import N_PER_LBF, foam_reading, indentation_pressure


@pytest.mark.parametrize(("percent", "named"), [(79, False), (80, True)])
def test_fibre_rule(percent: float, named: bool) -> None:
    assert fibres_must_be_named(percent) is named


def test_order_of_a_law_label() -> None:
    listed = in_order_of_mass([Content("polyester fibre", Decimal(40)), Content("polyurethane foam", Decimal(60))])
    assert [one.name for one in listed] == ["polyurethane foam", "polyester fibre"]
    assert sum(one.percent for one in listed) == 100


def test_shares_from_masses_make_a_hundred() -> None:
    listed = shares_of_mass([("foam", 1.0), ("felt", 1.0), ("fibre", 1.0)])
    assert [(one.name, one.percent) for one in listed] == [("felt", 34), ("fibre", 33), ("foam", 33)]


@pytest.mark.parametrize(("measured", "within"), [(26.9, False), (27, True), (33, True), (33.1, False)])
def test_foam_of_30_lbf(measured: float, within: bool) -> None:
    assert foam_reading(30, measured).within is within


def test_harder_foam_by_a_tenth() -> None:
    assert foam_reading(40, 36).within
    assert not foam_reading(40, 35.9).within


def test_pressure_under_the_indenter() -> None:
    # 25 lbf on 50 in2: 111.21 N, 3.447 kPa
    force = 25 * N_PER_LBF
    assert force == pytest.approx(111.21, rel=1e-3)
    assert indentation_pressure(force) == pytest.approx(3.447, rel=1e-3)
