"""One build weighed: plain data in, plain data out, so that any process on any machine can do it and answer alike."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import asdict, dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from bedwright.errors import BedwrightError, CardRefused, NotReadable
from bedwright.identity import canonical, content_id
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.intervals import Move
from bedwright.mechanics.lying_bench import Rested
from bedwright.weighing.asked import Asked, asked
from bedwright.weighing.behaviour import FULL, Behaviour, How, Sure, behaviour
from bedwright.weighing.builds import build
from bedwright.weighing.facts import Facts, facts, refused
from bedwright.weighing.lain_on import Lain, rest_on
from bedwright.weighing.space import Knob, Places, Space
from bedwright.works.about import About
from bedwright.works.kinds import BY_KIND
from bedwright.works.trading import Brief
from bedwright.works.works import Works

LEFT_OUT = ("order", "collection", "stock", "customer", "vehicle", "van round", "plant", "offer", "evidence")
"""Kinds that a weigh-up has no use for: they are not sent to other processes."""


@dataclass(frozen=True, slots=True, eq=False)  # one question is itself alone, so that what is known of it can be kept
class Question:
    """A weigh-up's question whole: the works, the brief as it is asked, spaces to search, the day of prices."""

    works: Works
    ask: Asked
    spaces: tuple[Space, ...]
    day: date

    def payload(self) -> str:
        """The question as canonical JSON, which `question` reads."""
        cards = [
            [card.KIND, card.model_dump(mode="json")] for card in self.works.all_cards() if card.KIND not in LEFT_OUT
        ]
        plain = {
            "about": self.works.about.model_dump(mode="json"),
            "aims": list(self.ask.aims),
            "brief": self.ask.brief.model_dump(mode="json"),
            "cards": cards,
            "day": self.day.isoformat(),
            "spaces": [_space(space) for space in self.spaces],
        }
        return canonical(plain).decode()

    def content(self) -> str:
        """Content id of the question: a state of another question is not gone on with."""
        return content_id(self.payload())


def _space(space: Space) -> dict[str, Any]:
    return {
        "bed": space.bed,
        "families": dict(space.families),
        "knobs": [asdict(knob) for knob in space.knobs],
        "mirrored": space.mirrored,
        "size": space.size,
    }


@lru_cache(maxsize=4)
def question(payload: str) -> Question:
    """The question of a payload. Raises NotReadable."""
    try:
        plain = json.loads(payload)
        cards = [BY_KIND[kind].model_validate_json(json.dumps(body)) for kind, body in plain["cards"]]
        brief = Brief.model_validate_json(json.dumps(plain["brief"]))
        works = Works.of(About.model_validate_json(json.dumps(plain["about"])), cards)
        spaces = tuple(
            Space(
                one["bed"], one["size"],
                tuple(
                    Knob(**{**knob, "values": tuple(knob["values"]), "when": tuple(knob["when"])})
                    for knob in one["knobs"]
                ),
                one["families"], one["mirrored"],
            )
            for one in plain["spaces"]
        )  # fmt: skip
        return Question(works, asked(brief, plain["aims"]), spaces, date.fromisoformat(plain["day"]))
    except (KeyError, TypeError, ValueError) as error:
        raise NotReadable(f"the question of a weigh-up cannot be read: {error}") from error


@lru_cache(maxsize=50_000)
def known(asking: Question, space: int, places: Places) -> Facts:
    """What is known of a build without a press."""
    try:
        return facts(build(asking.works, asking.spaces[space], places, asking.ask.brief), asking.ask, asking.day)
    except CardRefused as error:
        return refused(f"no such card: {error}")
    except BedwrightError as error:
        return refused(f"cannot be made so: {error}")


def weigh(payload: str, space: int, places: tuple[int, ...], how: dict[str, Any]) -> dict[str, Any]:
    """Solve one build: the behaviour as plain data. The function that pools and clusters are handed."""
    asking = question(payload)
    made = build(asking.works, asking.spaces[space], tuple(places), asking.ask.brief)
    solving = How(**how)
    begun = {} if solving.name == FULL.name else starts(payload, space, solving)
    return told(behaviour(made.bed, asking.ask, solving, begun))


@lru_cache(maxsize=16)
def starts(payload: str, space: int, how: How) -> dict[str, Rested]:
    """Each person at rest on the bed that a space starts from: where every build of it begins, whoever solves it."""
    asking = question(payload)
    found = {}
    bed = build(asking.works, asking.spaces[space], asking.spaces[space].start).bed
    for who in asking.ask.persons:
        with suppress(BedwrightError):
            found[who.called] = rest_on(bed, who, bed_model(bed), how.cell, how.persons)
    return found


def told(found: Behaviour) -> dict[str, Any]:
    """A behaviour as plain data."""
    return {
        "closes": found.closes,
        "edge": found.edge,
        "failed": found.failed,
        "h": found.h,
        "persons": {name: asdict(one) for name, one in sorted(found.persons.items())},
        "sure": None if found.sure is None else asdict(found.sure),
    }


def untold(plain: dict[str, Any]) -> Behaviour:
    """A behaviour from plain data."""
    persons = {name: Lain(**one) for name, one in plain["persons"].items()}
    sure = None
    if plain["sure"] is not None:
        moves = tuple(Move(**one) for one in plain["sure"]["moves"])
        sure = Sure(**{**plain["sure"], "moves": moves, "notes": tuple(plain["sure"]["notes"])})
    return Behaviour(plain["h"], plain["edge"], persons, plain["failed"], plain["closes"], sure)
