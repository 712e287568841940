"""What would stop a run, found before it begins: parts that do not fit, work nobody can do, pieces no stock gives.

The rooms refuse each in their own words; here they are asked in turn, and likes are told once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from bedwright.cutting.gather import cut_problems
from bedwright.errors import Fault, FaultsFound
from bedwright.reckoning import Reckoning
from bedwright.works.release_faults import release_faults


def run_faults(reckoning: Reckoning) -> tuple[Fault, ...]:
    """Every fault of fit, of releases, and of the questions of plan, cuts and loading; grave ones would stop a run."""
    found = [*reckoning.fit_faults, *release_faults(reckoning.works)]
    if any(fault.grave for fault in found):
        return tuple(found)
    asked: tuple[Callable[[], object], ...] = (
        lambda: [reckoning.bill(*key) for key in reckoning.keys],
        lambda: reckoning.plan_problem,
        lambda: cut_problems(reckoning.works, reckoning.bill, reckoning.runs),
    )
    for ask in asked:
        try:
            ask()
        except FaultsFound as error:
            found += told_once(error.faults)
    return tuple(found)


def told_once(faults: tuple[Fault, ...]) -> list[Fault]:
    """Faults that say the same of different works orders, told once with how many more there are."""
    groups: dict[tuple[str, str, str], list[Fault]] = {}
    for fault in faults:
        groups.setdefault((fault.says, fault.remedy, fault.field), []).append(fault)
    return [
        like[0] if len(like) == 1 else replace(like[0], says=f"{like[0].says} (and {len(like) - 1} more like it)")
        for like in groups.values()
    ]
