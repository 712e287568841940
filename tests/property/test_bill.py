"""The bill at any size: sums hold, nothing is negative, the same bed gives the same bill."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.bill.make import make_bill
from bedwright.design.buildup import bed_at_size
from bedwright.works.beds import Size
from bedwright.works.works import Works


@settings(max_examples=30, deadline=None)
@given(
    bed=st.sampled_from(["SNIPE", "KNOT", "RUFF"]),
    width=st.integers(750, 2000),
    length=st.integers(1700, 2200),
)
def test_sums_hold_at_any_size(small_works: Works, bed: str, width: int, length: int) -> None:
    size = Size(code="X", width=float(width), length=float(length))
    bill = make_bill(small_works, bed_at_size(small_works, small_works.beds[bed], size))
    assert bill == make_bill(small_works, bed_at_size(small_works, small_works.beds[bed], size))
    assert bill.dry_mass == pytest.approx(sum(row.mass for row in bill.rows))
    assert bill.mass == pytest.approx(bill.dry_mass + sum(row.regain_mass for row in bill.rows))
    assert bill.mass_low <= bill.mass <= bill.mass_high
    assert all(row.quantity >= 0 and 0 <= row.mass <= row.taken_mass * (1 + 1e-12) for row in bill.rows)
    assert bill.steel_mass <= bill.dry_mass
    assert bill.minutes == pytest.approx(sum(step.labour_minutes for step in bill.operations))
    done: set[int] = set()
    for step in bill.operations:
        assert set(step.after) <= done
        done.add(step.position)
