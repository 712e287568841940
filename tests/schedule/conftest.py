"""A small works with every kind of thing in it: two beds, one oven, set-ups, a starter, hands, waits, breaks."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from bedwright.schedule.orders import Operation, WorksOrder
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, Person, WorkPlace
from bedwright.schedule.spans import merged

H = 3600


def days(*spans: tuple[int, int], count: int = 3) -> tuple[tuple[int, int], ...]:
    return merged((day * 24 * H + a, day * 24 * H + b) for day in range(count) for a, b in spans)


EARLY = days((6 * H, 9 * H), (9 * H + 900, 12 * H), (12 * H + 1800, 14 * H))
LATE = days((14 * H, 18 * H), (18 * H + 1800, 22 * H))


def bed(name: str, units: int, ticking: str, hands: int = 1) -> tuple[Operation, ...]:
    def op(tail: str, stream: str, place: str, skill: str | None, run: int, *after: str, **more: object) -> Operation:
        waits = tuple(f"{name}-{other}" for other in after)
        return Operation(f"{name}-{tail}", name, stream, place, skill, run, after=waits, words=tail, **more)  # type: ignore[arg-type]

    return (
        op("coil", "unit", "coiler", "coil", 1800, setup_keys=(("wire", ticking),)),
        op("heat", "unit", "oven", None, 0, "coil", rack_units=units),
        op("clip", "unit", "bench", "build", 600, "heat"),
        op("quilt", "panels", "quilter", None, 2400, setup_keys=(("ticking", ticking),), wait_seconds=4 * H),
        op("border", "border", "bench", "build", 900, earliest=7 * H),
        op("build", "meet", "bench", "build", 1800, "clip", "quilt", "border", hands=hands),
        op("tape", "meet", "tape edge", "tape", 1200, "build", wait_seconds=600),
    )


@pytest.fixture
def small() -> Problem:
    names = {"W1": "blue", "W2": "grey", "W3": "blue", "W4": "grey"}
    operations = tuple(op for i, (name, tick) in enumerate(names.items()) for op in bed(name, 2, tick, 1 + i % 2))
    orders = tuple(
        WorksOrder(name, (12 + 3 * i) * H, f"R{i % 2}", 2, words="Heron 150") for i, name in enumerate(names)
    )
    return Problem(
        "Europe/London",
        date(2026, 10, 19),
        orders,
        operations,
        (
            WorkPlace("coiler", "coiler", setup_seconds=(("wire", 1800),)),
            WorkPlace("bench", "bench", 2),
            WorkPlace("quilter", "quilter", 1, False, (("ticking", 720),), working=EARLY),
            WorkPlace("tape edge", "tape edge", 1),
        ),
        (Oven("oven", 4, 900, cooling_seconds=1800, working=merged((*EARLY, *LATE))),),
        (
            Person("A", (("coil", 100), ("build", 50)), EARLY),
            Person("B", (("build", 100), ("tape", 100)), EARLY, overtime=days((14 * H, 16 * H))),
            Person("C", (("build", 100), ("coil", 100), ("tape", 50)), LATE),
            Person("D", (("build", 100),), EARLY, absence=((0, 10 * H),)),
        ),
    )


@pytest.fixture
def crowded(small: Problem) -> Problem:
    """The same with cut-offs nobody can meet, and a zip-linked pair."""
    pairs = {"W3": "Z", "W4": "Z"}
    orders = tuple(
        replace(order, due=11 * H if order.id in pairs else 8 * H, van_round="R0", pair=pairs.get(order.id, ""))
        for order in small.works_orders
    )
    return replace(small, works_orders=orders)


@pytest.fixture
def weeks(small: Problem) -> Problem:
    """300 works orders of the same net over four weeks of days, 2,100 operations."""
    names = [f"W{i:03d}" for i in range(300)]
    operations = tuple(
        op
        for i, name in enumerate(names)
        for op in bed(name, 1 + i % 3, ["blue", "grey", "plain"][i % 7 % 3], 1 + i % 2)
    )
    orders = tuple(
        WorksOrder(name, ((i * 7) % 25 + 2) * 24 * H + 13 * H, f"R{i % 6}", 1 + i % 4) for i, name in enumerate(names)
    )
    early = days((6 * H, 9 * H), (9 * H + 900, 12 * H), (12 * H + 1800, 14 * H), count=28)
    late = days((14 * H, 18 * H), (18 * H + 1800, 22 * H), count=28)
    people = tuple(
        Person(f"{skill}{i}", ((skill, 100),), (early, late)[i % 2])
        for skill, count in (("coil", 2), ("build", 4), ("tape", 2))
        for i in range(count)
    )
    places = tuple(replace(place, working=merged((*early, *late))) for place in small.places)
    oven = replace(small.ovens[0], working=merged((*early, *late)))
    return replace(small, works_orders=orders, operations=operations, places=places, ovens=(oven,), people=people)
