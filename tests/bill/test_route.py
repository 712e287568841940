"""The making route: conditions, what steps count, set-up families, and the net in which three streams meet."""

from __future__ import annotations

import pytest

from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.design.buildup import bed_at_size
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
