"""Plans for bought lots: small lots, classes with their own sample size, refusals."""

import pytest

from bedwright.errors import NoPlan, OutsideRange
from bedwright.quality.bought_lot import DefectClass, bought_lot_plan, judge_lot
from bedwright.quality.oc import accept_lot, quality_hypergeometric, two_point_plan
from bedwright.quality.sampling import judge, letter_plan, single_plan


def test_a_sample_that_reaches_the_lot_takes_it_whole() -> None:
    plan = single_plan(10, 0.65)  # letter B, arrow down to 20
    assert (plan.n, plan.whole_lot) == (10, True)
    assert single_plan(1, 2.5).n == 1
    assert not single_plan(21, 1.0).whole_lot


@pytest.mark.parametrize(
    ("found", "accepted", "back"), [(0, True, False), (1, True, False), (2, True, True), (4, False, True)]
)
def test_the_gap_of_reduced_inspection(found: int, accepted: bool, back: bool) -> None:
    plan = single_plan(2000, 1.0, inspection="reduced")  # letter K: 50, 1/4
    assert plan.gap
    verdict = judge(plan, found)
    assert (verdict.accepted, verdict.back_to_normal) == (accepted, back)


def test_the_two_standards_are_not_mixed() -> None:
    with pytest.raises(OutsideRange, match="ISO 2859-1 is not held"):
        single_plan(500, 2.5, inspection="reduced", standard="iso-2859-1")
    assert single_plan(500, 2.5, standard="iso-2859-1").n == 50


@pytest.mark.parametrize("aql", [0.0, 2.0, 25.0, float("nan")])
def test_an_aql_that_is_not_in_the_tables(aql: float) -> None:
    with pytest.raises(OutsideRange, match="take one of"):
        single_plan(500, aql)


def test_other_refusals_echo() -> None:
    with pytest.raises(OutsideRange, match="lot of 0"):
        single_plan(0, 2.5)
    with pytest.raises(OutsideRange, match="'IV'"):
        single_plan(500, 2.5, level="IV")  # type: ignore[arg-type]
    with pytest.raises(OutsideRange, match="'I'"):
        letter_plan("I", 2.5)
    with pytest.raises(OutsideRange, match="'odd'"):
        letter_plan("H", 2.5, "odd")  # type: ignore[arg-type]
    with pytest.raises(OutsideRange, match="-1 noncon"):
        judge(single_plan(500, 2.5), -1)


def test_each_class_is_judged_on_its_own_first_units() -> None:
    # letter C at level II (lot 16 to 25): AQL 2.5 is 5 units, 6.5 goes down to 8
    classes = (DefectClass("critical", 0), DefectClass("major", 2.5), DefectClass("minor", 6.5))
    plan = bought_lot_plan(25, classes)
    assert [(row.name, row.n, row.accept, row.reject) for row in plan.rows] == [
        ("critical", 8, 0, 1),
        ("major", 5, 0, 1),
        ("minor", 8, 1, 2),
    ]
    assert plan.take == 8
    assert any("own first n" in line for line in plan.says)
    assert judge_lot(plan, {"major": (6, 7)}).accepted  # past its own 5 units
    assert not judge_lot(plan, {"major": (5,)}).accepted
    assert not judge_lot(plan, {"critical": (8,)}).accepted
    assert judge_lot(plan, {"minor": (1,)}).accepted
    assert not judge_lot(plan, {"minor": (1, 8)}).accepted


def test_a_class_that_nobody_named() -> None:
    plan = bought_lot_plan(500)
    with pytest.raises(OutsideRange, match="grave"):
        judge_lot(plan, {"grave": (1,)})
    with pytest.raises(OutsideRange, match="must differ"):
        judge_lot(plan, {"major": (1, 1)})
    with pytest.raises(OutsideRange, match="lie in 1 to 50"):
        judge_lot(plan, {"major": (51,)})
    with pytest.raises(OutsideRange, match="grave"):
        bought_lot_plan(500, inspection={"grave": "tightened"})
    with pytest.raises(OutsideRange, match="every class has AQL 0"):
        bought_lot_plan(500, (DefectClass("critical", 0),))


def test_classes_switch_by_themselves() -> None:
    plan = bought_lot_plan(500, inspection={"major": "tightened"})
    assert [(row.n, row.accept) for row in plan.rows] == [(50, 0), (50, 2), (50, 5)]


def test_the_sum_follows_the_size_of_the_lot() -> None:
    assert accept_lot(50, 8, 0, 2).model == "hypergeometric"
    assert accept_lot(5000, 8, 0, 200).model == "binomial"
    assert accept_lot(50, 50, 0, 1).chance == 0.0


def test_most_bad_units_still_accepted() -> None:
    # by hand: 8 of 50, none allowed: D = 2 is 0.703, D = 3 is 0.586
    assert quality_hypergeometric(50, 8, 0, 0.7) == 2
    assert quality_hypergeometric(50, 50, 0, 0.5) == 0


def test_no_plan_is_said() -> None:
    with pytest.raises(NoPlan, match="100 units or fewer"):
        two_point_plan(0.01, 0.99, 0.011, 0.01, largest=100)
