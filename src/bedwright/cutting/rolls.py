"""A roll slit across its width, each band then cut to length: border cloth, flange and tape made in the house.

Two slits, one after the other: lengths into bands of each width, then bands across the roll. The bound is on rolls.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.cutting.bounds import ceil_div, fewest_bars
from bedwright.cutting.plan import BOUND_MET, ORDERS_DONE, Proof
from bedwright.cutting.slits.audit import audit as slit_audit
from bedwright.cutting.slits.plan import SlitPlan
from bedwright.cutting.slits.problem import Bar, SlitProblem, Strip
from bedwright.cutting.slits.simple import PLAIN_ORDERS, plan_slits
from bedwright.errors import Fault, FaultsFound


@dataclass(frozen=True, slots=True)
class RollProblem:
    """Strips by width from rolls that are slit from end to end. Integers in tenths of a millimetre.

    strips: (width, strip) pairs; selvedge: lost on each side; knife: lost between bands; kerf: lost at each cross-cut;
    ends: lost at head and at tail of every band. Raises FaultsFound naming strip and roll.
    """

    name: str
    strips: tuple[tuple[int, Strip], ...]
    roll: str
    roll_width: int
    roll_length: int
    selvedge: int = 0
    knife: int = 0
    kerf: int = 0
    ends: int = 0

    def __post_init__(self) -> None:
        room = self.roll_width - 2 * self.selvedge
        faults = [
            Fault(
                f"{width} tenths wide fits no roll: {self.roll} has {room} usable",
                "use a wider roll",
                card=f"roll {self.name} strip {strip.key}",
                field="width",
            )
            for width, strip in self.strips
            if not 0 < width <= room
        ]
        if not self.strips:
            faults.append(Fault("nothing to cut", "give at least one strip", card=f"roll {self.name}", field="strips"))
        if faults:
            raise FaultsFound(faults)
        for width in self.widths():
            self.lengths(width)

    def widths(self) -> tuple[int, ...]:
        return tuple(sorted({width for width, strip in self.strips if strip.count}, reverse=True))

    def lengths(self, width: int) -> SlitProblem:
        """The first slit: strips of this width from bands as long as the roll."""
        strips = tuple(strip for w, strip in self.strips if w == width)
        band = Bar(f"{self.roll} band {width}", self.roll_length)
        return SlitProblem(f"{self.name} {width}", strips, (band,), self.kerf, self.ends, self.ends)


@dataclass(frozen=True, slots=True)
class RollPlan:
    """Bands by width (each a slit plan along the roll), and how the bands lie across the rolls; proof counts rolls."""

    problem: RollProblem
    lengths: tuple[tuple[int, SlitPlan], ...]
    across: SlitPlan | None
    proof: Proof

    @property
    def yield_percent(self) -> float:
        """Strip area over roll area."""
        cut = sum(w * part.length for w, plan in self.lengths for bar in plan.bars for part in bar.parts)
        taken = self.proof.value * self.problem.roll_width * self.problem.roll_length
        return 100.0 * cut / taken if taken else 100.0


def plan_roll(problem: RollProblem, budget: int = PLAIN_ORDERS, seed: int = 0) -> RollPlan:
    """Bands by first fit along, then rolls by first fit across; bound: least bands of each width, then L2 across."""
    lengths = tuple((w, plan_slits(problem.lengths(w), budget, seed)) for w in problem.widths())
    if not lengths:
        return RollPlan(problem, (), None, Proof(0, 0, BOUND_MET, 0, 0))
    bands = tuple(Strip(f"band {w}", w, len(plan.bars)) for w, plan in lengths)
    side = problem.selvedge
    question = SlitProblem(
        f"{problem.name} across", bands, (Bar(problem.roll, problem.roll_width),), problem.knife, side, side
    )
    across = plan_slits(question, budget, seed)
    room = problem.roll_width - 2 * side + problem.knife
    least = fewest_bars([(w + problem.knife, plan.bars_bound) for w, plan in lengths], room)
    area = sum(w * strip.length * strip.count for w, strip in problem.strips)
    bound = max(least, ceil_div(area, problem.roll_width * problem.roll_length))
    rolls = len(across.bars)
    tried = across.proof.tried + sum(plan.proof.tried for _, plan in lengths)
    work = across.proof.work + sum(plan.proof.work for _, plan in lengths)
    stopped = BOUND_MET if rolls == bound else ORDERS_DONE
    return RollPlan(problem, lengths, across, Proof(rolls, bound, stopped, tried, work))


def audit(plan: RollPlan) -> tuple[Fault, ...]:
    """Both slits, and that as many bands are slit as are cut to length."""
    return tuple(_audit(plan))


def _audit(plan: RollPlan) -> Iterator[Fault]:
    for _, along in plan.lengths:
        yield from slit_audit(along)
    if plan.across is None:
        if any(strip.count for _, strip in plan.problem.strips):
            yield Fault("strips are wanted and no roll is slit", card=f"roll {plan.problem.name}")
        return
    yield from slit_audit(plan.across)
    slit: dict[int, int] = {}
    for bar in plan.across.bars:
        for part in bar.parts:
            slit[part.length] = slit.get(part.length, 0) + 1
    for width, along in plan.lengths:
        if slit.get(width, 0) != len(along.bars):
            yield Fault(f"{slit.get(width, 0)} bands slit, {len(along.bars)} cut", card=f"band {width}")
    if len(plan.across.bars) != plan.proof.value or plan.proof.bound > plan.proof.value:
        yield Fault("the rolls do not add up", card=f"roll {plan.problem.name}", field="value")
