"""An independent checker of plans: reads the problem and the slips, shares no code with the rule that made them.

It believes nothing that a plan says of itself: set-ups, durations, waits, finishes, lateness and the objective are
worked out again from the problem. An empty answer means that every rule holds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from bedwright.errors import Fault
from bedwright.schedule.audit_time import Stretch, both, cut, inside, longest_block, overlap
from bedwright.schedule.orders import Operation
from bedwright.schedule.plan import Plan, Slip
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, WorkPlace


def _fault(what: str, says: str, rule: str, value: object = "") -> Fault:
    return Fault(says, "", str(value), card=what, field=rule)


class _Audit:
    """The problem by names, and the plan's slips by operation."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem, self.plan = problem, plan
        self.operation = {o.id: o for o in problem.operations}
        self.order = {o.id: o for o in problem.works_orders}
        self.place = {p.code: p for p in problem.places}
        self.oven = {o.code: o for o in problem.ovens}
        self.person = {p.code: p for p in problem.people}
        self.slips = [slip for slip in plan.slips if slip.operation in self.operation]
        self.slip = {slip.operation: slip for slip in self.slips}
        self.ordinary = {p.code: cut(p.working, p.absence) for p in problem.people}
        self.extra = {p.code: cut(cut(p.overtime, p.working), p.absence) for p in problem.people}
        self.crews: dict[tuple[str, tuple[str, ...]], tuple[list[Stretch] | None, int]] = {}

    def needs_people(self, operation: Operation) -> bool:
        place = self.place.get(operation.place)
        return place is not None and (operation.skill is not None or place.needs_person)

    def wait(self, operation: Operation) -> int:
        oven = self.oven.get(operation.place)
        return max(operation.wait_seconds, oven.cooling_seconds) if oven else operation.wait_seconds

    def shared(self, operation: Operation, slip: Slip) -> tuple[list[Stretch] | None, int]:
        """Ordinary time that the slip's people and place share (None: not limited), and its longest block [s]."""
        key = (operation.place, slip.people)
        if key not in self.crews:
            covers: list[Sequence[Stretch]] = [self.ordinary[who] for who in slip.people if who in self.ordinary]
            opening = self.place[operation.place].working
            covers += [opening] if opening else []
            shared: Sequence[Stretch] | None = None
            for cover in covers:
                shared = cover if shared is None else both(shared, cover)
            block = longest_block(shared or (), self.problem.longest_pause_seconds)
            self.crews[key] = (None if shared is None else list(shared), block)
        return self.crews[key]


def audit(problem: Problem, plan: Plan) -> tuple[Fault, ...]:
    """Every rule that the plan breaks; empty when it is sound. `field` of a fault is the name of the rule."""
    look = _Audit(problem, plan)
    faults: list[Fault] = list(_once(look))
    for slip in look.slips:
        operation = look.operation[slip.operation]
        if slip.place != operation.place:
            faults.append(_fault(slip.operation, f"its place is {operation.place}", "place", slip.place))
        elif operation.place in look.place:
            faults += _place_slip(look, operation, slip)
        else:
            faults += _oven_slip(look, operation, slip)
    faults += _machines(look)
    faults += _people(look)
    faults += _net(look)
    faults += _sets(look)
    faults += _charges(look)
    faults += _statements(look)
    return tuple(faults)


def _once(look: _Audit) -> Iterator[Fault]:
    times = Counter(slip.operation for slip in look.plan.slips)
    times.update(name for name, _ in look.plan.unplaced)
    for name in look.operation:
        if times[name] != 1:
            yield _fault(name, "every operation is in the plan once, or said to be missing", "once", times[name])
    for name in sorted(set(times) - set(look.operation)):
        yield _fault(name, "there is no such operation", "once")


def _place_slip(look: _Audit, operation: Operation, slip: Slip) -> Iterator[Fault]:
    place = look.place[operation.place]
    if not 0 <= slip.index < place.count:
        yield _fault(slip.operation, f"{place.code} has machines 0 to {place.count - 1}", "machine", slip.index)
    if slip.charge != -1:
        yield _fault(slip.operation, "only oven work has a charge", "charge", slip.charge)
    yield from _crew(look, operation, slip)
    ordered = all(a < b for a, b in slip.stretches)
    ordered = ordered and all(one[1] <= two[0] for one, two in pairwise(slip.stretches))
    ends = slip.stretches and slip.stretches[0][0] == slip.setup_start and slip.stretches[-1][1] == slip.end
    if not (ordered and ends and slip.setup_start <= slip.start < slip.end and slip.setup_start >= 0):
        yield _fault(slip.operation, "its times do not run set-up, run, end as its stretches do", "times")
        return
    yield from _hours(look, operation, slip)
    levels = [look.person[who].level(operation.skill) for who in slip.people if who in look.person]
    if all(levels):
        level = min(levels, default=100)
        whole = (operation.run_seconds * 100 + level - 1) // level
        run = overlap(slip.stretches, ((slip.start, slip.end),))
        if run != whole:
            yield _fault(slip.operation, f"it takes {whole} s at {level} % of full speed", "duration", run)


def _crew(look: _Audit, operation: Operation, slip: Slip) -> Iterator[Fault]:
    wanted = operation.hands if look.needs_people(operation) else 0
    if len(slip.people) != wanted or len(set(slip.people)) != wanted:
        yield _fault(slip.operation, f"{wanted} people do it", "hands", ", ".join(slip.people))
    for who in slip.people:
        if who not in look.person:
            yield _fault(slip.operation, "there is no such person", "skill", who)
        elif look.person[who].level(operation.skill) == 0:
            yield _fault(slip.operation, f"{who} has not the skill {operation.skill}", "skill", who)


def _hours(look: _Audit, operation: Operation, slip: Slip) -> Iterator[Fault]:
    """In shift, not absent, in the place's hours; rests only where the people rest, and over nights only if it must."""
    place = look.place[operation.place]
    if place.working and not inside(slip.stretches, place.working):
        yield _fault(slip.operation, f"{place.code} is not open all that time", "place hours")
    for who in slip.people:
        if who not in look.person:
            continue
        away = look.person[who].absence
        if any(a < d and c < b for a, b in slip.stretches for c, d in away):
            yield _fault(slip.operation, f"{who} is absent", "absence", who)
        elif not inside(slip.stretches, look.ordinary[who] + look.extra[who]):
            yield _fault(slip.operation, f"{who} is not in shift all that time", "shift", who)
    gaps = [(one[1], two[0]) for one, two in pairwise(slip.stretches) if one[1] < two[0]]
    if not gaps:
        return
    shared, longest = look.shared(operation, slip)
    if shared is None or overlap(gaps, shared) > 0:
        yield _fault(slip.operation, "it rests while its people are at work", "rest")
    need = sum(b - a for a, b in slip.stretches)
    if any(b - a > look.problem.longest_pause_seconds for a, b in gaps) and need <= longest:
        says = f"it would fit into one block of {longest} s and rests over a longer gap"
        yield _fault(slip.operation, says, "rest", need)


def _oven_slip(look: _Audit, operation: Operation, slip: Slip) -> Iterator[Fault]:
    charges = [charge for charge in look.plan.charges if charge.number == slip.charge]
    if len(charges) != 1 or operation.id not in charges[0].operations:
        yield _fault(slip.operation, "it is in no oven charge, or its charge does not name it", "charge", slip.charge)
        return
    charge = charges[0]
    stated = (slip.place, slip.index, slip.setup_start, slip.start, slip.end, slip.stretches, slip.people)
    span = (charge.start, charge.end)
    if stated != (charge.oven, charge.index, charge.start, charge.start, charge.end, (span,), ()):
        yield _fault(slip.operation, f"its times are not those of charge {charge.number}", "common start")


def _machines(look: _Audit) -> Iterator[Fault]:
    """One operation per machine at a time, and set-ups charged as the machine's last settings ask."""
    rows: dict[tuple[str, int], list[Slip]] = {}
    for slip in look.slips:
        if slip.place in look.place:
            rows.setdefault((slip.place, slip.index), []).append(slip)
    for (code, index), slips in sorted(rows.items()):
        place = look.place[code]
        stands = dict(place.standing)
        slips.sort(key=lambda slip: (slip.setup_start, slip.end, slip.operation))
        busy = -1
        for slip in slips:
            if slip.setup_start < busy:
                yield _fault(slip.operation, f"{code} {index} is still in use until {busy}", "machine in use")
            busy = max(busy, slip.end)
            yield from _setup(look, place, stands, slip)


def _setup(look: _Audit, place: WorkPlace, stands: dict[str, str], slip: Slip) -> Iterator[Fault]:
    asked = 0
    costs = dict(place.setup_seconds)
    for family, value in look.operation[slip.operation].setup_keys:
        if stands.get(family) != value:
            asked += costs.get(family, 0)
        stands[family] = value
    charged = overlap(slip.stretches, ((slip.setup_start, slip.start),))
    if charged != asked:
        yield _fault(slip.operation, f"the set-up there takes {asked} s", "set-up", charged)


def _people(look: _Audit) -> Iterator[Fault]:
    """A person is at one place at a time."""
    rows: dict[str, list[Slip]] = {}
    for slip in look.slips:
        for who in sorted(set(slip.people)):
            rows.setdefault(who, []).append(slip)
    for who, slips in sorted(rows.items()):
        slips.sort(key=lambda slip: (slip.setup_start, slip.end, slip.operation))
        busy, last = -1, ""
        for slip in slips:
            if slip.setup_start < busy:
                yield _fault(slip.operation, f"{who} is still at {last}", "person in use", who)
            if slip.end > busy:
                busy, last = slip.end, slip.operation


def _net(look: _Audit) -> Iterator[Fault]:
    """Nothing runs before what it waits for, the waits, and its material's date."""
    for slip in look.slips:
        operation = look.operation[slip.operation]
        if slip.start < operation.earliest:
            yield _fault(slip.operation, f"its material comes at {operation.earliest}", "material date", slip.start)
        for name in operation.after:
            before = look.slip.get(name)
            if before is None:
                yield _fault(slip.operation, f"{name}, which it waits for, is not in the plan", "net")
                continue
            free = before.end + look.wait(look.operation[name])
            if slip.start < free:
                rule = "net" if slip.start < before.end else "wait"
                yield _fault(slip.operation, f"{name} lets it start at {free}", rule, slip.start)


def _sets(look: _Audit) -> Iterator[Fault]:
    """A bed is not begun until its own set (unit, panels, border) is complete, whatever the net says."""
    complete: dict[str, int] = {}
    lacking: dict[str, str] = {}
    for operation in look.problem.operations:
        if operation.stream == "meet":
            continue
        slip = look.slip.get(operation.id)
        if slip is None:
            lacking[operation.works_order] = operation.id
        else:
            free = slip.end + look.wait(operation)
            complete[operation.works_order] = max(complete.get(operation.works_order, 0), free)
    for slip in look.slips:
        operation = look.operation[slip.operation]
        if operation.stream != "meet":
            continue
        if operation.works_order in lacking:
            says = f"the set of {operation.works_order} is never complete: {lacking[operation.works_order]}"
            yield _fault(slip.operation, says, "set complete")
        elif slip.start < complete.get(operation.works_order, 0):
            says = f"the set of {operation.works_order} is complete at {complete[operation.works_order]}"
            yield _fault(slip.operation, says, "set complete", slip.start)


def _charges(look: _Audit) -> Iterator[Fault]:
    times = Counter(name for charge in look.plan.charges for name in charge.operations)
    for name, count in sorted(times.items()):
        operation = look.operation.get(name)
        if count > 1 or operation is None or operation.place not in look.oven:
            yield _fault(name, "it does not belong into an oven charge, or is in several", "charge", count)
    rows: dict[tuple[str, int], list[tuple[int, int, int]]] = {}
    for charge in look.plan.charges:
        what, oven = f"charge {charge.number}", look.oven.get(charge.oven)
        if oven is None:
            yield _fault(what, "there is no such oven", "charge", charge.oven)
            continue
        inside = [look.operation[name] for name in charge.operations if name in look.operation]
        units = sum(operation.rack_units for operation in inside)
        if not inside or units > oven.capacity or units != charge.units:
            yield _fault(what, f"it holds {units} of {oven.capacity} rack units", "capacity", charge.units)
        if charge.hot != charge.start + oven.warm_up_seconds:
            yield _fault(what, f"warm-up takes {oven.warm_up_seconds} s", "unit temperature", charge.hot)
        if charge.end != charge.hot + oven.charge_seconds:
            says = f"{oven.charge_seconds} s at heat count from unit temperature"
            yield _fault(what, says, "time at heat", charge.end - charge.hot)
        if len({tuple(sorted(operation.setup_keys)) for operation in inside}) > 1:
            yield _fault(what, "its units want different heats", "one heat")
        if not 0 <= charge.index < oven.count:
            yield _fault(what, f"{oven.code} has chambers 0 to {oven.count - 1}", "machine", charge.index)
        yield from _oven_hours(look, oven, what, charge.start, charge.end)
        for name in charge.operations:
            if name not in look.slip or look.slip[name].charge != charge.number:
                yield _fault(name, f"{what} names it and its slip does not agree", "charge")
        rows.setdefault((charge.oven, charge.index), []).append((charge.start, charge.end, charge.number))
    numbers = Counter(charge.number for charge in look.plan.charges)
    for number in sorted(n for n, count in numbers.items() if count > 1):
        yield _fault(f"charge {number}", "two charges have this number", "charge")
    for (code, index), spans in sorted(rows.items()):
        spans.sort()
        for one, two in pairwise(spans):
            if two[0] < one[1]:
                yield _fault(f"charge {two[2]}", f"{code} {index} is shut until {one[1]}", "machine in use", two[0])


def _oven_hours(look: _Audit, oven: Oven, what: str, start: int, end: int) -> Iterator[Fault]:
    if start < 0:
        yield _fault(what, "it begins before the plan does", "oven hours", start)
    if not oven.working:
        return
    goes_in = any(a <= start < b for a, b in oven.working)
    comes_out = any(a < end <= b for a, b in oven.working)
    inner = sorted(pair for pair in oven.working if pair[1] > start and pair[0] < end)
    pauses = [two[0] - one[1] for one, two in pairwise(inner)]
    if not goes_in or not comes_out or any(gap > look.problem.longest_pause_seconds for gap in pauses):
        yield _fault(what, "nobody is there to put it in or to take it out", "oven hours", f"{start} to {end}")


def _statements(look: _Audit) -> Iterator[Fault]:
    """What the plan says of finishes, lateness and its objective, worked out again."""
    ready: dict[str, int | None] = {name: 0 for name in look.order}
    for operation in look.problem.operations:
        slip, so_far = look.slip.get(operation.id), ready[operation.works_order]
        if slip is None:
            ready[operation.works_order] = None
        elif so_far is not None:
            ready[operation.works_order] = max(so_far, slip.end + look.wait(operation))
    beds_missing, seconds_late = 0, 0
    stated = {finish.works_order: finish for finish in look.plan.finishes}
    if len(stated) != len(look.plan.finishes) or set(stated) != set(look.order):
        yield _fault("finishes", "every works order has one", "finishes", len(look.plan.finishes))
        return
    for name, order in look.order.items():
        mates = [o.id for o in look.problem.works_orders if o.id == name or (order.pair and o.pair == order.pair)]
        times = [ready[mate] for mate in mates]
        known = [second for second in times if second is not None]
        whole = len(known) == len(times)
        last = max(known) if whole else max([*known, look.problem.horizon + 1])
        late = max(0 if whole else 1, last - order.due)
        right = (order.due, ready[name], late, late == 0)
        finish = stated[name]
        if (finish.due, finish.finish, finish.seconds_late, finish.makes_van) != right:
            yield _fault(name, "due, finish, lateness and van are stated wrongly", "due", finish.finish)
        beds_missing += order.beds if late else 0
        seconds_late += late
    yield from _objective(look, beds_missing, seconds_late, ready)


def _objective(look: _Audit, missing: int, late: int, ready: dict[str, int | None]) -> Iterator[Fault]:
    setups = sum(
        overlap(slip.stretches, ((slip.setup_start, slip.start),)) for slip in look.slips if slip.place in look.place
    )
    beyond = {code: cut(person.overtime, person.working) for code, person in look.person.items()}
    overtime = sum(overlap(s.stretches, beyond[who]) for s in look.slips for who in s.people if who in beyond)
    last = max((second for second in ready.values() if second is not None), default=0)
    right = (missing, late, setups, overtime, last)
    if tuple(look.plan.objective) != right:
        yield _fault("objective", f"it is {right}", "objective", tuple(look.plan.objective))
    if look.plan.bound.beds_missing > missing or look.plan.bound.seconds_late > late:
        yield _fault(
            "bound", "the plan is better than what it says is the least", "bound", look.plan.bound.beds_missing
        )
