"""Plans: flow shops against the best known; the demo's plan against its bound, and how time grows with the orders."""

from __future__ import annotations

from datetime import date

from bedwright.reckoning import Reckoning
from bedwright.schedule.audit import audit
from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import WorkPlace
from bedwright.schedule.simple import simple
from bedwright.schedule.solve import RULES, solve
from bedwright.works.trading import Order
from bedwright.works.works import Works
from measures._demo import demo, demo_reckoning, timed
from measures._published import DATA, Figure, Times, absent, flow_shop, table, words

TITLE = "plans against the best known and the bound"
FOLDER = DATA / "scheduling"
SHOPS = ("ta001", "ta002", "ta003", "ta011", "ta021", "ta031", "ta041", "ta061")
HYBRIDS = (1, 100)


def run() -> list[Figure]:
    shops = _shops() if (FOLDER / "taillard_pfsp_seeds_best.csv").is_file() else [absent("published flow shops")]
    hybrids = _hybrids() if (FOLDER / "HFSP_1.txt").is_file() else [absent("published hybrid flow shops")]
    return [*shops, *hybrids, *_demo(), *_growth()]


def line_of_machines(times: Times, counts: list[int]) -> Problem:
    """A flow shop as works orders whose vans leave far away: the rules do not strive for its last finish."""
    operations = []
    for job, row in enumerate(times):
        name = f"J{job:03d}"
        for stage, seconds in enumerate(row):
            after = (f"{name}-{stage - 1}",) if stage else ()
            operations.append(Operation(f"{name}-{stage}", name, "unit", f"S{stage}", None, seconds, after=after))
    orders = tuple(WorksOrder(f"J{job:03d}", 10**6) for job in range(len(times)))
    places = tuple(WorkPlace(f"S{stage}", "stage", count, False) for stage, count in enumerate(counts))
    return Problem("UTC", date(2026, 1, 1), orders, tuple(operations), places)


def _shops() -> list[Figure]:
    rows = {row["instance"]: row for row in table(FOLDER / "taillard_pfsp_seeds_best.csv")}
    told = []
    for name in SHOPS:
        row = rows[name]
        times = flow_shop(int(row["n"]), int(row["m"]), int(row["seed"]))
        told.append(_against(f"flow shop {name}, {row['n']} x {row['m']}", times, None, int(row["best_known"])))
    return told


def _hybrids() -> list[Figure]:
    best = {
        row["instance"]: int(row["bks"])
        for row in table(FOLDER / "BEST_pyjobshop_experiments.csv")
        if row["problem"] == "HFSP"
    }
    told = []
    for number in HYBRIDS:
        (jobs,), (stages,), counts, *times = words(FOLDER / f"HFSP_{number}.txt")
        told.append(_against(f"hybrid flow shop {number}, {jobs} x {stages}", times, counts, best[f"{number}.txt"]))
    return told


def _against(what: str, times: Times, counts: list[int] | None, best: int) -> Figure:
    problem = line_of_machines(times, counts or [1] * len(times[0]))
    plan, seconds = timed(lambda: solve(problem))
    return (
        what,
        f"last finish {plan.objective.last_finish / best:.3f} of the best known {best}; our bound "
        f"{plan.bound.last_finish / best:.3f} of it; passes made: {plan.passes}, {1000 * seconds:.0f} ms",
    )


def _demo() -> list[Figure]:
    reckoning = demo_reckoning()
    problem = reckoning.plan_problem
    one, seconds = timed(lambda: simple(problem))
    plan, all_seconds = timed(lambda: reckoning.plan)
    faults, audit_seconds = timed(lambda: audit(problem, plan))
    beds = sum(order.beds for order in problem.works_orders)
    size = f"{len(problem.works_orders)} works orders, {len(problem.operations)} operations"
    missing = plan.objective.beds_missing
    setups = plan.objective.setup_seconds / max(1, one.objective.setup_seconds)
    return [
        (f"demo, beds missing their van, of {beds}", f"{missing}; at least {plan.bound.beds_missing}"),
        ("demo, the same from the first rule alone", f"{one.objective.beds_missing}"),
        ("demo, set-up time of the kept plan", f"{setups:.2f} of that of the first rule"),
        (f"demo, one pass, {size}", f"{seconds:.2f} s"),
        (f"demo, all {len(RULES)} passes with the bound", f"{all_seconds / seconds:.1f} times one pass"),
        ("demo, the audit", f"{audit_seconds / seconds:.2f} of one pass; {len(faults)} faults"),
    ]


def _growth() -> list[Figure]:
    told, first = [], 0.0
    for times in (1, 2):
        reckoning = Reckoning(repeated(demo(), times))
        problem = reckoning.plan_problem
        _, seconds = timed(lambda problem=problem: simple(problem))
        first = first or seconds
        told.append((f"demo's order book {times} x, {len(problem.operations)} operations, one pass",
                     f"{seconds / first:.2f} times that of 1 x"))  # fmt: skip
    return told


def repeated(works: Works, times: int) -> Works:
    """The works with its orders so many times over, each copy under codes of its own."""
    cards = [card for card in works.all_cards() if not isinstance(card, Order)]
    for copy in range(times):
        for order in works.orders:
            cards.append(order.model_copy(update={"code": f"{order.code}.{copy}"}) if copy else order)
    return Works.of(works.about, cards)
