"""The door to loading: solve(problem, budget, seed) -> LoadPlan. Budget counts orders tried, never time."""

from __future__ import annotations

from bedwright.loading.plan import LoadPlan
from bedwright.loading.problem import LoadProblem
from bedwright.loading.simple import PLAIN_ORDERS, plan_load


def solve(problem: LoadProblem, budget: int = PLAIN_ORDERS, seed: int = 0) -> LoadPlan:
    """The best load found within a budget of orders tried; same problem, budget and seed: same plan.

    Always answers: what does not fit is listed as left behind, with its reason.
    """
    return plan_load(problem, budget, seed)
