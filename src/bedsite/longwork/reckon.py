"""The whole reckoning of the works at a revision of the ledger, and how far it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

from bedsite.longwork.asking import content_of
from bedsite.longwork.kinds import OfAWorks, OfTheWorks, Told
from bedsite.records.ledger import works_at
from bedsite.records.release import lines_released
from bedwright.ahead import run_faults
from bedwright.errors import FaultsFound, NotReadable
from bedwright.reckoning import Reckoning
from bedwright.summary import summary
from bedwright.works.works import Works

T = TypeVar("T")
STEPS = (
    ("beds", "beds at size, and whether their parts fit", 20),
    ("bill", "bills, mass, making routes", 20),
    ("pad tests", "pad tests", 220),
    ("cuts", "cuts: lays, slits, sheets", 50),
    ("plan", "plan: who, where, when", 260),
    ("loading", "van loads", 60),
    ("cost", "costs, supply, bought beds", 20),
    ("papers", "papers", 350),
)
"""Name, words for people, share of the whole in thousandths (from the demo's measured times)."""


class Steps:
    """Turns "3 of 40 of this step" into a share of the whole."""

    def __init__(self, told: Told, *, papers: bool) -> None:
        self._told = told
        self._before: dict[str, tuple[int, str, int]] = {}
        sum_ = 0
        for name, says, share in STEPS:
            if name != "papers" or papers:
                self._before[name] = (sum_, says, share)
                sum_ += share
        self.total = sum_

    def told(self, name: str, done: int, of: int) -> None:
        """Say how far a step is. Raises Left."""
        before, says, share = self._before[name]
        self._told(before + share * done // max(of, 1), self.total, says)

    def step(self, name: str, do: Callable[[], T]) -> T:
        """Do a step."""
        self.told(name, 0, 1)
        return do()

    def each(self, name: str, things: tuple[T, ...], do: Callable[[T], object]) -> None:
        """Do a step thing by thing."""
        for number, thing in enumerate(things):
            self.told(name, number, len(things))
            do(thing)


def works_asked(inputs: OfAWorks) -> Works:
    """The works that a question speaks of. Raises NotReadable where the ledger holds another at that revision."""
    found = replace(works_at(inputs.revision), released=lines_released()[: inputs.released])
    if content_of(found) != inputs.works:
        raise NotReadable(f"the works at revision {inputs.revision} is not the one that was asked about; ask anew")
    return found


def reckoned(inputs: OfTheWorks, steps: Steps) -> Reckoning:
    """Every room asked in turn. Raises FaultsFound where the works has a grave fault."""
    reckoning = Reckoning(works_asked(inputs), inputs.as_of, told=steps.told)
    grave = [fault for fault in steps.step("beds", lambda: run_faults(reckoning)) if fault.grave]
    if grave:
        raise FaultsFound(grave)
    keys = reckoning.keys
    steps.each("bill", keys, lambda key: reckoning.bill(*key))
    steps.each("pad tests", keys, lambda key: reckoning.curve(*key))
    steps.step("cuts", lambda: reckoning.cuts)
    steps.step("plan", lambda: (reckoning.plan, reckoning.plan_faults))
    steps.step("loading", lambda: reckoning.loads)
    steps.step("cost", lambda: ([reckoning.cost(*key) for key in keys], reckoning.supply, reckoning.offers))
    return reckoning


def reckon(inputs: OfTheWorks, told: Told) -> Any:
    """The summary of the whole reckoning."""
    return summary(reckoned(inputs, Steps(told, papers=False)), {})
