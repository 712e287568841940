"""A bed that misses its van is said on that van's load; left and right are the driver's."""

from __future__ import annotations

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.design.buildup import bed_at_size
from bedwright.loading.from_orders import van_loads
from bedwright.loading.plan import Placed
from bedwright.loading.rows import rows
from bedwright.works.runs import runs_to_make
from bedwright.works.works import Works


def test_a_late_run_is_named_on_its_van_and_no_other(small_works: Works) -> None:
    works = small_works

    def bills(bed: str, size: str) -> Bill:
        return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes[size]))

    runs = runs_to_make(works, works.about.as_of)
    late = runs[0]
    loads = van_loads(works, bills, runs, works.about.as_of, late={late.id: "will be ready tomorrow"})
    named = {load.key: load.not_ready for load in loads if load.not_ready}
    assert list(named) == [f"{late.van.van_round} {late.van.day.isoformat()}"]
    (words,) = next(iter(named.values()))
    assert late.id in words and late.size in words and words.endswith("will be ready tomorrow")


def test_y_counts_from_the_drivers_right(small_works: Works) -> None:
    works = small_works

    def bills(bed: str, size: str) -> Bill:
        return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes[size]))

    checked = 0
    for load in van_loads(works, bills, runs_to_make(works, works.about.as_of), works.about.as_of):
        width = load.plan.problem.vehicle.width
        for row in rows(load.plan):
            side = row.where.split(",")[0]
            if row.act == "load" and side in ("left side", "right side"):
                pieces: list[Placed] = [p for p in load.plan.goods if p.stop == row.stop]
                right = any(2 * p.y + p.dy < width for p in pieces)
                left = any(2 * p.y + p.dy > width for p in pieces)
                assert right if side == "right side" else left
                checked += 1
    assert checked
