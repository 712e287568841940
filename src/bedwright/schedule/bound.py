"""What no plan can do better: each works order by itself, and each place and skill by its hours.

Valid for every plan that the audit accepts: hours count overtime, work may rest at any gap, people are in two places
at once, everybody works at the best level there is. So the true least is here or above.
"""

from __future__ import annotations

from bedwright.schedule.net import Net, net_of
from bedwright.schedule.plan import Bound
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Person
from bedwright.schedule.spans import Interval, Timeline, clipped, common, measure, merged, without

DATES_TRIED = 24


def _hours(person: Person) -> tuple[Interval, ...]:
    return without(merged((*person.working, *person.overtime)), person.absence)


class _Hours:
    """Time in which work of a place and skill can be done at all; None where it is not limited."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.place = {place.code: place for place in problem.places}
        self.oven = {oven.code: oven for oven in problem.ovens}
        self.known: dict[tuple[str, str | None], Timeline | None] = {}
        self.openings: dict[str, tuple[Interval, ...] | None] = {}

    def of(self, place: str, skill: str | None) -> Timeline | None:
        if (place, skill) not in self.known:
            self.known[(place, skill)] = self._of(place, skill)
        return self.known[(place, skill)]

    def opening(self, code: str) -> tuple[Interval, ...] | None:
        """When anything at all can be done at a place; None: always."""
        if code not in self.openings:
            skills = {operation.skill for operation in self.problem.operations if operation.place == code}
            lines = [self.of(code, skill) for skill in sorted(skills, key=str)]
            always = any(line is None for line in lines)
            pairs = merged(pair for line in lines if line is not None for pair in line.intervals)
            self.openings[code] = None if always else pairs
        return self.openings[code]

    def _of(self, code: str, skill: str | None) -> Timeline | None:
        if code in self.oven:
            working = self.oven[code].working
            return Timeline.of(working, 0) if working else None
        place = self.place[code]
        if skill is None and not place.needs_person:
            return Timeline.of(place.working, 0) if place.working else None
        able = [_hours(person) for person in self.problem.people if person.level(skill)]
        everybody = merged(pair for hours in able for pair in hours)
        return Timeline.of(common(everybody, place.working) if place.working else everybody, 0)


def _heads(problem: Problem, net: Net, hours: _Hours) -> tuple[list[int], list[int]]:
    """Earliest start and end [s] of each operation if it never waited for a machine or a person in use."""
    far = problem.horizon + 1
    start = [0] * len(net.order)
    end = [0] * len(net.order)
    for i in net.order:
        operation = problem.operations[i]
        start[i] = max([operation.earliest, *(end[j] + net.wait[j] for j in net.before[i])])
        timeline = hours.of(operation.place, operation.skill)
        if timeline is None:
            end[i] = start[i] + net.best[i]
        elif operation.place in hours.oven:
            begin = timeline.advance(start[i], 1)
            end[i] = max(far, start[i]) if begin is None else begin - 1 + net.best[i]
        else:
            reached = timeline.advance(start[i], net.best[i])
            end[i] = max(far, start[i]) if reached is None else reached
    return start, end


def _groups(problem: Problem) -> tuple[dict[str, str], dict[str, int]]:
    """Works order -> group that makes or misses its van together, and the beds of each group."""
    group = {o.id: f"pair {o.pair}" if o.pair else f"order {o.id}" for o in problem.works_orders}
    beds: dict[str, int] = {}
    for order in problem.works_orders:
        beds[group[order.id]] = beds.get(group[order.id], 0) + order.beds
    return group, beds


def _fewest_dropped(work: dict[str, int], beds: dict[str, int], room: int) -> int:
    """Fewest beds whose groups must be left out so that the work fits: the fractional knapsack, rounded up."""
    over = sum(work.values()) - room
    if over <= 0:
        return 0
    dropped_beds, share = 0, sorted(work, key=lambda g: (-work[g] / beds[g], g))
    for name in share:
        if work[name] >= over:
            return dropped_beds + -(-over * beds[name] // work[name])
        over -= work[name]
        dropped_beds += beds[name]
    return dropped_beds


def bound_of(problem: Problem) -> Bound:
    """The bound of a problem: beds that must miss their van, seconds late in all, the earliest end of everything."""
    net, hours = net_of(problem), _Hours(problem)
    start, end = _heads(problem, net, hours)
    group, beds = _groups(problem)
    finish = {order.id: 0 for order in problem.works_orders}
    for i, operation in enumerate(problem.operations):
        finish[operation.works_order] = max(finish[operation.works_order], end[i] + net.wait[i])
    together: dict[str, int] = {}
    for order in problem.works_orders:
        together[group[order.id]] = max(together.get(group[order.id], 0), finish[order.id])
    cannot = [o for o in problem.works_orders if together[group[o.id]] > o.due]
    lost = {group[order.id] for order in cannot}
    base = sum(beds[name] for name in lost)
    more, limits = _capacity(problem, net, hours, start, lost)
    if cannot:
        limits = (f"{len(cannot)} works orders cannot make their van even alone", *limits)
    return Bound(
        beds_missing=base + more,
        seconds_late=sum(min(together[group[order.id]], problem.horizon + 1) - order.due for order in cannot),
        last_finish=max([*finish.values(), _last_finish(problem, net, hours, start, end)], default=0),
        cannot=tuple(sorted((order.id, together[group[order.id]]) for order in cannot)),
        limits=limits,
    )


def _capacity(
    problem: Problem, net: Net, hours: _Hours, start: list[int], lost: set[str]
) -> tuple[int, tuple[str, ...]]:
    """Beds to drop beyond the lost ones because some place or skill has too few hours before some cut-off."""
    group, beds = _groups(problem)
    uses: dict[tuple[str, str], list[tuple[int, int, int, str]]] = {}
    for i, operation in enumerate(problem.operations):
        name = group[operation.works_order]
        if name in lost or operation.place in hours.oven:
            continue
        end, head = net.latest_end[i], start[i]
        uses.setdefault(("place", operation.place), []).append((end, head, net.best[i], name))
        if operation.skill is not None:
            work = operation.run_seconds * operation.hands
            uses.setdefault(("skill", operation.skill), []).append((end, head, work, name))
    worst, words = 0, ""
    for (kind, code), rows in sorted(uses.items()):
        rows.sort()
        ends = sorted({row[0] for row in rows})
        for latest in ends[:: max(1, len(ends) // DATES_TRIED)] + ends[-1:]:
            early = [row for row in rows if row[0] <= latest]
            first = min(row[1] for row in early)
            room = _room(problem, hours, kind, code, first, latest)
            work_of: dict[str, int] = {}
            for _, _, seconds, name in early:
                work_of[name] = work_of.get(name, 0) + seconds
            dropped = _fewest_dropped(work_of, beds, room)
            if dropped > worst:
                need, have = sum(work_of.values()) / 3600, room / 3600
                when = problem.clock.words(latest)
                worst = dropped
                words = f"{kind} {code}: {need:.1f} h of work must end by {when}, and there are {have:.1f} h before it"
    return worst, (words,) if words else ()


def _room(problem: Problem, hours: _Hours, kind: str, code: str, first: int, latest: int) -> int:
    """Seconds of work that a place or skill can give between two seconds, rounded up."""
    if latest <= first:
        return 0
    if kind == "skill":
        percent = [(p.level(code), measure(clipped(_hours(p), first, latest))) for p in problem.people if p.level(code)]
        return -(-sum(level * seconds for level, seconds in percent) // 100)
    open_time = hours.opening(code)
    free = latest - first if open_time is None else measure(clipped(open_time, first, latest))
    return hours.place[code].count * free


def _last_finish(problem: Problem, net: Net, hours: _Hours, start: list[int], end: list[int]) -> int:
    """Earliest end of everything, by place: its first possible start, its work shared evenly, its shortest tail."""
    tail = [0] * len(net.order)
    for i in reversed(net.order):
        tail[i] = max([net.wait[i], *(net.wait[i] + net.best[j] + tail[j] for j in net.following[i])])
    out = 0
    rows: dict[str, list[int]] = {}
    for i, operation in enumerate(problem.operations):
        if operation.place not in hours.oven:
            rows.setdefault(operation.place, []).append(i)
    for code, members in sorted(rows.items()):
        head = min(start[i] for i in members)
        share = -(-sum(net.best[i] for i in members) // hours.place[code].count)
        open_time = hours.opening(code)
        reached = head + share if open_time is None else Timeline.of(open_time, 0).advance(head, share)
        if reached is not None:
            out = max(out, reached + min(tail[i] for i in members))
    return out
