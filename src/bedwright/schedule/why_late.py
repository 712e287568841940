"""Why a works order misses its van, as far as the room can say.

A plain walk back through the plan: from the operation that ends last, always to the one that let it start latest. The
waits along that chain are sorted by what stood in the way; the longest names the reason. This describes one plan and
proves nothing: another plan may be late for another reason, or not at all.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from bedwright.schedule.net import Net, net_of
from bedwright.schedule.plan import Plan, Slip
from bedwright.schedule.problem import Problem
from bedwright.schedule.spans import Interval, clipped, common, measure, merged, without

KINDS = ("machines in use", "people in use", "nobody at work", "oven", "material date", "making it", "set-up", "waits")


@dataclass(frozen=True, slots=True)
class LateReason:
    """One late works order: how late [s], the sentence for people, and the parts of its chain.

    parts: (kind, where, seconds), the longest first; the kinds are in KINDS. earliest: the second at which it could
    be ready if it had the works to itself, where even that misses the van; else None.
    """

    works_order: str
    seconds_late: int
    words: str
    parts: tuple[tuple[str, str, int], ...]
    earliest: int | None


def spoken(seconds: int) -> str:
    """Elapsed time as people say it: `2 d 3 h`, `5 h 20 min`, `4 min`."""
    minutes = -(-seconds // 60)
    days, hours, rest = minutes // 1440, minutes % 1440 // 60, minutes % 60
    if days:
        return f"{days} d {hours} h" if hours else f"{days} d"
    if hours:
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    return f"{rest} min"


class _Busy:
    """When machines and people are in use, and when people are at work at all."""

    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.count = {p.code: p.count for p in problem.places} | {o.code: o.count for o in problem.ovens}
        self.machines: dict[tuple[str, int], list[Interval]] = {}
        self.people: dict[str, list[Interval]] = {}
        for slip in plan.slips:
            self.machines.setdefault((slip.place, slip.index), []).append((slip.setup_start, slip.end))
            for who in slip.people:
                self.people.setdefault(who, []).append((slip.setup_start, slip.end))
        self.joined = {key: merged(pairs) for key, pairs in self.machines.items()}
        self.busy = {key: merged(pairs) for key, pairs in self.people.items()}
        self.hours = {p.code: without(p.working, p.absence) for p in problem.people}
        self.place_hours = {p.code: p.working for p in problem.places} | {o.code: o.working for o in problem.ovens}

    def full(self, place: str, window: Interval) -> tuple[Interval, ...]:
        """Time in the window in which every machine of the place is in use."""
        out: tuple[Interval, ...] = (window,)
        for index in range(self.count[place]):
            out = common(out, near(self.joined.get((place, index), ()), window))
        return out

    def split(self, slip: Slip, skill: str | None, manned: bool, window: Interval) -> tuple[int, int, int]:
        """Seconds of the window with all machines in use, with able people at work but in use, with nobody there."""
        if window[0] >= window[1]:
            return 0, 0, 0
        full = self.full(slip.place, window)
        left = without((window,), full)
        opening = self.place_hours[slip.place]
        there: tuple[Interval, ...] = (window,)
        if manned:
            able = [p.code for p in self.problem.people if p.level(skill)]
            there = merged(pair for who in able for pair in near(self.hours[who], window))
        if opening:
            there = common(there, near(opening, window))
        return measure(full), measure(common(left, there)), measure(without(left, there))


def near(intervals: tuple[Interval, ...], window: Interval) -> tuple[Interval, ...]:
    """The part of sorted stretches [s] that lies in the window."""
    first = max(0, bisect_right(intervals, window) - 1)
    out = []
    for pair in intervals[first:]:
        if pair[0] >= window[1]:
            break
        out.append(pair)
    return clipped(out, *window)


def late_reasons(problem: Problem, plan: Plan) -> tuple[LateReason, ...]:
    """One reason for each works order that misses its van, in order of ids."""
    if not plan.late:
        return ()
    net, busy = net_of(problem), _Busy(problem, plan)
    slips = {slip.operation: slip for slip in plan.slips}
    cannot = dict(plan.bound.cannot)
    unplaced = dict(plan.unplaced)
    members: dict[str, list[int]] = {}
    for i, operation in enumerate(problem.operations):
        members.setdefault(operation.works_order, []).append(i)
    finishes = {finish.works_order: finish for finish in plan.finishes}
    pair = {order.id: order.pair for order in problem.works_orders}
    out = []
    for name in plan.late:
        finish = finishes[name]
        mates = [o.id for o in problem.works_orders if pair[name] and o.pair == pair[name] and o.id != name]
        parts: list[tuple[str, str, int]] = []
        missing = sorted({_id(problem, i) for i in members.get(name, ())} & set(unplaced))
        if missing:
            words = f"not in the plan: {missing[0]}: {unplaced[missing[0]]}"
        elif finish.finish is not None and finish.finish <= finish.due and mates:
            words = f"ready in time, but its other half {', '.join(mates)} is not"
        else:
            parts = _chain(problem, net, busy, slips, members[name]) if members.get(name) else parts
            words = _sentence(parts)
        if name in cannot:
            alone = problem.clock.words(cannot[name])
            words = f"the cut-off is too near: even alone it would not be ready before {alone}; {words}"
        out.append(LateReason(name, finish.seconds_late, words, tuple(parts), cannot.get(name)))
    return tuple(out)


def _id(problem: Problem, i: int) -> str:
    return problem.operations[i].id


def _chain(
    problem: Problem, net: Net, busy: _Busy, slips: dict[str, Slip], members: list[int]
) -> list[tuple[str, str, int]]:
    """The waits and works along the chain that ends last, added up by kind and where; the longest first."""
    ends = {i: slips[_id(problem, i)].end + net.wait[i] for i in members}
    i: int | None = max(members, key=lambda j: (ends[j], _id(problem, j)))
    manned = {place.code: place.needs_person for place in problem.places}
    total: dict[tuple[str, str], int] = {}

    def add(kind: str, where: str, seconds: int) -> None:
        if seconds > 0:
            total[(kind, where)] = total.get((kind, where), 0) + seconds

    while i is not None:
        operation = problem.operations[i]
        slip = slips[operation.id]
        latest = max(net.before[i], key=lambda j: slips[_id(problem, j)].end + net.wait[j], default=None)
        free = 0 if latest is None else slips[_id(problem, latest)].end + net.wait[latest]
        ready = max(free, operation.earliest)
        add("waits", operation.place, net.wait[i])
        add("oven" if slip.charge >= 0 else "making it", operation.place, slip.end - slip.start)
        add("set-up", operation.place, slip.start - slip.setup_start)
        if slip.charge >= 0:
            add("oven", operation.place, slip.setup_start - ready)
        else:
            hands = operation.skill is not None or manned[operation.place]
            full, people, nobody = busy.split(slip, operation.skill, hands, (ready, slip.setup_start))
            add("machines in use", operation.place, full)
            add("people in use", operation.skill or operation.place, people)
            add("nobody at work", operation.skill or operation.place, nobody)
        add("material date", operation.place, operation.earliest - free)
        i = latest
    return sorted(((k, w, s) for (k, w), s in total.items()), key=lambda row: (-row[2], row[0], row[1]))


def _sentence(parts: list[tuple[str, str, int]]) -> str:
    """The largest parts in words; time with nobody at work is no reason of its own unless nothing else is there."""
    said = {
        "machines in use": "waited {t} at {w} while every machine there was in use",
        "people in use": "waited {t} for people for {w}, who were at other work or too near the end of their shift",
        "nobody at work": "lay {t} while nobody for {w} was at work",
        "oven": "spent {t} waiting for and in the oven {w}",
        "material date": "was held at {w} for {t} until its first day (material, or not so long before its van)",
        "making it": "took {t} to make at {w}",
        "set-up": "set-up at {w} took {t}",
        "waits": "cooled, cured or relaxed for {t} after {w}",
    }
    first = [part for part in parts if part[0] != "nobody at work"] or parts
    words = [said[kind].format(t=spoken(seconds), w=where) for kind, where, seconds in first[:3]]
    return f"as far as this plan can say: {'; '.join(words)}" if words else "nothing in this plan says why"
