"""A van load as plain rows: steps in words in loading order, cautions, and the state at each stop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.loading.lifting import USUAL_SAYS, lift_words, mass_words, people_words, usual_people
from bedwright.loading.plan import LoadPlan, Placed
from bedwright.loading.problem import ON_EDGE, ROLLED, Bundle, LoadProblem
from bedwright.loading.simple import unknown_stacks


@dataclass(frozen=True, slots=True)
class LoadRow:
    """One step: its number, "load", "collect" or "stays behind", the stop, how many of what, where, words for the
    hand."""

    step: int
    act: str
    stop: str
    how_many: int
    what: str
    where: str
    words: str


@dataclass(frozen=True, slots=True)
class StopRow:
    """The vehicle on leaving a place: kilograms on board, free metres at the doors, words."""

    stop: str
    mass_kg: float
    free_m: float
    opened_m3: float
    words: str


def rows(plan: LoadPlan) -> tuple[LoadRow, ...]:
    """Steps in loading order, last stop first; then collections stop by stop; then what stays behind."""
    out: list[LoadRow] = []
    for act, pieces in (("load", plan.goods), ("collect", plan.collections)):
        for group in _groups(pieces):
            out.append(_row(plan, len(out) + 1, act, group))
    bundles = {b.key: b for b in (*plan.problem.goods, *plan.problem.collections)}
    for left in plan.left:
        what = bundles[left.bundle].what or left.bundle
        out.append(LoadRow(len(out) + 1, "stays behind", left.stop, left.count, what, "", left.reason))
    return tuple(out)


def _groups(pieces: tuple[Placed, ...]) -> Iterator[list[Placed]]:
    """Pieces of one bundle that follow each other and stand alike on one side."""
    group: list[Placed] = []
    for p in pieces:
        if group and (group[-1].bundle, group[-1].way, group[-1].dx, group[-1].dy) != (p.bundle, p.way, p.dx, p.dy):
            yield group
            group = []
        group.append(p)
    if group:
        yield group


def _row(plan: LoadPlan, step: int, act: str, group: list[Placed]) -> LoadRow:
    bundle = next(b for b in (*plan.problem.goods, *plan.problem.collections) if b.key == group[0].bundle)
    first, last = min(p.x for p in group), max(p.x + p.dx for p in group)
    where = f"{_side(plan, group)}, {first / 1000:.2f} to {last / 1000:.2f} m from the bulkhead"
    high = max(sum(q.x == p.x and q.y == p.y for q in group) for p in group)
    stack = f", {high} high" if high > 1 else ""
    if all(p.z > 0 for p in group):
        stack = ", on top of what lies there"
    words = [f"{_way(group[0])}{stack}"]
    if group[0].way == ON_EDGE:
        words.append("strap upright")
    if group[0].way == ROLLED:
        words.append("chock so that it cannot roll")
    if act == "collect":
        words.append(f"bagged, {plan.problem.gap} mm clear of everything new")
    two_from = plan.problem.two_person / 1000
    words.append(lift_words(bundle.mass / 1000, two_from=two_from, weighed=bundle.weighed))
    return LoadRow(step, act, group[0].stop, len(group), bundle.what or bundle.key, where, "; ".join(words))


def _way(p: Placed) -> str:
    if p.dx == p.dy:
        return p.way
    return f"{p.way}, lengthwise {'across' if p.dy > p.dx else 'along'} the vehicle"


def _side(plan: LoadPlan, group: list[Placed]) -> str:
    width = plan.problem.vehicle.width
    low, high = min(p.y for p in group), max(p.y + p.dy for p in group)
    if 3 * (high - low) >= 2 * width:
        return "over the width"
    middle = low + high
    return "right side" if middle < width else ("left side" if middle > width else "in the middle")


def stop_rows(plan: LoadPlan) -> tuple[StopRow, ...]:
    """Leaving the works and each stop: mass, free length, space opened, centre of mass, what is taken off and put
    back."""
    vehicle = plan.problem.vehicle
    out = []
    for state in plan.states:
        words = []
        if state.centre:
            x, y = state.centre
            off = y - vehicle.width // 2
            side = f"{abs(off)} mm {'left' if off > 0 else 'right'} of the middle" if off else "in the middle"
            words.append(f"centre of mass {x / 1000:.2f} m from the bulkhead, {side}")
            if vehicle.mass_from is not None and x < vehicle.mass_from:
                words.append(f"too far forward: at least {vehicle.mass_from / 1000:.2f} m is asked")
            if vehicle.mass_to is not None and x > vehicle.mass_to:
                words.append(f"too far back: at most {vehicle.mass_to / 1000:.2f} m is allowed")
        else:
            words.append("empty")
        if state.taken_off:
            words.append("take off and put back: " + ", ".join(f"{key} no. {copy}" for key, copy in state.taken_off))
        free, opened = state.free_length / 1000, state.opened / 1e9
        out.append(StopRow(state.stop or "works", state.mass / 1000, free, opened, "; ".join(words)))
    return tuple(out)


def cautions(plan: LoadPlan) -> tuple[str, ...]:
    """What whoever loads should read: before the first lift, then on the way; common practice, no source."""
    return (*hand_cautions(plan), *way_cautions(plan))


def hand_cautions(plan: LoadPlan) -> tuple[str, ...]:
    """What stands beside the first step: how many people for which bed, straps, tail-lift."""
    return tuple(_hand_cautions(plan.problem, plan))


def way_cautions(plan: LoadPlan) -> tuple[str, ...]:
    """What holds on the way: each stop's own caution, collected beds, stacks, payload."""
    return tuple(_way_cautions(plan.problem, plan))


def _lifts(problem: LoadProblem, bundles: list[Bundle]) -> Iterator[str]:
    """Each verdict over one person once, hardest last, with its beds, each bed and mass once."""
    found: dict[int, dict[str, None]] = {}
    for b in bundles:
        people = usual_people(b.mass / 1000, two_from=problem.two_person / 1000)
        if people != 1:
            found.setdefault(people or 4, {})[f"{b.what or b.key} {mass_words(b.mass / 1000, b.weighed)}"] = None
    for people in sorted(found):
        yield f"{people_words(people if people < 4 else None)}: {', '.join(found[people])}"


def _hand_cautions(problem: LoadProblem, plan: LoadPlan) -> Iterator[str]:
    aboard = {p.bundle for p in (*plan.goods, *plan.collections)}
    bundles: list[Bundle] = [b for b in (*problem.goods, *problem.collections) if b.key in aboard]
    lifts = "; ".join(_lifts(problem, bundles))
    if lifts:
        yield f"Lifts: {lifts}. {USUAL_SAYS}. Look at stairs and wind first."
    if any(p.way == ON_EDGE for p in (*plan.goods, *plan.collections)):
        yield "Beds on edge stand upright and strapped, row by row, before the next row."
    if problem.vehicle.tail_lift:
        yield "Tail-lift: stand clear of the edge, bed held by two, nobody under it."


def _way_cautions(problem: LoadProblem, plan: LoadPlan) -> Iterator[str]:
    aboard = {p.bundle for p in (*plan.goods, *plan.collections)}
    for stop in problem.stops:
        if stop.caution:
            yield f"Stop {stop.key}{', ' + stop.place if stop.place else ''}: {stop.caution}"
    if plan.collections:
        yield "Collected beds stay bagged and never touch new ones; they never come back as new."
    unknown = [key for key in unknown_stacks(problem) if key in aboard]
    if unknown:
        yield (
            f"How many may lie on one another is not known for {', '.join(unknown)}: loaded with nothing on them; "
            "measure by stacking for a journey's time and looking for lasting dents."
        )
    yield "Payload and axle limits are those of the vehicle's plate; this list checks the payload typed, no axle."
