"""Van loads from orders: each run rides once, at its customer's stop, packed as the bed says; collections ride back."""

from __future__ import annotations

from collections import Counter
from datetime import date

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.design.buildup import bed_at_size
from bedwright.loading.from_orders import VanLoad, load_problem, van_loads
from bedwright.loading.rows import rows
from bedwright.works.rules import Rule
from bedwright.works.runs import Run, runs_to_make
from bedwright.works.works import Works


def bill(works: Works, bed: str, size: str) -> Bill:
    return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes[size]))


@pytest.fixture(scope="module")
def runs(small_works: Works) -> tuple[Run, ...]:
    return runs_to_make(small_works, small_works.about.as_of)


@pytest.fixture(scope="module")
def loads(small_works: Works, runs: tuple[Run, ...]) -> tuple[VanLoad, ...]:
    return van_loads(small_works, lambda bed, size: bill(small_works, bed, size), runs, small_works.about.as_of)


def test_loads_pass_the_audit_and_hold_each_run_once(runs: tuple[Run, ...], loads: tuple[VanLoad, ...]) -> None:
    assert [(load.van_round, load.day) for load in loads] == [
        ("NORTH", date(2026, 3, 10)),
        ("NORTH", date(2026, 3, 13)),
    ]
    assert all(load.faults == () for load in loads)
    goods = Counter(bundle.key for load in loads for bundle in load.plan.problem.goods)
    assert goods == Counter(run.id for run in runs)
    assert sum(load.beds for load in loads) == sum(run.beds for run in runs)


def test_stops_follow_the_round_and_leave_out_who_gets_nothing(loads: tuple[VanLoad, ...]) -> None:
    assert [stop.key for stop in loads[0].plan.problem.stops] == ["QUIET"]
    assert loads[0].plan.problem.stops[0].caution == "way in by stairs"
    assert [stop.key for stop in loads[1].plan.problem.stops] == ["HALLS"]


def test_packed_mass_and_size_come_from_the_bill(small_works: Works, loads: tuple[VanLoad, ...]) -> None:
    bundles = {bundle.what: bundle for load in loads for bundle in load.plan.problem.goods}
    snipe = bill(small_works, "SNIPE", "150")
    assert bundles["Snipe 150"].mass == round(snipe.packed_mass * 1000)
    assert bundles["Snipe 150"].thickness == round(snipe.bed.wrap.height)
    rolled = bundles["Knot 150"]
    assert rolled.ways == ("rolled",) and rolled.width == rolled.thickness == 360 and rolled.length == 1600


def test_stack_is_not_known_until_measured_here(loads: tuple[VanLoad, ...]) -> None:
    assert all(bundle.stack is None for load in loads for bundle in load.plan.problem.goods)


def test_collections_ride_with_their_own_van(small_works: Works, loads: tuple[VanLoad, ...]) -> None:
    assert [load.collected for load in loads] == [0, 2]
    (old,) = loads[1].plan.problem.collections
    assert (old.key, old.stop, old.count) == ("COL-1", "HALLS", 2)
    # from-memory: 12 kg/m2 and 250 mm, house rules that a works may change
    size = small_works.sizes[old.what.split()[2].rstrip(",")]
    assert old.mass == pytest.approx(12_000 * size.width * size.length / 1e6, abs=1)
    assert (old.thickness, old.weighed) == (250, False)
    told = " ".join(row.words for row in rows(loads[1].plan) if row.act == "collect")
    assert f"(about {old.mass / 1000:.0f} kg, not weighed;" in told


def test_a_house_rule_changes_the_old_bed(small_works: Works) -> None:
    ours = Rule(code="old_bed_thickness", rule_value=300.0)
    changed = Works.of(small_works.about, [*small_works.all_cards(), ours])
    runs = runs_to_make(changed, changed.about.as_of)
    loads = van_loads(changed, lambda bed, size: bill(changed, bed, size), runs, changed.about.as_of)
    assert {old.thickness for load in loads for old in load.plan.problem.collections} == {300}


def test_a_stop_that_is_not_on_the_round_is_to_be_asked_about(small_works: Works, runs: tuple[Run, ...]) -> None:
    card = small_works.van_rounds["NORTH"]
    gone = card.stops[0].customer
    short = card.model_copy(update={"stops": card.stops[1:]})
    changed = Works.of(small_works.about, [one for one in small_works.all_cards() if one != card] + [short])
    goods = [run for run in runs if run.customer == gone]
    assert goods
    problem = load_problem(changed, lambda bed, size: bill(changed, bed, size), "NORTH", goods[0].van.day, goods, ())
    assert [(stop.key, stop.caution) for stop in problem.stops] == [(gone, "access not known: ask")]
