"""House rules: the formula of the firmness rating is typed by its owner, and off until then."""

from __future__ import annotations

from dataclasses import astuple
from typing import Any

import pytest

from bedwright.design.buildup import bed_at_size
from bedwright.errors import CardRefused
from bedwright.mechanics.firmness_rating import Term, firmness_rating
from bedwright.works.rules import DEFAULTS, RatingTerm, Rule, default_cards, rating_terms
from bedwright.works.works import Works


def term(position: int, *values: float) -> RatingTerm:
    coefficient, hardness, work = values
    return RatingTerm(position=position, coefficient=coefficient, power_of_hardness=hardness, power_of_work=work)


def rule(**changes: Any) -> Rule:
    return Rule.make(**{"code": "firmness_rating", "rule_value": 0.0, **changes})


def test_off_until_somebody_types_terms() -> None:
    assert rating_terms(None) == () == rating_terms(rule(rule_value=3.0))
    shipped = {one.code: one for one in default_cards()}["firmness_rating"]
    assert rating_terms(shipped) == ()


def test_terms_in_order_and_the_constant_last() -> None:
    found = rating_terms(rule(rule_value=2.5, terms=(term(2, -1.0, 0.0, 1.0), term(1, 3.0, -0.5, 0.0))))
    assert [(one.coefficient, one.power_of_hardness, one.power_of_work) for one in found] == [
        (3.0, -0.5, 0.0), (-1.0, 0.0, 1.0), (2.5, 0.0, 0.0),
    ]  # fmt: skip


def test_an_invented_formula_reaches_the_rating(small_works: Works) -> None:
    """2 + 3 x H^-0.5 at H 4 N/mm is 3.5 (derived), whatever the work."""
    card = rule(rule_value=2.0, terms=(term(1, 3.0, -0.5, 0.0),))
    works = Works.of(small_works.about, [*small_works.all_cards(), card])
    bed = bed_at_size(works, next(iter(works.beds)), next(iter(works.sizes)))
    terms = [Term(one.coefficient, one.power_of_hardness, one.power_of_work) for one in bed.rating_terms]
    depth = [0.0, 50.0, 200.0]
    assert firmness_rating(terms, 4.0, depth, [0.0, 200.0, 800.0]).value == pytest.approx(3.5)  # type: ignore[arg-type]
    plain = bed_at_size(small_works, next(iter(small_works.beds)), next(iter(small_works.sizes)))
    assert plain.rating_terms == ()


def test_other_rules_have_no_terms() -> None:
    with pytest.raises(CardRefused, match="terms belong to rule firmness_rating"):
        rule(code="seam", terms=(term(1, 1.0, 0.0, 0.0),))


def test_tolerances_come_from_the_rules(small_works: Works) -> None:
    own = [
        Rule.make(code=code, rule_value=value)
        for code, value in (("tension_tolerance", 30.0), ("turns_tolerance", 0.1))
    ]
    works = Works.of(small_works.about, [*small_works.all_cards(), *own])
    bed = bed_at_size(works, next(iter(works.beds)), next(iter(works.sizes)))
    default = {
        code: DEFAULTS[code].value for code in ("wire_diameter_tolerance", "lacing_tolerance", "tolerance_coil_height")
    }
    wire, lacing, height = default.values()
    assert astuple(bed.tolerances) == pytest.approx((0.1, wire / 100, 0.3, lacing / 100, height))
