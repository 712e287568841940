"""A run says of every ceiling of a brief whether its bed holds it; edge and persons it leaves to a weigh-up."""

from __future__ import annotations

from bedwright.answers import answer
from bedwright.bill.make import make_bill
from bedwright.cost.rollup import cost
from bedwright.design.buildup import bed_at_size
from bedwright.weighing.builds import changed
from bedwright.works.trading import Brief
from bedwright.works.works import Works


def met(works: Works, brief: Brief) -> dict[str, bool | None]:
    bill = make_bill(works, bed_at_size(works, works.beds["HERON"], works.sizes["150x200"]))
    told = answer(brief, bill, "not pressed", cost(works, bill, works.about.as_of), ())
    return {point.says.split(" ")[0]: point.met for point in told.points}


def test_each_ceiling_is_answered(demo_works: Works) -> None:
    """HERON has 900 coils, 15.07 kg of steel, 120.25 kg CO2e and costs 185.20: the brief's own figures hold, tighter
    ones do not."""
    brief = demo_works.briefs["BRIEF-1"]
    held = met(demo_works, brief)
    assert [held[name] for name in ("steel", "carbon", "900", "cost")] == [True] * 4
    asked = changed(brief, steel_max=15.0, carbon_max=120.0, count_claim=901, edge_least=80.0,
                    persons="man 1755 mm 80 kg side")  # fmt: skip
    tight = met(demo_works, asked)
    assert [tight[name] for name in ("steel", "carbon", "900", "edge", "man")] == [False, False, False, None, None]
