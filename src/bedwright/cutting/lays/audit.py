"""An independent checker of lays: coordinates, shade lots and counts, sharing no code with the search."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import pairwise

from bedwright.cutting.lays.plan import LaidPanel, Lay, LayPlan
from bedwright.errors import Fault


def audit(plan: LayPlan) -> tuple[Fault, ...]:
    """All faults of a lay, none if it may be cut as written."""
    return (*_lots(plan), *_demand(plan), *_shades(plan), *_figures(plan))


def _lots(plan: LayPlan) -> Iterator[Fault]:
    problem = plan.problem
    lots = {lot.key: lot for lot in problem.lots}
    width = min(ply.width - 2 * ply.selvedge for ply in problem.plies)
    for times in (t for t in sorted(Counter(lay.lot for lay in plan.lays).items()) if t[1] > 1):
        yield Fault("laid twice", card=f"lot {times[0]}")
    for lay in plan.lays:
        place = f"lot {lay.lot}"
        if lay.lot not in lots:
            yield Fault("no such shade lot", card=place)
            continue
        room = lots[lay.lot].length
        if room is not None and lay.length > room:
            yield Fault(f"takes {lay.length}, holds {room}", card=place, field="length")
        panels = [p for row in lay.rows for p in row.panels]
        for p in panels:
            if p.y < 0 or p.y + p.across > width:
                yield Fault(f"{p.panel} lies off the usable width", card=place, value=f"{p.y}")
            if p.x < 0 or p.x + p.along + problem.gap_along + problem.ends > lay.length:
                yield Fault(f"{p.panel} lies off the length", card=place, value=f"{p.x}")
            if problem.repeat and p.x % problem.repeat:
                yield Fault(f"{p.panel} starts off the pattern repeat", card=place, value=f"{p.x}")
        yield from _rows(lay, panels, problem.gap_along, problem.gap_across, problem.repeat, place)


def _rows(
    lay: Lay, panels: list[LaidPanel], gap_along: int, gap_across: int, repeat: int, place: str
) -> Iterator[Fault]:
    """The cross-cutter parts full widths: rows are found again by sweeping along, then checked side by side."""
    rows: list[list[LaidPanel]] = []
    end = 0
    for p in sorted(panels, key=lambda p: (p.x, p.y)):
        if not rows or p.x >= end + gap_along:
            rows.append([])
            end = p.x + p.along
        rows[-1].append(p)
        end = max(end, p.x + p.along)
    for row in rows:
        across = sorted(row, key=lambda p: p.y)
        for left, right in pairwise(across):
            if right.y < left.y + left.across + gap_across:
                yield Fault(f"{left.panel} and {right.panel} overlap or have no gap", card=place, value=str(right.y))
    if panels:
        last = max(p.x + p.along for p in panels) + gap_along
        least = -(-last // repeat) * repeat if repeat else last
        if lay.length < least:
            yield Fault("its last row is not counted whole", card=place, field="length", value=str(lay.length))


# Its like in cutting/sheets is not shared: two checkers that fail apart find more than one that fails for both.
def _demand(plan: LayPlan) -> Iterator[Fault]:
    wanted = {p.key: p for p in plan.problem.panels}
    laid = [p for lay in plan.lays for row in lay.rows for p in row.panels]
    for (key, copy), times in sorted(Counter((p.panel, p.copy) for p in laid).items()):
        if key not in wanted:
            yield Fault("nobody asked for it", card=f"panel {key}")
        elif times > 1 or not 1 <= copy <= wanted[key].count:
            yield Fault("cut twice, or more than wanted", card=f"panel {key} copy {copy}", field="count")
    short = Counter[str]()
    for entry in plan.short:
        short[entry.piece] += entry.count
        if entry.count <= 0 or entry.piece not in wanted:
            yield Fault("a shortage that cannot be", card=f"panel {entry.piece}", value=str(entry.count))
    done = Counter(p.panel for p in laid)
    for key, panel in wanted.items():
        if done[key] + short[key] != panel.count:
            says = f"{done[key]} laid and {short[key]} short, {panel.count} wanted"
            yield Fault(says, card=f"panel {key}", field="count")
    for p in laid:
        if p.panel in wanted:
            panel = wanted[p.panel]
            size = (panel.across, panel.along) if p.turned else (panel.along, panel.across)
            if (p.along, p.across) != size:
                yield Fault("not the size that is wanted", card=f"panel {p.panel}", value=f"{p.along} x {p.across}")
            if p.turned and (plan.problem.one_way or not panel.may_turn):
                yield Fault("turned against its nap or pattern", card=f"panel {p.panel}", field="may_turn")


def _shades(plan: LayPlan) -> Iterator[Fault]:
    words = {p.key: p.shade for p in plan.problem.panels}
    lots: dict[str, set[str]] = defaultdict(set)
    for lay in plan.lays:
        for row in lay.rows:
            for p in row.panels:
                if words.get(p.panel):
                    lots[words[p.panel]].add(lay.lot)
    for word in sorted(lots):
        if len(lots[word]) > 1:
            yield Fault("from more than one shade lot", card=f"shade {word}", value=", ".join(sorted(lots[word])))


def _figures(plan: LayPlan) -> Iterator[Fault]:
    used = 0
    for lay in plan.lays:
        pitches = sum(row.pitch for row in lay.rows)
        used += lay.length
        if pitches + plan.problem.ends != lay.length:
            yield Fault("rows and ends do not add up", card=f"lot {lay.lot}", field="length", value=str(lay.length))
    if used != plan.proof.value:
        yield Fault(f"says {plan.proof.value}, takes {used}", card="plan", field="value")
    if plan.proof.bound > used:
        yield Fault("the bound is above the plan: one of them is wrong", card="plan", field="bound")
