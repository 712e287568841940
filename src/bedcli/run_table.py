"""The short table that ends a run."""

from __future__ import annotations

from collections import Counter

import click
from rich.console import Console
from rich.table import Table

from bedwright.cost.money import money_words
from bedwright.mechanics.pad_test import Curve
from bedwright.reckoning import Reckoning
from bedwright.words import counted

LEAST_WIDTH = 92


def show_table(reckoning: Reckoning) -> None:
    """The short table at the end: each bed at its most ordered size, and what became of the order book."""
    ordered: Counter[tuple[str, str]] = Counter()
    for one in reckoning.runs:
        ordered[one.bed, one.size] += one.beds
    table = Table(box=None, pad_edge=False, padding=(0, 1), header_style="bold")
    currency = reckoning.works.about.currency
    for heading in ("bed", "size", "springs", "mm", "kg", "steel kg", "H N/mm", f"cost {currency}", "made"):
        table.add_column(heading, justify="left" if heading in ("bed", "size") else "right", no_wrap=True)
    for bed in sorted({key[0] for key in reckoning.keys}):
        sizes = [size for code, size in reckoning.keys if code == bed]
        size = max(sizes, key=lambda size: (ordered[bed, size], size))
        at, bill, curve = reckoning.bed(bed, size), reckoning.bill(bed, size), reckoning.curve(bed, size)
        sheet = reckoning.cost(bed, size)
        springs = f"{at.spring_count}" + (f"+{at.mini_count}" if at.mini_count else "")
        at_least = "" if sheet.complete else ">= "
        table.add_row(
            bed,
            size,
            springs,
            f"{at.height:.0f}",
            f"{bill.mass:.1f}",
            f"{bill.steel_mass:.1f}" if not bill.steel_unknown else "-",
            _hardness(curve),
            f"{at_least}{money_words(sheet.total, sheet.currency)}",
            str(sum(ordered[bed, one] for one in sizes)),
        )
    Console(width=max(LEAST_WIDTH, Console().width)).print(table)  # a cut figure is worse than a wrapped line
    plan = reckoning.plan
    beds = sum(one.beds for one in reckoning.runs)
    short = sum(1 for need in reckoning.supply if need.is_short)
    miss = plan.objective.beds_missing
    make = beds - miss
    left = sum(sum(item.count for item in load.plan.left) for load in reckoning.loads)
    click.echo(
        f"\n{counted(beds, 'bed')} in {counted(len(reckoning.runs), 'works order')}: "
        f"{make} {'makes its' if make == 1 else 'make their'} van, "
        f"{miss} {'does' if miss == 1 else 'do'} not ({plan.how_sure}).\n"
        f"{counted(len(reckoning.loads), 'van load')}, {counted(left, 'bed')} left behind; "
        f"{counted(len(reckoning.cuts.cuts), 'cut')}; "
        f"{counted(short, 'shortage')}. H is predicted, no measurement."
    )


def _hardness(curve: Curve | str) -> str:
    if isinstance(curve, str):
        return "not known"
    return f"{curve.low:.1f}-{curve.high:.1f}" + ("*" if curve.closes else "")
