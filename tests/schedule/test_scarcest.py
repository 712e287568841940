"""The scarcest skill: asked time over the time of those who have it, by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Person, WorkPlace
from bedwright.schedule.scarcest import scarcest


def net(skill: str, seconds: int) -> tuple[Operation, ...]:
    parts = tuple(
        Operation(f"W1-{stream}", "W1", stream, "BENCH", "sewing", 60) for stream in ("unit", "panels", "border")
    )
    build = Operation("W1-build", "W1", "meet", "BENCH", skill, seconds, after=tuple(part.id for part in parts))
    return (*parts, build)


PROBLEM = Problem(
    zone="Europe/London",
    as_of=date(2026, 3, 2),
    works_orders=(WorksOrder("W1", due=36_000),),
    operations=net("hand tufting", 1_800),
    places=(WorkPlace("BENCH", "bench", 4),),
    people=(
        Person("1", (("sewing", 100),), ((0, 7_200), (40_000, 50_000))),
        Person("2", (("hand tufting", 50), ("sewing", 100)), ((0, 7_200),), absence=((3_600, 7_200),)),
    ),
)


def test_the_share_is_asked_time_over_time_at_their_speed() -> None:
    found = scarcest(PROBLEM)
    assert found is not None
    # 1,800 s asked; person 2 has 3,600 s before the cut-off at half speed; what person 1 has after it does not count
    assert (found.skill, found.share) == ("hand tufting", pytest.approx(1_800 / (3_600 * 0.5)))


def test_more_of_another_skill_moves_it() -> None:
    busy = tuple(replace(one, run_seconds=4_000) if one.skill == "sewing" else one for one in PROBLEM.operations)
    found = scarcest(replace(PROBLEM, operations=busy))
    assert found is not None
    assert (found.skill, found.share) == ("sewing", pytest.approx(12_000 / (7_200 + 3_600)))
