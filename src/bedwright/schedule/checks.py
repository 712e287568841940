"""What is refused before planning starts: every fault of a problem, gathered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from bedwright.errors import Fault
from bedwright.schedule.orders import STREAMS, Operation, WorksOrder
from bedwright.schedule.resources import Oven, Person, WorkPlace
from bedwright.schedule.spans import Interval, merged


def twice(kind: str, codes: Iterable[str]) -> Iterator[Fault]:
    """Codes that come more than once, or are empty."""
    for code, times in sorted(Counter(codes).items()):
        if times > 1:
            yield Fault(f"{times} of them have this code", "give each its own", code, card=f"{kind} {code}")
        if not code:
            yield Fault("a code is empty", "give each its own", card=kind)


def _whole(card: str, field: str, value: int, least: int) -> Iterator[Fault]:
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        yield Fault(f"a whole number of at least {least} is wanted", "correct it", repr(value), card=card, field=field)


def _stretches(card: str, field: str, intervals: Sequence[Interval]) -> Iterator[Fault]:
    if any(a >= b for a, b in intervals) or merged(intervals) != tuple(intervals):
        remedy = "sort them and join those that touch (spans.merged does)"
        yield Fault("stretches of time must be in order, apart and not empty", remedy, card=card, field=field)


def person_faults(person: Person) -> Iterator[Fault]:
    """Faults of one person."""
    card = f"person {person.code}"
    yield from twice("skill", (skill for skill, _ in person.skills))
    for skill, level in person.skills:
        if not 1 <= level <= 200:
            remedy = "use 1 to 200 (50: a starter at half speed)"
            yield Fault(f"level of {skill} is in percent of full speed", remedy, str(level), card=card, field="skills")
    for field in ("working", "absence", "overtime"):
        yield from _stretches(card, field, getattr(person, field))


def place_faults(place: WorkPlace) -> Iterator[Fault]:
    """Faults of one work place."""
    card = f"place {place.code}"
    yield from _whole(card, "count", place.count, 1)
    yield from twice("set-up family", (family for family, _ in place.setup_seconds))
    for family, seconds in place.setup_seconds:
        yield from _whole(card, f"setup_seconds {family}", seconds, 0)
    yield from _stretches(card, "working", place.working)


def oven_faults(oven: Oven) -> Iterator[Fault]:
    """Faults of one oven."""
    card = f"oven {oven.code}"
    for field, least in (("capacity", 1), ("warm_up_seconds", 0), ("charge_seconds", 1), ("cooling_seconds", 0)):
        yield from _whole(card, field, getattr(oven, field), least)
    yield from _whole(card, "count", oven.count, 1)
    yield from _stretches(card, "working", oven.working)


def order_faults(orders: Sequence[WorksOrder]) -> Iterator[Fault]:
    """Faults of works orders: beds, and pairs that would miss each other's van."""
    pairs: dict[str, list[WorksOrder]] = {}
    for order in orders:
        yield from _whole(f"works order {order.id}", "beds", order.beds, 1)
        if order.pair:
            pairs.setdefault(order.pair, []).append(order)
    for pair, members in sorted(pairs.items()):
        names = ", ".join(sorted(member.id for member in members))
        if len(members) < 2:
            yield Fault("a pair has two works orders", "name both or none", names, card=f"pair {pair}")
        if len({(member.due, member.van_round) for member in members}) > 1:
            remedy = "give them one van round and one cut-off"
            yield Fault("zip-linked halves must meet the same van", remedy, names, card=f"pair {pair}")


def operation_faults(
    operation: Operation,
    orders: Mapping[str, WorksOrder],
    places: Mapping[str, WorkPlace],
    ovens: Mapping[str, Oven],
    people: Sequence[Person],
) -> Iterator[Fault]:
    """Faults of one operation against what there is."""
    card = f"operation {operation.id}"
    if operation.works_order not in orders:
        yield Fault("no such works order", "add it", operation.works_order, card=card, field="works_order")
    if operation.stream not in STREAMS:
        yield Fault("no such stream", f"use {', '.join(STREAMS)}", operation.stream, card=card, field="stream")
    yield from _whole(card, "wait_seconds", operation.wait_seconds, 0)
    yield from _whole(card, "earliest", operation.earliest, 0)
    yield from twice(f"{card}, set-up family", (family for family, _ in operation.setup_keys))
    if operation.place in ovens:
        yield from _oven_work(operation, ovens[operation.place])
    elif operation.place in places:
        yield from _place_work(operation, places[operation.place], people)
    else:
        yield Fault("no such work place or oven", "add it", operation.place, card=card, field="place")


def _oven_work(operation: Operation, oven: Oven) -> Iterator[Fault]:
    card = f"operation {operation.id}"
    yield from _whole(card, "rack_units", operation.rack_units, 1)
    if operation.rack_units > oven.capacity:
        says = f"{operation.rack_units} rack units do not fit into one charge of {oven.code} ({oven.capacity})"
        yield Fault(says, "share it among several oven operations", card=card, field="rack_units")
    if operation.run_seconds:
        says = "an oven has its own time"
        yield Fault(says, "give 0 here", str(operation.run_seconds), card=card, field="run_seconds")
    if operation.skill is not None:
        remedy = "make loading the racks an operation of its own"
        yield Fault("an oven works alone", remedy, operation.skill, card=card, field="skill")


def _place_work(operation: Operation, place: WorkPlace, people: Sequence[Person]) -> Iterator[Fault]:
    card = f"operation {operation.id}"
    yield from _whole(card, "run_seconds", operation.run_seconds, 1)
    if operation.rack_units:
        says = f"{place.code} is no oven"
        yield Fault(says, "give 0 here", str(operation.rack_units), card=card, field="rack_units")
    if operation.hands not in (1, 2):
        yield Fault("one or two people work together", "use 1 or 2", str(operation.hands), card=card, field="hands")
    elif operation.skill is not None or place.needs_person:
        able = sum(1 for person in people if person.level(operation.skill) > 0)
        if able < operation.hands:
            what = f"the skill {operation.skill}" if operation.skill is not None else "no special skill"
            says = f"{operation.hands} people with {what} are needed and there are {able}"
            yield Fault(says, "add a person, or the skill to one", operation.skill or "", card=card, field="skill")


def net_faults(operations: Sequence[Operation]) -> Iterator[Fault]:
    """Unknown operations in `after`, rings in the net, and builds that do not wait for their whole set."""
    known = {operation.id: operation for operation in operations}
    broken = False
    for operation in operations:
        for before in operation.after:
            if before not in known:
                broken = True
                remedy = "name one that is there, or leave out what comes from stock"
                yield Fault(
                    "waits for no known operation", remedy, before, card=f"operation {operation.id}", field="after"
                )
    if broken:
        return
    left = {operation.id: len(set(operation.after)) for operation in operations}
    following: dict[str, list[str]] = {name: [] for name in known}
    for operation in operations:
        for before in set(operation.after):
            following[before].append(operation.id)
    free = [name for name, count in left.items() if count == 0]
    order: list[str] = []
    while free:
        name = free.pop()
        order.append(name)
        for after in following[name]:
            left[after] -= 1
            if left[after] == 0:
                free.append(after)
    if len(order) < len(known):
        ring = ", ".join(sorted(name for name, count in left.items() if count)[:8])
        yield Fault("operations wait for each other in a ring", "take one of them out of `after`", ring, card="the net")
        return
    yield from _set_faults(known, order)


def _set_faults(known: Mapping[str, Operation], order: Sequence[str]) -> Iterator[Fault]:
    """A bed cannot start until its own set (unit, panels, border) is complete: the net itself must say so."""
    bit = {name: 1 << i for i, name in enumerate(order)}
    before: dict[str, int] = {}
    sets: dict[str, int] = {}
    for name in order:
        operation = known[name]
        reached = 0
        for other in operation.after:
            reached |= bit[other] | before[other]
        before[name] = reached
        if operation.stream != "meet":
            sets[operation.works_order] = sets.get(operation.works_order, 0) | bit[name]
    for name in sorted(known):
        operation = known[name]
        lacking = sets.get(operation.works_order, 0) & ~before[name]
        if operation.stream == "meet" and lacking:
            missing = [other for other in sorted(known) if bit[other] & lacking]
            says = f"it does not wait for its whole set: {', '.join(missing[:6])} left out"
            yield Fault(says, "add them to `after`", card=f"operation {name}", field="after")
