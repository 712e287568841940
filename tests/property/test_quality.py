"""Curves fall, quantiles invert them, and every lot has a plan that fits it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.quality.bought_lot import bought_lot_plan
from bedwright.quality.oc import accept_binomial, accept_hypergeometric, quality_binomial, quality_hypergeometric
from bedwright.quality.sampling import AQLS, LEVELS, judge, single_plan

plans = st.tuples(st.integers(2, 400), st.integers(0, 20)).filter(lambda plan: plan[1] < plan[0])


@settings(max_examples=80)
@given(plans, st.floats(0.001, 0.999))
def test_the_quantile_inverts_the_curve(plan: tuple[int, int], chance: float) -> None:
    p = quality_binomial(*plan, chance)
    assert accept_binomial(*plan, p) == pytest.approx(chance, abs=1e-9)


@settings(max_examples=60)
@given(st.integers(2, 300), st.data())
def test_the_most_bad_units_is_the_last_that_holds(lot: int, data: st.DataObject) -> None:
    n = data.draw(st.integers(1, lot))
    ac = data.draw(st.integers(0, n - 1))
    chance = data.draw(st.floats(0.01, 0.99))
    most = quality_hypergeometric(lot, n, ac, chance)
    assert accept_hypergeometric(lot, n, ac, most) >= chance
    if most < lot:
        assert accept_hypergeometric(lot, n, ac, most + 1) < chance


@settings(max_examples=150)
@given(
    st.integers(1, 600_000),
    st.sampled_from(AQLS),
    st.sampled_from(LEVELS),
    st.sampled_from(["normal", "tightened", "reduced"]),
)
def test_every_lot_has_a_plan_that_fits(lot: int, aql: float, level: str, inspection: str) -> None:
    plan = single_plan(lot, aql, level=level, inspection=inspection)  # type: ignore[arg-type]
    assert 1 <= plan.n <= lot
    assert plan.whole_lot == (plan.n == lot)
    assert plan.accept < plan.reject
    assert judge(plan, plan.accept).accepted
    assert not judge(plan, plan.reject).accepted


@settings(max_examples=80)
@given(st.integers(1, 20_000))
def test_the_sample_serves_every_class(lot: int) -> None:
    plan = bought_lot_plan(lot)
    assert plan.take == max(row.n for row in plan.rows)
    assert plan.whole_lot == (plan.take == lot)
