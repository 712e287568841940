"""What the marks room refuses, each with what would do."""

from decimal import Decimal

import pytest

from bedwright.errors import OutsideRange
from bedwright.marks.contents import Content, fibres_must_be_named, in_order_of_mass, shares_of_mass
from bedwright.marks.durability import loss_grades, loss_percent, roller_time
from bedwright.marks.fire import hazard_tests, read_bs_5852, read_cfr_1632, uk_1988_scope
from bedwright.marks.sizes import size_reading


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        (lambda: hazard_tests("middling"), "'middling' is none of low, medium, high, very high"),
        (lambda: read_bs_5852(1, 10), "source 1 has no limit here"),
        (lambda: read_cfr_1632(float("nan")), "nan cm"),
        (lambda: uk_1988_scope(0, 74, for_child=True), "more than nothing"),
        (lambda: size_reading(1500, []), "one or more sizes"),
        (lambda: size_reading(1500, [1500], tolerance=30), "the most that EN 1334 allows"),
        (lambda: roller_time(-1), "-1 cycles"),
        (lambda: loss_percent(0, 1), "before 0"),
        (lambda: loss_grades(float("nan"), 1), "must be numbers"),
        (lambda: fibres_must_be_named(101), "101 %"),
        (lambda: in_order_of_mass([Content("foam", Decimal(60))]), "make 60 %, not 100 %"),
        (lambda: in_order_of_mass([]), "one or more contents"),
        (lambda: in_order_of_mass([Content("foam", Decimal(50))] * 2), "listed once"),
        (lambda: shares_of_mass([("foam", 999.0), ("thread", 1.0)]), "thread: under half a percent"),
        (lambda: shares_of_mass([("foam", 0.0)]), "mass over 0"),
    ],
)
def test_refusals(wrong, says: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(OutsideRange, match=says):
        wrong()
