"""All cuts of a works: every question answered and audited, and the yield of each material that comes of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

from bedwright.cutting.gather import Asked, cut_problems
from bedwright.cutting.lays.plan import LayPlan
from bedwright.cutting.sheets.plan import SheetPlan
from bedwright.cutting.solve import CutPlan, audit, solve
from bedwright.errors import Fault

BUDGET = 16
"""Orders tried for each question: the plain rule's own few, and some more."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One question with its plan, and what the independent audit found in it (nothing, when it may be cut)."""

    asked: Asked
    plan: CutPlan
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Cuts:
    """Every cut, and the yields: code -> share of what is taken that ends in pieces, roll ends and edges counted."""

    cuts: tuple[Cut, ...]
    yields: dict[str, float]

    def of_kind(self, kind: str) -> tuple[Cut, ...]:
        """Cuts of one kind: lay, sheet or slit."""
        return tuple(cut for cut in self.cuts if cut.asked.kind == kind)


def solve_cuts(asked: tuple[Asked, ...], told: Callable[[int, int], None] | None = None, budget: int = BUDGET) -> Cuts:
    """Answer and audit every question, in order."""
    found = []
    for number, one in enumerate(asked, 1):
        plan = solve(one.problem, budget)
        found.append(Cut(one, plan, audit(plan)))
        if told is not None:
            told(number, len(asked))
    return Cuts(tuple(found), _yields(found))


def _yields(cuts: list[Cut]) -> dict[str, float]:
    """Areas of pieces over those taken, all weeks together; a code with no piece has no yield.

    Slits tell none: what is left of a roll of tape or a coil of rod goes back to stock.
    """
    ends: dict[str, float] = defaultdict(float)
    taken: dict[str, float] = defaultdict(float)
    for cut in cuts:
        plan = cut.plan
        if isinstance(plan, LayPlan):
            for ply in plan.problem.plies:
                share = plan.ply_yields()[ply.key] / 100
                ends[ply.key] += share * plan.proof.value * ply.width
                taken[ply.key] += plan.proof.value * ply.width
        elif isinstance(plan, SheetPlan):
            ends[cut.asked.code] += plan.yield_percent / 100 * plan.proof.value
            taken[cut.asked.code] += plan.proof.value
    return {code: ends[code] / taken[code] for code in sorted(taken) if taken[code] and ends[code]}


__all__ = ["BUDGET", "Cut", "Cuts", "cut_problems", "solve_cuts"]
