"""Little 1961 (book `little-1961`): work in hand = throughput x lead time, counted on plans by a sum of its own."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from itertools import pairwise

from bedwright.schedule.audit import audit
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.plan import Plan
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import WorkPlace
from bedwright.schedule.simple import simple

H = 3600


def spans(problem: Problem, plan: Plan) -> list[tuple[int, int]]:
    """(begun, ready) of each works order, read from its slips."""
    wait = {operation.id: operation.wait_seconds for operation in problem.operations}
    order = {operation.id: operation.works_order for operation in problem.operations}
    out: dict[str, tuple[int, int]] = {}
    for slip in plan.slips:
        begun, ready = out.get(order[slip.operation], (10**9, 0))
        out[order[slip.operation]] = (min(begun, slip.start), max(ready, slip.end + wait[slip.operation]))
    return list(out.values())


def in_hand(rows: list[tuple[int, int]], start: int, end: int) -> Fraction:
    """Time-average of works orders in hand: the steps of the count, summed between its changes."""
    moments = sorted({start, end, *(t for row in rows for t in row if start <= t <= end)})
    area = sum(sum(a <= t < b for a, b in rows) * (u - t) for t, u in pairwise(moments))
    return Fraction(area, end - start)


def line(jobs: int, curing: int) -> Problem:
    """One work order every 6 minutes through glue and pack, 6 minutes each, with a cure in between."""
    operations = []
    for job in range(jobs):
        name = f"J{job:03d}"
        glue = Operation(f"{name}-glue", name, "unit", "glue", None, 360, earliest=360 * job, wait_seconds=curing)
        operations += [glue, Operation(f"{name}-pack", name, "unit", "pack", None, 360, after=(glue.id,))]
    orders = tuple(WorksOrder(f"J{job:03d}", 10**6) for job in range(jobs))
    places = (WorkPlace("glue", "glue", 1, False), WorkPlace("pack", "pack", 1, False))
    return Problem("UTC", date(2026, 1, 1), orders, tuple(operations), places)


def test_fifty_in_hand_at_ten_an_hour_take_five_hours() -> None:
    # check value LL1: WIP 50, throughput 10/h, lead time 5 h, exact. The cure is 5 h less two runs of 6 min.
    problem = line(300, 5 * H - 2 * 360)
    plan = simple(problem)
    assert audit(problem, plan) == ()
    rows = spans(problem, plan)
    assert {ready - begun for begun, ready in rows} == {5 * H}
    assert in_hand(rows, 10 * H, 20 * H) == 50
    assert Fraction(sum(10 * H < ready <= 20 * H for _, ready in rows), 10) == 10
    assert in_hand(rows, 10 * H, 20 * H) == 10 * Fraction(5)


def test_the_identity_holds_over_a_whole_plan_that_queues() -> None:
    operations, orders = [], []
    for job in range(40):
        name = f"J{job:02d}"
        orders.append(WorksOrder(name, 10**6 - job))
        for k, run in enumerate((300 + 37 * job % 400, 200 + 91 * job % 700, 500)):
            after = (f"{name}-{k - 1}",) if k else ()
            early = 0 if k else job * 250
            operations.append(Operation(f"{name}-{k}", name, "unit", f"M{k}", None, run, after=after, earliest=early))
    places = tuple(WorkPlace(f"M{k}", "m", 1, False) for k in range(3))
    problem = Problem("UTC", date(2026, 1, 1), tuple(orders), tuple(operations), places)
    rows = spans(problem, simple(problem))
    start, end = min(a for a, _ in rows), max(b for _, b in rows)
    throughput = Fraction(len(rows), end - start)
    lead_time = Fraction(sum(b - a for a, b in rows), len(rows))
    assert in_hand(rows, start, end) == throughput * lead_time
    assert lead_time > 1500  # the plan does queue
