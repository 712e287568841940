"""Everything that a run writes: papers, spreadsheets, the page that opens it, the summary. Names and bytes, no disk.

Like the reckoning it sees every room; it works nothing out and prints nothing by itself.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from functools import partial

from bedwright import __version__
from bedwright.identity import same_code
from bedwright.loading.from_orders import VanLoad
from bedwright.papers.bed_sheet import CoilShown, bed_sheet
from bedwright.papers.figures import Issue, Paper
from bedwright.papers.index_page import index_page
from bedwright.papers.job_card import JobCard, job_cards, planned_starts
from bedwright.papers.product_label import ProductLabel, product_labels
from bedwright.papers.row_books import bill_book, cost_book, cuts_book, loading_book, plan_book
from bedwright.papers.van_sheet import van_sheet
from bedwright.quality.bed_checks import bed_checks
from bedwright.reckoning import Reckoning
from bedwright.summary import summary
from bedwright.works.runs import Run
from bedwright.works.trading import CustomerBed

LIMITS = (
    "The pad test is predicted and no measurement: what nobody measured (panel tension, lacing, glue, border) is "
    "reckoned over its whole plausible range, and the interval shows it. Persons lying, asked of the command lying, "
    "compare beds only.",
    "Cuts, plan and loads come from plain rules; each says its bound and gap, none is proven best unless it says so.",
    "What only a measurement can give (recovery, crush, contraction, natural fillings) stays not known until given.",
)
DRAFT = "Nothing is released: ids derive from order line and size, and papers say draft."
PART_RELEASED = (
    "Runs that were released bear ids that last and a ticket for each bed; the ids of the others derive from order "
    "line and size, and their papers say draft."
)
MISSES_VAN = "By this draft plan the run misses its van."
Told = Callable[[int, int], None]
File = tuple[str, bytes]


def files(reckoning: Reckoning, told: Told | None = None) -> Iterator[File]:
    """Every file of a run, the page and the summary last: relative path and bytes."""
    made: dict[str, str] = {}
    jobs = list(_jobs(reckoning))
    for number, job in enumerate(jobs, 1):
        name, content = job()
        name = _unlike(name, made)
        made[name] = hashlib.sha256(content).hexdigest()
        yield name, content
        if told is not None:
            told(number, len(jobs))
    found = summary(reckoning, made)
    page = index_page(found, sorted([*made, "summary.json", "timing.json"]), limits(reckoning))
    yield "index.html", page
    text = json.dumps(found, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False)
    yield "summary.json", (text + "\n").encode("utf-8")


def limits(reckoning: Reckoning) -> tuple[str, ...]:
    """What the page that opens a run says of its limits."""
    return (*LIMITS, PART_RELEASED if reckoning.works.released else DRAFT)


def _unlike(name: str, made: Mapping[str, str]) -> str:
    """The name, or the first numbered form of it that is free: codes that differ in signs only keep their own paper."""
    stem, dot, ending = name.rpartition(".")
    number = 2
    found = name
    while found in made:
        found = f"{stem}-{number}{dot}{ending}"
        number += 1
    return found


def issue_of(reckoning: Reckoning) -> Issue:
    """What every paper of this run says of itself."""
    about = reckoning.works.about
    return Issue(about.name, about.revision, reckoning.works.content(), reckoning.today, __version__)


def _jobs(reckoning: Reckoning) -> Iterator[Callable[[], File]]:
    issue = issue_of(reckoning)
    for bed, size in sheet_sizes(reckoning):
        yield partial(_bed_sheet, reckoning, issue, bed, size)
    by_van: dict[tuple[date, str], list[Run]] = defaultdict(list)
    for run in reckoning.runs:
        by_van[run.van.day, run.van.van_round].append(run)
    starts = planned_starts(reckoning.plan_problem, reckoning.plan)
    for day, van_round in sorted(by_van):
        name = f"{day.isoformat()} {van_round}"
        yield partial(_job_cards, reckoning, issue, by_van[day, van_round], name, starts)
    for load in reckoning.loads:
        yield partial(_van_sheet, issue, load)
    for bed in sorted({bed for bed, _ in reckoning.keys}):
        yield partial(_labels, reckoning, issue, bed)
    bills = [reckoning.bill(*key) for key in reckoning.keys]
    costs = [reckoning.cost(*key) for key in reckoning.keys]
    checks = {bill.key: bed_checks(reckoning.works, bill) for bill in bills}
    yield lambda: ("bill.xlsx", bill_book(bills, reckoning.supply, checks))
    yield lambda: ("cost.xlsx", cost_book(costs, reckoning.ladder))
    yield lambda: ("cuts.xlsx", cuts_book(reckoning.cuts))
    yield lambda: ("plan.xlsx", plan_book(reckoning.plan_problem, reckoning.plan, reckoning.late))
    yield lambda: ("loading.xlsx", loading_book(reckoning.loads))


def sheet_sizes(reckoning: Reckoning) -> tuple[tuple[str, str], ...]:
    """Each bed at the size that is ordered most, the larger of equals: the one its sheet is printed at."""
    ordered: Counter[tuple[str, str]] = Counter()
    for run in reckoning.runs:
        ordered[run.bed, run.size] += run.beds
    chosen: dict[str, str] = {}
    for bed, size in reckoning.keys:  # from small to large
        if bed not in chosen or ordered[bed, size] >= ordered[bed, chosen[bed]]:
            chosen[bed] = size
    return tuple(sorted(chosen.items()))


def _in(folder: str, paper: Paper) -> File:
    return f"{folder}/{paper.name}", paper.data


def _van_sheet(issue: Issue, load: VanLoad) -> File:
    return _in("van-sheets", van_sheet(issue, load))


def _bed_sheet(reckoning: Reckoning, issue: Issue, bed: str, size: str) -> File:
    at = reckoning.bed(bed, size)
    paper = bed_sheet(
        issue,
        at,
        reckoning.bill(bed, size),
        reckoning.curve(bed, size),
        reckoning.fit(bed, size),
        reckoning.claims(bed, size),
        bed_checks(reckoning.works, reckoning.bill(bed, size)),
        settling=reckoning.settling(bed, size),
        two_people_from=reckoning.works.rule("two_people_from"),
        coils=[CoilShown(g.coil.code, g.coil.hand, told, curve) for g, told, curve in reckoning.coils(bed, size)],
    )
    return _in("bed-sheets", paper)


def _job_cards(
    reckoning: Reckoning, issue: Issue, runs: list[Run], name: str, starts: dict[str, dict[int, str]]
) -> File:
    works = reckoning.works
    late = frozenset(reckoning.plan.late)
    cards = []
    for run in runs:
        names = their_names(reckoning, run.customer, run.bed, run.size)
        cards.append(
            JobCard(
                run=run,
                bed=reckoning.bed(run.bed, run.size),
                bill=reckoning.bill(run.bed, run.size),
                label=reckoning.label(run.bed, run.size, names),
                customer=works.customers[run.customer].name,
                their_name=names.their_name if names is not None else "",
                starts=starts.get(run.id, {}),
                says=(MISSES_VAN,) if run.id in late else (),
            )
        )
    return _in("job-cards", job_cards(issue, cards, name, two_people_from=works.rule("two_people_from")))


def _labels(reckoning: Reckoning, issue: Issue, bed: str) -> File:
    """The labels of a bed at its sizes: the works' own, and each customer's who has a name for it."""
    labels = []
    for code, size in reckoning.keys:
        if code != bed:
            continue
        labels.append(ProductLabel(reckoning.bed(bed, size), reckoning.label(bed, size)))
        for customer in reckoning.works.customers:
            names = their_names(reckoning, customer.code, bed, size)
            if names is not None and (names.their_name or names.label_text):
                labels.append(ProductLabel(reckoning.bed(bed, size), reckoning.label(bed, size, names), customer.name))
    return _in("labels", product_labels(issue, labels, bed))


def their_names(reckoning: Reckoning, customer: str, bed: str, size: str) -> CustomerBed | None:
    """A customer's names for a bed at a size that hold today; the latest that has begun."""
    rows = [
        row
        for row in reckoning.works.customers[customer].beds
        if same_code(row.bed, bed)
        and same_code(row.size, size)
        and row.first_day <= reckoning.today
        and (row.last_day is None or reckoning.today <= row.last_day)
    ]
    return max(rows, key=lambda row: row.first_day, default=None)
