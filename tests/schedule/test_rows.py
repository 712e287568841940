"""Rows of the day are in wall time, cut at midnight, and cover all work of the plan once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import WorkPlace
from bedwright.schedule.rows import day_rows, finish_rows
from bedwright.schedule.simple import simple
from bedwright.schedule.solve import solve

H = 3600


def test_every_operation_has_rows_with_bed_people_and_set_up(small: Problem) -> None:
    plan = solve(small, budget=1)
    rows = day_rows(small, plan)
    assert {row.operation for row in rows} == {operation.id for operation in small.operations}
    tape = next(row for row in rows if row.operation == "W1-tape")
    slip = next(slip for slip in plan.slips if slip.operation == "W1-tape")
    assert (tape.bed, tape.beds, tape.work, tape.people) == ("Heron 150", 2, "tape", slip.people)
    assert tape.start == f"{small.clock.wall(slip.start):%H:%M}"
    quilt = next(row for row in rows if row.place == "quilter")
    assert quilt.setup_minutes == 12 and quilt.machine == 1 and not quilt.goes_on
    assert {row.charge for row in rows if row.place == "oven"} == {charge.number + 1 for charge in plan.charges}
    assert list(rows) == sorted(rows, key=lambda r: (r.day, r.place, r.machine, r.start))


def test_work_over_the_night_of_the_clock_change_has_a_row_for_each_day() -> None:
    order = WorksOrder("A", 99 * H)
    operation = Operation("A-1", "A", "unit", "m", None, 24 * H, earliest=23 * H)
    question = Problem("Europe/London", date(2026, 10, 24), (order,), (operation,), (WorkPlace("m", "m", 1, False),))
    rows = day_rows(question, simple(question))
    # from Saturday 23:00, 24 hours, of which Sunday 25 October has 25: so it ends on Sunday at 22:00
    assert [(r.day.day, r.start, r.to, r.goes_on) for r in rows] == [
        (24, "23:00", "24:00", True),
        (25, "00:00", "22:00", False),
    ]


def test_finishes_for_loading_come_by_cut_off(crowded: Problem) -> None:
    rows = finish_rows(crowded, solve(crowded))
    assert [row.works_order for row in rows] == ["W1", "W2", "W3", "W4"]
    assert rows[0].due.isoformat() == "2026-10-19T08:00:00+01:00"
    assert not rows[0].makes_van and rows[0].seconds_late > 0 and rows[2].pair == "Z"
    assert rows[0].finish is not None and rows[0].finish_second is not None


def test_an_order_that_is_not_in_the_plan_has_no_finish(small: Problem) -> None:
    short = replace(small, people=tuple(replace(p, working=p.working[:1], overtime=()) for p in small.people))
    rows = finish_rows(short, simple(short))
    assert any(row.finish is None and not row.makes_van for row in rows)
