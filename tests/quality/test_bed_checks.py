"""Checks of one bed: every kind a route may name has a card, limits are the house's own figures."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

from bedwright.bill.make import make_bill
from bedwright.design.buildup import bed_at_size
from bedwright.quality.bed_checks import bed_checks
from bedwright.quality.checks import DEFAULT_CHECKS, checks_for
from bedwright.works.making import CheckKind
from bedwright.works.rules import Rule
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works

STARTER = Path(__file__).resolve().parents[2] / "starter"


def test_every_kind_that_a_route_may_name_has_a_card() -> None:
    kinds = set(get_args(CheckKind))
    assert kinds == {check.work_place_kind for check in DEFAULT_CHECKS} - {"wire in"}
    assert all(checks_for(kind) for kind in kinds)


def test_checks_follow_the_route_and_take_the_houses_limits() -> None:
    works = read_csv_folder(STARTER)
    rule = Rule(code="tolerance_diagonals", rule_value=8.0, unit="mm")
    works = Works.of(works.about, [*(card for card in works.all_cards() if card.code != rule.code), rule])
    bill = make_bill(works, bed_at_size(works, works.beds["OPEN-2"], works.sizes["150x200"]))
    found = bed_checks(works, bill)
    positions = [one.position for one in found]
    order = [step.position for step in bill.operations]
    assert positions == sorted(positions, key=order.index)
    limits = {one.look_at: one.limit for one in found}
    assert limits["difference of the two diagonals"] == "± 8 mm"
    assert limits["mass against the bill, synthetic fillings"] == f"{bill.mass_low:.1f} to {bill.mass_high:.1f} kg"
    assert "mass against the bill, natural fillings" not in limits
    assert any(one.look_at.startswith("needles counted") for one in found)
    assert not any(one.look_at.startswith("rolled") for one in found)
