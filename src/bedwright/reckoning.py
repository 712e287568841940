"""One bed or the whole order book through every room, lazily, once: the only assembler.

It computes nothing of its own: it asks each room for what the next room needs, and keeps the answers.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import cached_property, partial

from bedwright.answers import Answer, answer
from bedwright.bill.make import make_bill
from bedwright.bill.rows import Bill
from bedwright.cost.ladder import Rung, price_ladder
from bedwright.cost.rollup import cost
from bedwright.cost.sheet import CostSheet
from bedwright.cutting.from_bills import Cuts, cut_problems, solve_cuts
from bedwright.design.bed_at_size import BedAtSize, CoilGroup
from bedwright.design.buildup import bed_at_size
from bedwright.design.fit import fit
from bedwright.errors import BedwrightError, Fault
from bedwright.kept import once
from bedwright.loading.from_orders import VanLoad, van_loads
from bedwright.marks.evidence import JudgedClaim, judged_claims
from bedwright.marks.label_facts import LabelFacts, label_facts
from bedwright.mechanics.card_coil import shape_of
from bedwright.mechanics.card_ties import bed_settling
from bedwright.mechanics.coil import CoilAnswer, coil_answer
from bedwright.mechanics.coil_force import Curve as CoilCurve
from bedwright.mechanics.coil_force import force_curve
from bedwright.mechanics.pad_test import Curve, pad_test
from bedwright.mechanics.settling import Settling
from bedwright.plants.beside import Beside, beside
from bedwright.quality.bought_lot import bought_lot_plan
from bedwright.schedule.audit import audit
from bedwright.schedule.from_bills import plan_problem
from bedwright.schedule.plan import Plan
from bedwright.schedule.problem import Problem
from bedwright.schedule.rows import misses, start_days
from bedwright.schedule.scarcest import Scarce, scarcest
from bedwright.schedule.solve import solve
from bedwright.schedule.why_late import LateReason, late_reasons
from bedwright.supply.from_bills import material_days, needs
from bedwright.supply.net_requirements import ItemNeed
from bedwright.works.runs import Run, beds_in_use, mean_run, runs_to_make
from bedwright.works.trading import CustomerBed
from bedwright.works.works import Works

Told = Callable[[str, int, int], None]
"""Called with a step's name, how much of it is done, and of how much."""


class Reckoning:
    """All results of a works on a day. Every property is worked out when first asked for, and kept."""

    def __init__(self, works: Works, today: date | None = None, told: Told | None = None) -> None:
        self.works = works
        self.today = today or works.about.as_of
        self._told = told or (lambda _step, _done, _of: None)

    @cached_property
    def keys(self) -> tuple[tuple[str, str], ...]:
        """Every bed at every size that somebody orders, lists, asks for or claims: (bed code, size code)."""
        return beds_in_use(self.works)

    @once
    def bed(self, bed: str, size: str) -> BedAtSize:
        """The bed at size."""
        return bed_at_size(self.works, self.works.beds[bed], self.works.sizes[size])

    @once
    def bill(self, bed: str, size: str) -> Bill:
        """What it takes."""
        return make_bill(self.works, self.bed(bed, size))

    @once
    def fit(self, bed: str, size: str) -> tuple[Fault, ...]:
        """Every fault of fit, grave ones first."""
        return fit(self.works, self.bed(bed, size))

    @once
    def curve(self, bed: str, size: str) -> Curve | str:
        """The predicted pad test in the middle, or the sentence that says why it is not known."""
        try:
            return pad_test(self.bed(bed, size))
        except BedwrightError as error:
            return str(error)

    @once
    def settling(self, bed: str, size: str) -> Settling:
        """Its loss of height in the middle."""
        return bed_settling(self.bed(bed, size))

    @once
    def coils(self, bed: str, size: str) -> tuple[tuple[CoilGroup, CoilAnswer, CoilCurve], ...]:
        """Every coil of the bed's unit, all told, with its force curve."""
        shapes = ((group, shape_of(group.coil, group.wire)) for group in self.bed(bed, size).unit.groups)
        return tuple((g, coil_answer(s, g.wire.grade), force_curve(s)) for g, s in shapes)

    @once
    def cost(self, bed: str, size: str) -> CostSheet:
        """What it costs today: yields of the cut plan, set-up shared by a run, contribution by the scarcest skill."""
        bill = self.bill(bed, size)
        scarce = bill.minutes_of(self.scarcest.skill) if self.scarcest is not None else 0.0
        beds, yields = mean_run(self.runs), self.cuts.yields
        return cost(self.works, bill, self.today, yields=yields, run_beds=beds, bottleneck_minutes=scarce or None)

    @cached_property
    def ladder(self) -> tuple[Rung, ...]:
        """Price of every bed from size to size."""
        return price_ladder((self.bill(*key), self.cost(*key)) for key in self.keys)

    def claims(self, bed: str, size: str) -> tuple[JudgedClaim, ...]:
        """Its claims, judged."""
        return judged_claims(self.works, self.bed(bed, size), self.today, self.bill(bed, size))

    def label(self, bed: str, size: str, names: CustomerBed | None = None) -> LabelFacts:
        """Its label, under a customer's name where one is given."""
        return label_facts(self.works, self.bed(bed, size), self.claims(bed, size), names)

    @cached_property
    def fit_faults(self) -> tuple[Fault, ...]:
        """Every fault of fit of every bed at every size."""
        return tuple(fault for key in self.keys for fault in self.fit(*key))

    @cached_property
    def runs(self) -> tuple[Run, ...]:
        """Works orders to be made, each with the van it must meet."""
        return runs_to_make(self.works, self.today)

    @cached_property
    def plan_problem(self) -> Problem:
        """The question of the plan; material that stock cannot give comes after its supplier's lead."""
        there = material_days(self.works, self.bill, self.runs, self.today)
        return plan_problem(self.works, self.bill, self.runs, self.today, there)

    @cached_property
    def scarcest(self) -> Scarce | None:
        """The skill with the least time to spare."""
        return scarcest(self.plan_problem)

    @cached_property
    def plan(self) -> Plan:
        """Who, where, when."""
        return solve(self.plan_problem, progress=partial(self._told, "plan"))

    @cached_property
    def plan_faults(self) -> tuple[Fault, ...]:
        """What the independent audit finds in the plan: nothing, when it is sound."""
        return audit(self.plan_problem, self.plan)

    @cached_property
    def late(self) -> tuple[LateReason, ...]:
        """Why each works order that misses its van does so."""
        return late_reasons(self.plan_problem, self.plan)

    @cached_property
    def cuts(self) -> Cuts:
        """Lays, slits and sheets of all works orders."""
        return solve_cuts(cut_problems(self.works, self.bill, self.runs), partial(self._told, "cuts"))

    @cached_property
    def loads(self) -> tuple[VanLoad, ...]:
        """Every van load, with collections."""
        told, missed = partial(self._told, "loading"), misses(self.plan_problem, self.plan)
        return van_loads(self.works, self.bill, self.runs, self.today, told, missed)

    @cached_property
    def supply(self) -> tuple[ItemNeed, ...]:
        """What must be bought, by when, and what each shortage starves: needed when its works order begins."""
        starts = start_days(self.plan_problem, self.plan)
        return needs(self.works, self.bill, self.runs, starts, self.cuts.yields, self.today)

    @cached_property
    def offers(self) -> tuple[Beside, ...]:
        """Bought beds beside made ones."""
        return beside(self.works, lambda bed, size: self.cost(bed, size).made_for)

    @cached_property
    def samples(self) -> tuple[int, ...]:
        """Beds to take for inspection from each offered lot, in the order of the offers."""
        return tuple(bought_lot_plan(one.offer.lot_quantity).take for one in self.offers)

    @cached_property
    def briefs(self) -> tuple[Answer, ...]:
        """How each brief that names a bed is answered by it."""
        found = [(brief, brief.bed, brief.size) for brief in self.works.briefs if brief.bed is not None]
        return tuple(
            answer(brief, self.bill(bed, size), self.curve(bed, size), self.cost(bed, size), self.claims(bed, size))
            for brief, bed, size in found
        )
