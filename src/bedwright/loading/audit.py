"""An independent checker of loads: boxes, who is on board when, ways out to the doors; no code of the building."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from bedwright.errors import Fault
from bedwright.loading.plan import LoadPlan, Placed
from bedwright.loading.problem import Bundle


def audit(plan: LoadPlan) -> tuple[Fault, ...]:
    """All faults of a load, none if it may be loaded as written."""
    known = {b.key: b for b in (*plan.problem.goods, *plan.problem.collections)}
    strangers = [p for p in (*plan.goods, *plan.collections) if p.bundle not in known]
    if strangers:
        return tuple(Fault("nobody asked for it", card=_name(p)) for p in strangers)
    return (
        *_pieces(plan, known),
        *_counts(plan),
        *_loading_order(plan),
        *_legs(plan, known),
        *_ways_out(plan),
        *_clean(plan),
        *_figures(plan, known),
    )


def _name(p: Placed) -> str:
    return f"{p.bundle} no. {p.copy}"


def _shadow(a: Placed, b: Placed) -> bool:
    """Do they overlap as seen from the doors (width and height)?"""
    return a.y < b.y + b.dy and b.y < a.y + a.dy and a.z < b.z + b.dz and b.z < a.z + a.dz


def _plan_view(a: Placed, b: Placed) -> bool:
    """Do they overlap as seen from above?"""
    return a.x < b.x + b.dx and b.x < a.x + a.dx and a.y < b.y + b.dy and b.y < a.y + a.dy


def _pieces(plan: LoadPlan, known: dict[str, Bundle]) -> Iterator[Fault]:
    v = plan.problem.vehicle
    for p in (*plan.goods, *plan.collections):
        bundle = known[p.bundle]
        if p.x < 0 or p.y < 0 or p.z < 0 or p.x + p.dx > v.length or p.y + p.dy > v.width or p.z + p.dz > v.height:
            yield Fault("is not inside the vehicle", card=_name(p), value=f"{p.x}, {p.y}, {p.z}")
        if p.stop != bundle.stop:
            yield Fault("is down for another stop", card=_name(p), field="stop", value=p.stop)
        if p.way not in bundle.ways:
            yield Fault("may not travel this way", card=_name(p), field="way", value=p.way)
        base = sorted((p.dx, p.dy))
        sides = sorted((bundle.length, bundle.width))
        across = max(bundle.width, bundle.thickness)
        right = {
            "flat": base == sides and p.dz == bundle.thickness,
            "on edge": base == sorted((sides[1], bundle.thickness)) and p.dz == sides[0],
            "rolled": base == sorted((bundle.length, across)) and p.dz == across,
        }
        if not right.get(p.way, False):
            yield Fault("does not have its packed size", card=_name(p), value=f"{p.dx} x {p.dy} x {p.dz}")


def _counts(plan: LoadPlan) -> Iterator[Fault]:
    for wanted, placed in ((plan.problem.goods, plan.goods), (plan.problem.collections, plan.collections)):
        own = {b.key for b in wanted}
        for p in placed:
            if p.bundle not in own:
                yield Fault("goods and collections are mixed up", card=_name(p))
        for (key, copy), times in sorted(Counter((p.bundle, p.copy) for p in placed).items()):
            if times > 1:
                yield Fault("is loaded twice", card=f"{key} no. {copy}")
        done = Counter(p.bundle for p in placed)
        for bundle in wanted:
            left = sum(row.count for row in plan.left if row.bundle == bundle.key)
            if done[bundle.key] + left != bundle.count:
                says = f"{done[bundle.key]} loaded, {left} left, {bundle.count} in all"
                yield Fault(says, card=bundle.key, field="count")
            if any(not 1 <= p.copy <= bundle.count for p in placed if p.bundle == bundle.key):
                yield Fault("a copy that does not exist", card=bundle.key, field="copy")


def _on_board(plan: LoadPlan, number: int) -> tuple[list[Placed], list[Placed]]:
    """(new goods, collections) on board after stop `number`; -1: leaving the works."""
    order = {stop.key: i for i, stop in enumerate(plan.problem.stops)}
    goods = [p for p in plan.goods if order[p.stop] > number]
    return goods, [p for p in plan.collections if order[p.stop] <= number]


def _loading_order(plan: LoadPlan) -> Iterator[Fault]:
    """Each piece must slide in from the doors past what is loaded already, and stand on something."""
    for i, p in enumerate(plan.goods):
        for q in plan.goods[:i]:
            if q.x + q.dx > p.x and _shadow(p, q):
                yield Fault(f"cannot be brought in past {_name(q)}", card=_name(p))
        yield from _stands(p, plan.goods[:i])
    for i, p in enumerate(plan.collections):
        number = plan.problem.order(p.stop)
        goods, _ = _on_board(plan, number)
        before = [q for q in plan.collections[:i] if plan.problem.order(q.stop) <= number]
        if any(plan.problem.order(q.stop) > number for q in plan.collections[:i]):
            yield Fault("collections are not in the order of the stops", card=_name(p))
        for q in (*goods, *before):
            if q.x + q.dx > p.x and _shadow(p, q):
                yield Fault(f"cannot be brought in past {_name(q)}", card=_name(p))
        yield from _stands(p, before)


def _stands(p: Placed, before: Sequence[Placed]) -> Iterator[Fault]:
    if p.z == 0:
        return
    if p.way == "on edge":
        yield Fault("on edge, and not on the floor", card=_name(p), value=str(p.z))
    under = [q for q in before if q.z + q.dz == p.z and _plan_view(p, q)]
    area = sum(
        (min(p.x + p.dx, q.x + q.dx) - max(p.x, q.x)) * (min(p.y + p.dy, q.y + q.dy) - max(p.y, q.y)) for q in under
    )
    if area < p.dx * p.dy:
        yield Fault("hangs over: not held all over from below", card=_name(p), value=str(p.z))


def _legs(plan: LoadPlan, known: dict[str, Bundle]) -> Iterator[Fault]:
    """On each leg: no two in one place, nothing too heavy, nothing on what may not bear it."""
    for number in range(-1, len(plan.problem.stops)):
        aboard = [p for group in _on_board(plan, number) for p in group]
        where = f"after stop {plan.problem.stops[number].key}" if number >= 0 else "leaving the works"
        for i, p in enumerate(aboard):
            for q in aboard[:i]:
                if _plan_view(p, q) and _shadow(p, q):
                    yield Fault(f"is in one place with {_name(q)}, {where}", card=_name(p))
        mass = sum(known[p.bundle].mass for p in aboard)
        if mass > plan.problem.vehicle.payload:
            yield Fault(f"{mass} g on board {where}, {plan.problem.vehicle.payload} allowed", card="payload")
        for p in aboard:
            above = [q for q in aboard if q.z >= p.z + p.dz and _plan_view(p, q)]
            if not above:
                continue
            bundle = known[p.bundle]
            stack = bundle.stack or 1
            if p.way == "on edge":
                yield Fault(f"stands on edge with {_name(above[0])} on it, {where}", card=_name(p))
            heavy = sum(known[q.bundle].mass for q in above) > (stack - 1) * bundle.mass
            if len(above) > stack - 1 or heavy:
                yield Fault(f"bears more than its stack of {stack}, {where}", card=_name(p), field="stack")


def _ways_out(plan: LoadPlan) -> Iterator[Fault]:
    """Last in, first out, by sweeping each piece to the doors: nothing that stays may be in front of it or on it."""
    for number, stop in enumerate(plan.problem.stops):
        goods, _ = _on_board(plan, number)
        riding = [c for c in plan.collections if plan.problem.order(c.stop) < number]
        off = {pair for state in plan.states if state.stop == stop.key for pair in state.taken_off}
        if off and not plan.problem.rehandle:
            yield Fault("collections are taken off, which was not allowed", card=f"stop {stop.key}")
        for p in (q for q in plan.goods if q.stop == stop.key):
            for q in goods:
                if q.x + q.dx > p.x and _shadow(p, q):
                    yield Fault(f"is behind {_name(q)}, which leaves later", card=_name(p))
                if q.z >= p.z + p.dz and _plan_view(p, q):
                    yield Fault(f"is under {_name(q)}, which leaves later", card=_name(p))
            for q in riding:
                if (q.bundle, q.copy) not in off and q.x + q.dx > p.x and _shadow(p, q):
                    yield Fault(f"is behind the collected {_name(q)}", card=_name(p))


def _clean(plan: LoadPlan) -> Iterator[Fault]:
    """Collections never on, under or within the gap of new goods, standing or being carried past."""
    gap = plan.problem.gap
    for number, stop in enumerate(plan.problem.stops):
        goods, collected = _on_board(plan, number)
        off = {pair for state in plan.states if state.stop == stop.key for pair in state.taken_off}
        for c in collected:
            for g in goods:
                apart = max(g.x - c.x - c.dx, c.x - g.x - g.dx, g.y - c.y - c.dy, c.y - g.y - g.dy)
                if apart < gap:
                    yield Fault(f"is {max(apart, 0)} mm from new {_name(g)}, {gap} asked", card=_name(c))
        for c in (q for q in plan.collections if plan.problem.order(q.stop) < number):
            for g in (p for p in plan.goods if p.stop == stop.key):
                beside = max(g.y - c.y - c.dy, c.y - g.y - g.dy)
                if c.x + c.dx > g.x and beside < gap and (c.bundle, c.copy) not in off:
                    yield Fault(f"is in the way of new {_name(g)} and not taken off", card=_name(c))


def _figures(plan: LoadPlan, known: dict[str, Bundle]) -> Iterator[Fault]:
    used = max((p.x + p.dx for p in plan.goods), default=0)
    if used != plan.used_length:
        yield Fault(f"says {plan.used_length} mm, takes {used}", card="plan", field="used_length")
    if plan.bound_length > used:
        yield Fault("the bound is above the plan: one of them is wrong", card="plan", field="bound_length")
    if [state.stop for state in plan.states] != ["", *(s.key for s in plan.problem.stops)]:
        yield Fault("the stops are not those of the round", card="plan", field="states")
        return
    for number, state in enumerate(plan.states, -1):
        aboard = [p for group in _on_board(plan, number) for p in group]
        free = plan.problem.vehicle.length - max((p.x + p.dx for p in aboard), default=0)
        mass = sum(known[p.bundle].mass for p in aboard)
        if (state.mass, state.free_length) != (mass, free):
            yield Fault("mass or free length is not what is on board", card=f"stop {state.stop or 'works'}")
