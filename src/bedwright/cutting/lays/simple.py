"""The plain rule for lays: longest panel first, into the first (or tightest) row with room; several orders tried.

Coffman, Garey, Johnson & Tarjan 1980, first fit decreasing height (from memory), with shade lots: all panels of one
shade word go to the first lot that can still take them all.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

from bedwright.cutting.bounds import ceil_div, shares
from bedwright.cutting.lays.plan import LaidPanel, Lay, LayPlan, Row
from bedwright.cutting.lays.problem import LayProblem, Panel
from bedwright.cutting.plan import BOUND_MET, ORDERS_DONE, Proof, Short

PLAIN_ORDERS = 18
TURNS = ("as typed", "short", "long")


@dataclass(slots=True)
class _Row:
    pitch: int
    free: int
    panels: list[tuple[int, int, int, int, bool]] = field(default_factory=list)  # panel, copy, along, across, turned


@dataclass(slots=True)
class _Lot:
    rows: list[_Row] = field(default_factory=list)
    length: int = 0


@dataclass(frozen=True, slots=True)
class _Rule:
    turns: str
    by_area: bool
    tight: bool


@dataclass(slots=True)
class _Filling:
    problem: LayProblem
    rule: _Rule
    ways: Sequence[Sequence[tuple[int, int, bool]]]
    lots: list[_Lot]
    work: int = 0

    def add(self, group: Sequence[tuple[int, int]]) -> bool:
        """All copies of one shade word into the first lot that takes them all; False where none does."""
        for number, lot in enumerate(self.problem.lots):
            state = self.lots[number]
            undo: list[_Row] = []
            rows, length = len(state.rows), state.length
            for index, copy in group:
                undo.append(self._place(state, index, copy))
            room = lot.length
            if room is None or (state.length + self.problem.ends <= room):
                return True
            for row in reversed(undo):
                _, _, _, across, _ = row.panels.pop()
                row.free += across + self.problem.gap_across
            del state.rows[rows:]
            state.length = length
        return False

    def _place(self, lot: _Lot, index: int, copy: int) -> _Row:
        gap = self.problem.gap_across
        best: tuple[int, _Row, tuple[int, int, bool]] | None = None
        for way in self.ways[index]:
            along, across, _ = way
            pitch = self.problem.pitch(along)
            for row in lot.rows:
                self.work += 1
                if pitch <= row.pitch and across + gap <= row.free:
                    waste = (row.pitch - pitch) * across
                    if best is None or waste < best[0]:
                        best = (waste, row, way)
                    if not self.rule.tight:
                        break
            if best and not self.rule.tight:
                break
        if best is not None:
            _, row, way = best
        else:
            way = self.ways[index][0]
            row = _Row(self.problem.pitch(way[0]), self.problem.usable_width + gap)
            lot.rows.append(row)
            lot.length += row.pitch
        row.panels.append((index, copy, *way))
        row.free -= way[1] + gap
        return row

    def total(self) -> int:
        return sum(lot.length + self.problem.ends for lot in self.lots if lot.rows)


def lower_bound(problem: LayProblem, counts: Sequence[int]) -> int:
    """Tenths of a millimetre of roll that no lay for these counts can go below.

    Fekete & Schepers 2001 (from memory): in any row the shares of the widths sum to 1 at most, and the row is as long
    as each of its panels, so the sum of share times pitch is roll that must be there. A panel that may turn counts
    with its lesser product; one lot's ends at least; whole repeats.
    """
    panels = [(p, n) for p, n in zip(problem.panels, counts, strict=True) if n]
    if not panels:
        return 0
    gap, width = problem.gap_across, problem.usable_width + problem.gap_across
    ways = [([(dy + gap, problem.pitch(dx)) for dx, dy, _ in problem.ways(p)], n) for p, n in panels]
    least = max(min(pitch for _, pitch in w) for w, _ in ways)
    for f in shares((dy for w, _ in ways for dy, _ in w), width):
        total = sum(n * min(f.numerator[dy] * pitch for dy, pitch in w) for w, n in ways)
        least = max(least, ceil_div(total, f.denominator))
    if problem.repeat:
        least = ceil_div(least, problem.repeat) * problem.repeat
    return least + problem.ends


def _ways(problem: LayProblem, panel: Panel, turns: str) -> list[tuple[int, int, bool]]:
    ways = list(problem.ways(panel))
    if turns == "short":
        ways.sort(key=lambda w: (w[0], w[2]))
    elif turns == "long":
        ways.sort(key=lambda w: (-w[0], w[2]))
    return ways


def _groups(problem: LayProblem) -> list[list[tuple[int, int]]]:
    """Copies by shade word, longest first within each; panels of no word each on their own."""
    groups: dict[tuple[str, int, int], list[tuple[int, int]]] = {}
    for i, panel in enumerate(problem.panels):
        for copy in range(1, panel.count + 1):
            key = (panel.shade, 0, 0) if panel.shade else ("", i, copy)
            groups.setdefault(key, []).append((i, copy))
    return [groups[key] for key in sorted(groups)]


def _tries(problem: LayProblem, seed: int) -> Iterator[tuple[_Rule, list[list[tuple[int, int]]]]]:
    turning = any(len(problem.ways(p)) > 1 for p in problem.panels)
    rules = [_Rule(t, a, g) for a, g, t in product((False, True), (False, True), TURNS if turning else TURNS[:1])]
    groups = _groups(problem)

    def weight(rule: _Rule, group: Sequence[tuple[int, int]], factor: float = 1.0) -> tuple[float, float]:
        first = [_ways(problem, problem.panels[i], rule.turns)[0] for i, _ in group]
        longest, area = max(w[0] for w in first), max(w[0] * w[1] for w in first)
        return (-factor * area, -longest) if rule.by_area else (-factor * longest, -area)

    def inside(rule: _Rule, group: list[tuple[int, int]]) -> list[tuple[int, int]]:
        return sorted(group, key=lambda ic: (-_ways(problem, problem.panels[ic[0]], rule.turns)[0][0], *ic))

    for rule in rules:
        yield rule, [inside(rule, g) for g in sorted(groups, key=lambda g: (*weight(rule, g), g))]
    dice = random.Random(seed)
    while True:
        rule = rules[int(dice.random() * len(rules))]
        factors = [0.85 + 0.3 * dice.random() for _ in groups]
        order = sorted(range(len(groups)), key=lambda n: (*weight(rule, groups[n], factors[n]), n))
        yield rule, [inside(rule, groups[n]) for n in order]


def _lays(problem: LayProblem, filling: _Filling) -> tuple[Lay, ...]:
    out = []
    for lot, state in zip(problem.lots, filling.lots, strict=True):
        x, rows = 0, []
        for row in sorted(state.rows, key=lambda r: -r.pitch):
            y, placed = 0, []
            for index, copy, along, across, turned in row.panels:
                placed.append(LaidPanel(problem.panels[index].key, copy, x, y, along, across, turned))
                y += across + problem.gap_across
            rows.append(Row(x, row.pitch, tuple(placed)))
            x += row.pitch
        if rows:
            out.append(Lay(lot.key, tuple(rows), x + problem.ends))
    return tuple(out)


def plan_lays(problem: LayProblem, budget: int = PLAIN_ORDERS, seed: int = 0) -> LayPlan:
    """A lay that always answers: the best of `budget` orders (at least one), stopping where the bound is met."""
    full = [p.count for p in problem.panels]
    target = lower_bound(problem, full)
    best: tuple[tuple[int, int], _Filling, dict[int, int]] | None = None
    tried = work = 0
    for rule, groups in _tries(problem, seed):
        ways = [_ways(problem, p, rule.turns) for p in problem.panels]
        filling = _Filling(problem, rule, ways, [_Lot() for _ in problem.lots])
        missing: dict[int, int] = {}
        for group in groups:
            if not filling.add(group):
                for index, _ in group:
                    missing[index] = missing.get(index, 0) + 1
        tried, work = tried + 1, work + filling.work + sum(full)
        score = (sum(missing.values()), filling.total())
        if best is None or score < best[0]:
            best = (score, filling, missing)
        if tried >= budget or best[0] == (0, target):
            break
    assert best is not None
    (_, used), filling, missing = best
    bound = lower_bound(problem, [n - missing.get(i, 0) for i, n in enumerate(full)])
    short = tuple(
        Short(problem.panels[i].key, n, "no shade lot has room for all panels that must match")
        for i, n in sorted(missing.items())
    )
    stopped = BOUND_MET if used == bound else ORDERS_DONE
    return LayPlan(problem, _lays(problem, filling), short, Proof(used, bound, stopped, tried, work))
