"""The making route: conditions, what steps count, set-up families, and the net in which three streams meet."""

from __future__ import annotations

from pathlib import Path

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.design.buildup import bed_at_size
from bedwright.works.workbook.csv_folder import read_csv_folder
from bedwright.works.works import Works


def bill_of(works: Works, bed: str, size: str) -> Bill:
    return make_bill(works, bed_at_size(works, works.beds[bed], works.sizes[size]))


@pytest.mark.parametrize(
    ("bed", "there", "not_there"),
    [
        (
            "SNIPE",
            {"heat-set", "clip rod", "quilt deep panels", "hand side-stitch", "tuft", "bag"},
            {"roll", "sew flange"},
        ),
        ("KNOT", {"glue strings", "glue rails", "quilt panels", "roll"}, {"bag", "tuft", "open bale", "quilt border"}),
        ("RUFF", {"open bale", "sew flange", "bag"}, {"coil and pocket", "glue strings", "overlock panels"}),
    ],
)
def test_steps_follow_what_the_bed_has(small_works: Works, bed: str, there: set[str], not_there: set[str]) -> None:
    names = {step.operation for step in bill_of(small_works, bed, "150").operations}
    assert there <= names
    assert not there & not_there and not names & not_there


@pytest.mark.parametrize("bed", ["SNIPE", "KNOT", "RUFF"])
def test_build_waits_for_the_whole_set(small_works: Works, bed: str) -> None:
    steps = {step.position: step for step in bill_of(small_works, bed, "150").operations}
    ahead: dict[int, set[int]] = {}

    def before(position: int) -> set[int]:
        if position not in ahead:
            ahead[position] = set(steps[position].after).union(*(before(one) for one in steps[position].after), set())
        return ahead[position]

    build = next(step for step in steps.values() if step.stream == "meet")
    parts = {position for position, step in steps.items() if step.stream != "meet"}
    assert before(build.position) == parts
    assert {steps[position].stream for position in build.after} == {"unit", "panels", "border"}
    for position, step in steps.items():
        for one in step.after:
            assert one < position or step.stream == "meet"
            assert list(steps).index(one) < list(steps).index(position)
            assert step.stream == "meet" or steps[one].stream == step.stream


def test_tape_edge_is_two_passes_with_a_flip_between(small_works: Works) -> None:
    names = [step.operation for step in bill_of(small_works, "SNIPE", "150").operations]
    assert names.index("tape, first pass") < names.index("flip") < names.index("tape, second pass")


def test_oven_has_no_minutes_and_one_rack_unit(small_works: Works) -> None:
    oven = next(step for step in bill_of(small_works, "SNIPE", "150").operations if step.work_place == "OVEN")
    assert (oven.oven, oven.minutes, oven.rack_units, oven.labour_minutes) == (True, 0.0, 1, 0.0)
    assert oven.wait_minutes == 30.0 and oven.caution == "oven"


def test_families_name_what_must_stand_set_up(small_works: Works) -> None:
    families = {
        step.operation: (step.family, step.family_value) for step in bill_of(small_works, "KNOT", "150").operations
    }
    assert families["coil and pocket"] == ("coil height", "190 mm")
    assert families["quilt panels"] == ("ticking", "TICK2")
    assert families["tape, first pass"] == ("tape colour", "TAPE38")
    assert families["build side one"] == ("", "")


def test_two_hands_are_two_people(small_works: Works) -> None:
    bill = bill_of(small_works, "KNOT", "150")
    roll = next(step for step in bill.operations if step.operation == "roll")
    assert roll.labour_minutes == 2 * roll.minutes
    assert bill.minutes_at("TAPE-EDGE") == pytest.approx(2 * (2.5 + 0.25 * 7.1) + 0.5)


def test_a_caution_of_the_step_goes_before_that_of_its_place(small_works: Works) -> None:
    route = small_works.routes["R-POCKET"]
    own = tuple(
        step.model_copy(update={"caution": "rolled" if step.operation == "roll" else "none"}) for step in route.steps
    )
    cards = [one for one in small_works.all_cards() if one != route]
    changed = Works.of(small_works.about, [*cards, route.model_copy(update={"steps": own})])
    before = {step.operation: step.caution for step in bill_of(small_works, "KNOT", "150").operations}
    after = {step.operation: step.caution for step in bill_of(changed, "KNOT", "150").operations}
    assert before["roll"] != "rolled"
    assert after == {**before, "roll": "rolled"}, "where a step says none, its place still speaks"


@pytest.mark.parametrize("name", ["demo", "starter"])
def test_shipped_routes_warn_of_glue_rolling_and_lifting_at_the_step(name: str) -> None:
    works = read_csv_folder(Path(__file__).resolve().parents[2] / name)
    steps = [step for route in works.routes for step in route.steps]
    glued = [s for s in steps if "glue" in s.operation and works.work_places[s.work_place].caution != "hot melt"]
    assert all(step.caution == "hot melt" for step in glued)
    assert all(step.caution == "rolled" for step in steps if step.only_if == "rolled")
    assert all(step.caution == "lift" for step in steps if "base cloth" in step.operation)
    if name == "demo":
        assert len(glued) >= 2 and any(step.only_if == "rolled" for step in steps)
