"""Van loads from orders: one problem for each run of a van round, goods by stop, collections riding back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from bedwright.bill.rows import Bill
from bedwright.errors import Fault
from bedwright.identity import same_code
from bedwright.loading.audit import audit
from bedwright.loading.plan import LoadPlan
from bedwright.loading.problem import Bundle, LoadProblem, Stop, Vehicle
from bedwright.loading.solve import solve
from bedwright.works.delivery import Vehicle as VehicleCard
from bedwright.works.runs import Run
from bedwright.works.vans import run_that_collects
from bedwright.works.works import Works

Bills = Callable[[str, str], Bill]


@dataclass(frozen=True, slots=True)
class VanLoad:
    """One run of a round: day, its plan, and what the independent audit found in it (nothing, when it is sound).

    not_ready: beds that the plan does not have ready for it, in words; room is kept for them.
    """

    van_round: str
    day: date
    vehicle: str
    beds: int
    collected: int
    plan: LoadPlan
    faults: tuple[Fault, ...]
    not_ready: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """Round and day in one word."""
        return f"{self.van_round} {self.day.isoformat()}"


def van_loads(
    works: Works,
    bills: Bills,
    runs: tuple[Run, ...],
    today: date,
    told: Callable[[int, int], None] | None = None,
    late: Mapping[str, str] | None = None,
) -> tuple[VanLoad, ...]:
    """Every van load, by day and round. late: run id -> when it will be ready, for runs that miss their van."""
    missed = late or {}
    by_van: dict[tuple[date, str], list[Run]] = defaultdict(list)
    for run in runs:
        by_van[run.van.day, run.van.van_round].append(run)
    collections = _collections(works, today)
    keys = sorted(set(by_van) | set(collections))
    loads = []
    for number, (day, van_round) in enumerate(keys, 1):
        goods, back = by_van[day, van_round], collections.get((day, van_round), ())
        problem = load_problem(works, bills, van_round, day, goods, tuple(back))
        plan = solve(problem)
        loads.append(
            VanLoad(
                van_round=van_round,
                day=day,
                vehicle=problem.vehicle.key,
                beds=sum(run.beds for run in goods),
                collected=sum(bundle.count for bundle in back),
                plan=plan,
                faults=audit(plan),
                not_ready=tuple(_not_ready(works, run, missed[run.id]) for run in goods if run.id in missed),
            )
        )
        if told is not None:
            told(number, len(keys))
    return tuple(loads)


def _not_ready(works: Works, run: Run, when: str) -> str:
    bed = works.beds[run.bed]
    return f"{run.id}, {run.beds} x {bed.name or bed.code} {run.size} for {run.customer}: {when}"


def load_problem(
    works: Works, bills: Bills, van_round: str, day: date, goods: list[Run], back: tuple[Bundle, ...]
) -> LoadProblem:
    """The load of one run of a round. Customers that the round does not list are stops at its end."""
    card = works.van_rounds[van_round]
    listed: list[tuple[str, str | None]] = [
        (row.customer, row.access) for row in sorted(card.stops, key=lambda row: row.position)
    ]
    wanted = {run.customer for run in goods} | {bundle.stop for bundle in back}
    others = sorted(code for code in wanted if not any(same_code(code, customer) for customer, _ in listed))
    stops = [
        Stop(
            key=works.customers[customer].code,
            place=works.customers[customer].place,
            caution=_way_in(access),
        )
        for customer, access in [*listed, *((code, None) for code in others)]
        if any(same_code(customer, code) for code in wanted)
    ]
    return LoadProblem(
        name=f"{card.code} {day.isoformat()}",
        vehicle=_vehicle(works.vehicles[card.vehicle]),
        stops=tuple(stops),
        goods=tuple(_bundle(works, bills(run.bed, run.size), run) for run in goods),
        collections=back,
        two_person=round(works.rule("two_people_from") * 1000),
    )


def _way_in(access: str | None) -> str:
    """The caution of a stop; None: the round does not list it, so nobody has said how one gets in."""
    if access is None:
        return "access not known: ask"
    return "" if access == "ground floor" else f"way in by {access}"


def _vehicle(card: VehicleCard) -> Vehicle:
    return Vehicle(
        key=card.code,
        length=round(card.inside_length),
        width=round(card.inside_width),
        height=round(card.inside_height),
        payload=round(card.payload * 1000),
        tail_lift=card.tail_lift,
    )


def _bundle(works: Works, bill: Bill, run: Run) -> Bundle:
    wrap = bill.bed.wrap
    rolled = wrap.how == "rolled"
    return Bundle(
        key=run.id,
        stop=works.customers[run.customer].code,
        length=round(wrap.length),
        width=round(wrap.width),
        thickness=round(wrap.height),
        mass=round(bill.packed_mass * 1000),
        count=run.beds,
        ways=("rolled",) if rolled else ("on edge", "flat"),
        stack=_stack(works),
        what=f"{bill.bed.bed.name or bill.bed.bed.code} {run.size}",
    )


def _stack(works: Works) -> int | None:
    """Beds that may lie on each other: the works' own measured rule only; the default is not a measurement."""
    card = works.rules.get("crushed_stack")
    return int(card.rule_value) if card is not None and card.mark == "our own" else None


def _collections(works: Works, today: date) -> dict[tuple[date, str], tuple[Bundle, ...]]:
    found: dict[tuple[date, str], list[Bundle]] = defaultdict(list)
    for card in works.collections:
        day = run_that_collects(works, card, today)
        size = works.sizes[card.size]
        found[day, works.van_rounds[card.van_round].code].append(
            Bundle(
                key=card.code,
                stop=works.customers[card.customer].code,
                length=round(size.length),
                width=round(size.width),
                thickness=round(works.rule("old_bed_thickness")),
                mass=round(size.width * size.length / 1e6 * works.rule("old_bed_mass_per_m2") * 1000),
                count=card.quantity,
                ways=("on edge", "flat"),
                what=f"old bed {size.code}, bagged",
                weighed=False,
            )
        )
    return {key: tuple(bundles) for key, bundles in found.items()}
