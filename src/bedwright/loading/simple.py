"""The plain rule for loading: last stop first, from the bulkhead towards the doors; several ways of going about it.

Common practice, no source: beds travel upright and strapped, flat or rolled as their card says; the last delivery
goes in first; old beds ride back away from new ones.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from bedwright.loading.bound import fitting, least_length
from bedwright.loading.build import Building, Collecting, Rule
from bedwright.loading.plan import Left, LoadPlan, Placed, StopState
from bedwright.loading.problem import ON_EDGE, Bundle, LoadProblem

PLAIN_ORDERS = 81
BOUND_MET = "the bound is met: no load of these goods takes less floor"
ORDERS_DONE = "all orders allowed by the budget were tried"


@dataclass(slots=True)
class _Try:
    building: Building
    collecting: Collecting
    behind: dict[tuple[str, str], int]  # (bundle, reason) -> how many

    def score(self) -> tuple[int, int, int, int]:
        goods = len(self.building.placed)
        again = sum(len(pieces) for pieces in self.collecting.taken_off.values())
        used = max((p.x + p.dx for p in self.building.placed), default=0)
        return -goods, -len(self.collecting.placed), again, used


def _rules(problem: LoadProblem) -> list[Rule]:
    """The ways of going about it; free strips are tried where a collection rides along with new goods."""
    strips = [0]
    riding = [c for c in problem.collections if c.count and problem.order(c.stop) < len(problem.stops) - 1]
    if riding:
        thickest = max(c.thickness for c in riding)
        strips += [n * thickest + problem.gap for n in (1, 2)]
    strips = [strip for strip in strips if strip < problem.vehicle.width]
    ways = ("as listed", "reversed", "any") if any(len(b.ways) > 1 for b in problem.goods) else ("as listed",)
    sorts = ("volume", "length", "thickness")
    return [Rule(w, lie, s, strip) for strip, s, w, lie in product(strips, sorts, ways, ("along", "across", "either"))]


def _sort_key(rule: Rule, bundle: Bundle) -> int:
    if rule.sort == "volume":
        return bundle.length * bundle.width * bundle.thickness
    return max(bundle.length, bundle.width) if rule.sort == "length" else bundle.thickness


def _tries(problem: LoadProblem, seed: int) -> Iterator[tuple[Rule, list[Bundle]]]:
    """(rule, bundles in loading order): every plain rule once, then rules with the order within stops disturbed."""
    rules = _rules(problem)
    for rule in rules:
        yield rule, sorted(problem.goods, key=lambda b: (-problem.order(b.stop), -_sort_key(rule, b), b.key))
    dice = random.Random(seed)
    while True:
        rule = rules[int(dice.random() * len(rules))]
        weight = {b.key: _sort_key(rule, b) * (0.5 + dice.random()) for b in problem.goods}
        yield rule, sorted(problem.goods, key=lambda b: (-problem.order(b.stop), -weight[b.key], b.key))


def _build(problem: LoadProblem, rule: Rule, order: list[Bundle]) -> _Try:
    width = problem.vehicle.width
    building = Building(problem, rule, [(0, width, 0)])
    collecting = Collecting(problem)
    behind: dict[tuple[str, str], int] = {}
    first = min((problem.order(c.stop) for c in problem.collections if c.count), default=len(problem.stops))
    for bundle in order:
        limit = width - rule.free_strip if problem.order(bundle.stop) > first else width
        if not fitting(problem.vehicle, bundle):
            behind[bundle.key, "it is larger than the vehicle in every way it may travel"] = bundle.count
            continue
        for copy in range(1, bundle.count + 1):
            over = building.mass + bundle.mass > problem.vehicle.payload
            if building.add(bundle, copy, limit):
                continue
            reason = "the payload is used up" if over else "no place was found that keeps the order of the stops"
            behind[bundle.key, reason] = bundle.count - copy + 1
            break
    _collect(problem, building, collecting, behind)
    return _Try(building, collecting, behind)


def _collect(
    problem: LoadProblem, building: Building, collecting: Collecting, behind: dict[tuple[str, str], int]
) -> None:
    mass = {b.key: b.mass for b in (*problem.goods, *problem.collections)}
    for number, stop in enumerate(problem.stops):
        staying = [p for p in building.placed if problem.order(p.stop) > number]
        for bundle in (c for c in problem.collections if c.stop == stop.key):
            for copy in range(1, bundle.count + 1):
                aboard = sum(mass[p.bundle] for p in (*staying, *collecting.placed))
                if aboard + bundle.mass > problem.vehicle.payload:
                    behind[bundle.key, "the payload is used up"] = bundle.count - copy + 1
                    break
                if not collecting.add(bundle, copy, staying):
                    reason = "no room away from new goods when this stop is left"
                    behind[bundle.key, reason] = bundle.count - copy + 1
                    break


def _states(problem: LoadProblem, goods: tuple[Placed, ...], collecting: Collecting) -> tuple[StopState, ...]:
    mass = {b.key: b.mass for b in (*problem.goods, *problem.collections)}
    states = []
    for number in range(-1, len(problem.stops)):
        staying = [p for p in goods if problem.order(p.stop) > number]
        fetched = [p for p in collecting.placed if problem.order(p.stop) <= number]
        aboard = [*staying, *fetched]
        total = sum(mass[p.bundle] for p in aboard)
        centre = None
        if total:
            cx = sum(mass[p.bundle] * (2 * p.x + p.dx) for p in aboard) / (2 * total)
            cy = sum(mass[p.bundle] * (2 * p.y + p.dy) for p in aboard) / (2 * total)
            centre = (round(cx), round(cy))
        key = problem.stops[number].key if number >= 0 else ""
        opened = sum(p.dx * p.dy * p.dz for p in goods if number >= 0 and p.stop == key)
        free = problem.vehicle.length - max((p.x + p.dx for p in aboard), default=0)
        off = tuple(sorted(collecting.taken_off.get(key, []))) if key else ()
        states.append(StopState(key, total, free, opened, centre, off))
    return tuple(states)


def _left(problem: LoadProblem, behind: dict[tuple[str, str], int]) -> tuple[Left, ...]:
    """What stays behind, saying so where floor or payload prove that no load could take everything."""
    stops = {b.key: b.stop for b in (*problem.goods, *problem.collections)}
    least = least_length(problem.vehicle, [(b, b.count) for b in problem.goods])
    out = []
    for (key, reason), count in sorted(behind.items(), key=lambda row: (problem.order(stops[row[0][0]]), row[0])):
        says = reason
        if reason.startswith("no place"):
            proven = least > problem.vehicle.length
            says += (
                f"; all goods together need at least {least} mm of floor, the vehicle has {problem.vehicle.length}"
                if proven
                else "; not proven impossible: a better order may exist"
            )
        out.append(Left(key, stops[key], count, says))
    return tuple(out)


def plan_load(problem: LoadProblem, budget: int = PLAIN_ORDERS, seed: int = 0) -> LoadPlan:
    """A load that always answers: the best of `budget` orders (at least one). Most goods on board first, then most
    collections, then fewest taken off and put back, then least floor."""
    whole = (-sum(b.count for b in problem.goods), -sum(c.count for c in problem.collections), 0)
    target = least_length(problem.vehicle, [(b, b.count) for b in problem.goods])
    best: tuple[tuple[int, int, int, int], _Try] | None = None
    tried = work = 0
    for rule, order in _tries(problem, seed):
        attempt = _build(problem, rule, order)
        tried, work = tried + 1, work + attempt.building.work + attempt.collecting.work
        score = attempt.score()
        if best is None or score < best[0]:
            best = (score, attempt)
        if tried >= budget or best[0] == (*whole, target):
            break
    assert best is not None
    attempt = best[1]
    goods = tuple(attempt.building.placed)
    aboard = [(b, sum(p.bundle == b.key for p in goods)) for b in problem.goods]
    used = max((p.x + p.dx for p in goods), default=0)
    bound = least_length(problem.vehicle, aboard)
    return LoadPlan(
        problem,
        goods,
        tuple(attempt.collecting.placed),
        _left(problem, attempt.behind),
        _states(problem, goods, attempt.collecting),
        used,
        bound,
        BOUND_MET if used == bound else ORDERS_DONE,
        tried,
        work,
    )


def unknown_stacks(problem: LoadProblem) -> tuple[str, ...]:
    """Bundles that may lie flat or rolled and whose stack is not known: loaded with nothing on them."""
    return tuple(b.key for b in problem.goods if b.stack is None and any(way != ON_EDGE for way in b.ways))
