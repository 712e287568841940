"""One door for the three kinds of cut: solve(problem, budget, seed) -> Plan. Budget counts orders tried, never time."""

from __future__ import annotations

from typing import overload

from bedwright.cutting.lays import audit as lay_audit
from bedwright.cutting.lays.plan import LayPlan
from bedwright.cutting.lays.problem import LayProblem
from bedwright.cutting.lays.simple import plan_lays
from bedwright.cutting.sheets import audit as sheet_audit
from bedwright.cutting.sheets.plan import SheetPlan
from bedwright.cutting.sheets.problem import SheetProblem
from bedwright.cutting.sheets.simple import plan_sheets
from bedwright.cutting.slits import audit as slit_audit
from bedwright.cutting.slits.plan import SlitPlan
from bedwright.cutting.slits.problem import SlitProblem
from bedwright.cutting.slits.simple import plan_slits
from bedwright.errors import Fault

CutProblem = LayProblem | SlitProblem | SheetProblem
CutPlan = LayPlan | SlitPlan | SheetPlan
BUDGET = 48


@overload
def solve(problem: LayProblem, budget: int = ..., seed: int = ...) -> LayPlan: ...
@overload
def solve(problem: SlitProblem, budget: int = ..., seed: int = ...) -> SlitPlan: ...
@overload
def solve(problem: SheetProblem, budget: int = ..., seed: int = ...) -> SheetPlan: ...
def solve(problem: CutProblem, budget: int = BUDGET, seed: int = 0) -> CutPlan:
    """The best plan found within a budget of orders tried; same problem, budget and seed: same plan.

    Always answers: what the stock on hand cannot give is listed as short, with its reason.
    """
    if isinstance(problem, LayProblem):
        return plan_lays(problem, budget, seed)
    if isinstance(problem, SlitProblem):
        return plan_slits(problem, budget, seed)
    return plan_sheets(problem, budget, seed)


def audit(plan: CutPlan) -> tuple[Fault, ...]:
    """The independent checker for whichever plan this is; no faults: it may be cut as written."""
    if isinstance(plan, LayPlan):
        return lay_audit.audit(plan)
    if isinstance(plan, SlitPlan):
        return slit_audit.audit(plan)
    return sheet_audit.audit(plan)
