"""The net of operations by numbers instead of names, with the least times before and after each: used by the rule
and by the bound, not by the audit."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.schedule.problem import Problem


def slowed(run_seconds: int, level: int) -> int:
    """Seconds that work of `run_seconds` [s] takes at a level [percent of full speed], rounded up."""
    return -(-run_seconds * 100 // level)


@dataclass(frozen=True, slots=True)
class Net:
    """Operations as indices into problem.operations.

    order       so that each comes after those it waits for
    before      what each waits for; following the other way round
    wait        elapsed seconds after each before what follows may start, an oven's cooling included
    best        seconds of each at the best level there is (an oven: door shut to door open)
    latest_end  second by which each must end for every works order after it to make its van, clocks and queues aside
    """

    order: tuple[int, ...]
    before: tuple[tuple[int, ...], ...]
    following: tuple[tuple[int, ...], ...]
    wait: tuple[int, ...]
    best: tuple[int, ...]
    latest_end: tuple[int, ...]


def net_of(problem: Problem, stretch_percent: int = 100) -> Net:
    """The net of a problem. stretch_percent lengthens working seconds to elapsed ones for latest_end (100: not)."""
    operations = problem.operations
    number = {operation.id: i for i, operation in enumerate(operations)}
    before = tuple(tuple(sorted({number[name] for name in operation.after})) for operation in operations)
    after: list[list[int]] = [[] for _ in operations]
    for i, names in enumerate(before):
        for j in names:
            after[j].append(i)
    left = [len(names) for names in before]
    order = [i for i, count in enumerate(left) if count == 0]
    for i in order:
        for j in after[i]:
            left[j] -= 1
            if left[j] == 0:
                order.append(j)
    ovens = {oven.code: oven for oven in problem.ovens}
    levels: dict[str | None, int] = {None: 100}
    for person in problem.people:
        for skill, level in person.skills:
            levels[skill] = max(levels.get(skill, 0), level)
    wait, best = [], []
    for operation in operations:
        oven = ovens.get(operation.place)
        wait.append(max(operation.wait_seconds, oven.cooling_seconds if oven else 0))
        best.append(oven.length() if oven else slowed(operation.run_seconds, levels[operation.skill]))
    due = {works_order.id: works_order.due for works_order in problem.works_orders}
    latest = [due[operation.works_order] - wait[i] for i, operation in enumerate(operations)]
    for i in reversed(order):
        for j in after[i]:
            own = best[j] if operations[j].place in ovens else best[j] * stretch_percent // 100
            latest[i] = min(latest[i], latest[j] - own - wait[i])
    following = tuple(tuple(names) for names in after)
    return Net(tuple(order), before, following, tuple(wait), tuple(best), tuple(latest))
