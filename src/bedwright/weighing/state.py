"""How far a weigh-up has come, as canonical JSON: kept after every batch, so that it can be gone on with."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bedwright.errors import NotReadable
from bedwright.identity import canonical
from bedwright.weighing.behaviour import Behaviour
from bedwright.weighing.space import Places
from bedwright.weighing.task import told, untold

KIND, SCHEMA = "weigh-up state", 1


@dataclass(frozen=True, slots=True)
class Weighed:
    """A build that was pressed: number of the space, its places, and how it behaves."""

    space: int
    places: Places
    behaviour: Behaviour


@dataclass(frozen=True, slots=True)
class State:
    """Of which question, by which seed and batches of how many; batches done; builds refused before any press; what was
    weighed, in order."""

    question: str
    seed: int
    batch: int
    batches: int
    refused: Mapping[str, int]
    weighed: tuple[Weighed, ...]

    def text(self) -> str:
        """The state as canonical JSON. Figures are kept to nine digits, and gone on with so in an unbroken run too."""
        plain = {
            "batch": self.batch,
            "batches": self.batches,
            "kind": KIND,
            "question": self.question,
            "refused": dict(sorted(self.refused.items())),
            "schema": SCHEMA,
            "seed": self.seed,
            "weighed": [
                {"behaviour": told(one.behaviour), "places": list(one.places), "space": one.space}
                for one in self.weighed
            ],
        }
        return canonical(plain).decode()


def state_of(text: str, where: str) -> State:
    """The state that a file holds. Raises NotReadable, naming where it was read."""
    try:
        plain: Any = json.loads(text)
    except ValueError as error:
        raise NotReadable(f"{where} holds no state of a weigh-up: {error}; name another file for --state") from None
    if not isinstance(plain, dict) or plain.get("kind") != KIND:
        raise NotReadable(f"{where} holds no state of a weigh-up; name another file for --state")
    if plain.get("schema") != SCHEMA:
        raise NotReadable(f"{where} is of schema {plain.get('schema')}, and this program reads {SCHEMA}; begin anew")
    try:
        weighed = tuple(
            Weighed(int(one["space"]), tuple(int(p) for p in one["places"]), untold(one["behaviour"]))
            for one in plain["weighed"]
        )
        refused = {str(why): int(count) for why, count in plain["refused"].items()}
        return State(
            str(plain["question"]), int(plain["seed"]), int(plain["batch"]), int(plain["batches"]), refused, weighed
        )
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise NotReadable(f"{where} is a broken state of a weigh-up ({error}); begin anew without --resume") from None
