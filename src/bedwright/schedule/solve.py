"""The door of the room: a few plain rules, counted, and the best of them kept.

A later search goes behind the same door: solve(problem, budget, seed) -> Plan.
"""

from __future__ import annotations

from collections.abc import Callable

from bedwright.schedule.net import net_of
from bedwright.schedule.plan import Plan
from bedwright.schedule.problem import Problem
from bedwright.schedule.rules import Pass, Rule
from bedwright.schedule.simple import planned, stretch_percent, walk

DAY = 24 * 3600

RULES: tuple[Rule, ...] = (
    Rule("earliest cut-off"),
    Rule("least slack", by="slack"),
    Rule("earliest cut-off, set-ups saved within a day", setup_window=DAY),
    Rule("least slack, set-ups saved within a day", by="slack", setup_window=DAY),
    Rule("earliest cut-off, oven at once", fill_percent=1, oven_wait_seconds=0, setup_window=DAY // 2),
    Rule("earliest cut-off, oven well filled", fill_percent=90, oven_wait_seconds=2 * 3600),
)


def solve(
    problem: Problem,
    budget: int = len(RULES),
    seed: int = 0,
    progress: Callable[[int, int], None] | None = None,
) -> Plan:
    """The best plan of `budget` passes of plain rules.

    budget    passes, at least 1: first the rules above, then the best of them with its urgencies shaken from the seed.
              Where beds still miss their van and people have agreed to overtime, the passes that remain use it
    progress  called with (passes done, passes in all)

    Same problem, budget and seed: same plan. Raises ValueError for a budget below 1.
    """
    if budget < 1:
        raise ValueError(f"a budget of {budget} passes plans nothing; use 1 or more")
    net = net_of(problem, stretch_percent(problem))
    overtime = any(person.overtime for person in problem.people)
    best: Pass | None = None
    done, placed = 0, 0
    while done < budget and not (best is not None and best.objective[:4] == (0, 0, 0, 0)):
        rule = _next_rule(done, best, overtime)
        found = walk(problem, rule, seed + done, net)
        placed += len(found.slips)
        done += 1
        if best is None or (len(found.unplaced), found.objective) < (len(best.unplaced), best.objective):
            best = found
        if progress is not None:
            progress(done, budget)
    assert best is not None
    why = "the budget of passes was used" if done == budget else "nothing is late and nothing is set up: no better one"
    return planned(problem, best, why, done, placed)


def _next_rule(done: int, best: Pass | None, overtime: bool) -> Rule:
    """The rule of pass number `done`."""
    rule = RULES[done] if done < len(RULES) else RULES[done % len(RULES)]
    late = best is not None and best.objective.beds_missing > 0
    return Rule(
        rule.name + (", with overtime" if overtime and late else "") + (", shaken" if done >= len(RULES) else ""),
        rule.by,
        rule.setup_window,
        rule.fill_percent,
        rule.oven_wait_seconds,
        overtime and late,
        DAY // 2 if done >= len(RULES) else 0,
    )
