"""The scarcest skill: the one whose people have the least time to spare for what is to be made."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.schedule.problem import Problem
from bedwright.schedule.spans import measure, without


@dataclass(frozen=True, slots=True)
class Scarce:
    """A skill, and the share of its people's working time up to the last cut-off that the work asks for.

    People with several skills are counted whole for each, so the share is the least it can be.
    """

    skill: str
    share: float


def scarcest(problem: Problem) -> Scarce | None:
    """The skill with the greatest share, the first by name among equals; None where no work asks for a skill."""
    last = max((order.due for order in problem.works_orders), default=0)
    asked: dict[str, float] = {}
    for operation in problem.operations:
        if operation.skill is not None:
            asked[operation.skill] = asked.get(operation.skill, 0.0) + operation.run_seconds * operation.hands
    found = []
    for skill in sorted(asked):
        time = 0.0
        for person in problem.people:
            level = person.level(skill)
            if level:
                mine = without(tuple((a, min(b, last)) for a, b in person.working if a < last), person.absence)
                time += measure(mine) * level / 100
        found.append(Scarce(skill, asked[skill] / time if time else float("inf")))
    return max(found, key=lambda one: one.share, default=None)
