"""The plain rule for sheets: deepest piece first, into the first (or tightest) band with room; several orders tried.

Coffman, Garey, Johnson & Tarjan 1980, first fit decreasing height on shelves (from memory), carried to sheets: a band
is opened on the first sheet with room for it.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

from bedwright.cutting.bounds import ceil_div, fewest_bars, shares
from bedwright.cutting.plan import BOUND_MET, ORDERS_DONE, Proof, Short
from bedwright.cutting.sheets.plan import Band, CutSheet, Placed, SheetPlan
from bedwright.cutting.sheets.problem import Piece, SheetProblem

PLAIN_ORDERS = 48
TURNS = ("as typed", "shallow", "deep")
SORTS: tuple[Callable[[int, int], tuple[int, int]], ...] = (
    lambda depth, run: (-depth, -run),
    lambda depth, run: (-run, -depth),
    lambda depth, run: (-depth * run, -depth),
)


@dataclass(slots=True)
class _Band:
    sheet: int
    depth: int
    free: int
    pieces: list[tuple[int, int, int, int, bool]] = field(default_factory=list)  # piece, copy, depth, run, turned


@dataclass(slots=True)
class _Sheet:
    stock: int
    free: int
    bands: list[_Band] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Rule:
    """One way of going about it: axis 0 parts the length (bands across), 1 the width."""

    axis: int
    turns: str
    sort: int
    tight: bool
    stock_order: tuple[int, ...]


@dataclass(slots=True)
class _Filling:
    problem: SheetProblem
    rule: _Rule
    sheets: list[_Sheet] = field(default_factory=list)
    bands: list[_Band] = field(default_factory=list)
    taken: dict[int, int] = field(default_factory=dict)
    work: int = 0

    def room(self, stock: int) -> tuple[int, int]:
        """(for depth, for run) of a stock sheet under this rule."""
        along, across = self.problem.room(self.problem.stock[stock])
        return (along, across) if self.rule.axis == 0 else (across, along)

    def place(self, index: int, copy: int, ways: Sequence[tuple[int, int, bool]]) -> bool:
        k = self.problem.kerf
        best: tuple[int, _Band, tuple[int, int, bool]] | None = None
        for depth, run, turned in ways:
            for band in self.bands:
                self.work += 1
                if depth <= band.depth and run + k <= band.free:
                    waste = (band.depth - depth) * run
                    if best is None or waste < best[0]:
                        best = (waste, band, (depth, run, turned))
                    if not self.rule.tight:
                        break
            if best and not self.rule.tight:
                break
        if best is not None:
            _, band, way = best
        else:
            opened = self._open(ways)
            if opened is None:
                return False
            band, way = opened
        depth, run, turned = way
        band.pieces.append((index, copy, depth, run, turned))
        band.free -= run + k
        return True

    def _open(self, ways: Sequence[tuple[int, int, bool]]) -> tuple[_Band, tuple[int, int, bool]] | None:
        """A new band on the first sheet with room, else on a new sheet."""
        k = self.problem.kerf
        for depth, run, turned in ways:
            for number, sheet in enumerate(self.sheets):
                self.work += 1
                if depth + k <= sheet.free and run + k <= self.room(sheet.stock)[1]:
                    return self._band(number, depth), (depth, run, turned)
        for depth, run, turned in ways:
            for s in self.rule.stock_order:
                on_hand = self.problem.stock[s].on_hand
                deep, wide = self.room(s)
                if depth + k <= deep and run + k <= wide and (on_hand is None or self.taken.get(s, 0) < on_hand):
                    self.taken[s] = self.taken.get(s, 0) + 1
                    self.sheets.append(_Sheet(s, deep))
                    return self._band(len(self.sheets) - 1, depth), (depth, run, turned)
        return None

    def _band(self, number: int, depth: int) -> _Band:
        sheet = self.sheets[number]
        band = _Band(number, depth, self.room(sheet.stock)[1])
        sheet.free -= depth + self.problem.kerf
        sheet.bands.append(band)
        self.bands.append(band)
        return band

    def shrink(self) -> None:
        """A sheet whose bands fit a smaller one becomes that one."""
        for sheet in self.sheets:
            deep = self.room(sheet.stock)[0] - sheet.free
            run = max(self.room(sheet.stock)[1] - band.free for band in sheet.bands)
            size = self.problem.stock[sheet.stock]
            for s in sorted(range(len(self.problem.stock)), key=lambda s: (_area(self.problem, s), s)):
                if _area(self.problem, s) >= size.along * size.across:
                    break
                on_hand = self.problem.stock[s].on_hand
                if (
                    self.room(s)[0] >= deep
                    and self.room(s)[1] >= run
                    and (on_hand is None or self.taken.get(s, 0) < on_hand)
                ):
                    self.taken[sheet.stock] -= 1
                    self.taken[s] = self.taken.get(s, 0) + 1
                    sheet.stock = s
                    break

    def area(self) -> int:
        return sum(_area(self.problem, sheet.stock) for sheet in self.sheets)


def _area(problem: SheetProblem, stock: int) -> int:
    return problem.stock[stock].along * problem.stock[stock].across


def lower_bound(problem: SheetProblem, counts: Sequence[int]) -> tuple[int, int]:
    """(square tenths of sheet, sheets) that no plan for these counts can go below, guillotine or not.

    Fekete & Schepers 2001, products of dual feasible functions; Martello & Vigo 1998, pieces too wide to lie side by
    side are a slit of their lengths (both from memory). A piece that may turn counts with its lesser share.
    """
    pieces = [(p, n) for p, n in zip(problem.pieces, counts, strict=True) if n]
    if not pieces:
        return 0, 0
    k = problem.kerf
    rooms = [problem.room(sheet) for sheet in problem.stock]
    deep, wide = max(r[0] for r in rooms), max(r[1] for r in rooms)
    ways = [([(dx + k, dy + k) for dx, dy, _ in p.ways() if dx + k <= deep and dy + k <= wide], n) for p, n in pieces]
    sheets = 1
    for f, g in product(
        shares((dx for w, _ in ways for dx, _ in w), deep), shares((dy for w, _ in ways for _, dy in w), wide)
    ):
        total = sum(n * min(f.numerator[dx] * g.numerator[dy] for dx, dy in w) for w, n in ways)
        sheets = max(sheets, ceil_div(total, f.denominator * g.denominator))
    lone_long = [(min(dx for dx, _ in w), n) for w, n in ways if 2 * min(dy for _, dy in w) > wide]
    lone_wide = [(min(dy for _, dy in w), n) for w, n in ways if 2 * min(dx for dx, _ in w) > deep]
    sheets = max(sheets, fewest_bars(lone_long, deep), fewest_bars(lone_wide, wide))
    least = min(sheet.along * sheet.across for sheet in problem.stock)
    total = sum((p.along + k) * (p.across + k) * n for p, n in pieces)
    by_area = min(
        ceil_div(total * sheet.along * sheet.across, rx * ry)
        for sheet, (rx, ry) in zip(problem.stock, rooms, strict=True)
    )
    alike = len({(sheet.along, sheet.across) for sheet in problem.stock}) == 1
    return (sheets * least if alike else max(by_area, sheets * least)), sheets


def _rules(problem: SheetProblem) -> list[_Rule]:
    axes = {"either": (0, 1), "across": (0,), "along": (1,)}[problem.first_cut]
    turns = TURNS if any(len(p.ways()) > 1 for p in problem.pieces) else TURNS[:1]
    spots = range(len(problem.stock))
    large = sorted(spots, key=lambda s: (problem.stock[s].on_hand is None, -_area(problem, s), s))
    small = sorted(spots, key=lambda s: (problem.stock[s].on_hand is None, _area(problem, s), s))
    orders = list(dict.fromkeys((tuple(large), tuple(small))))
    return [
        _Rule(axis, turn, sort, tight, order)
        for sort, order, tight, axis, turn in product(range(len(SORTS)), orders, (False, True), axes, turns)
    ]


def _ways(piece: Piece, rule: _Rule) -> list[tuple[int, int, bool]]:
    """(depth, run, turned), the preferred way first."""
    ways = [(dx, dy, t) if rule.axis == 0 else (dy, dx, t) for dx, dy, t in piece.ways()]
    if rule.turns == "shallow":
        ways.sort(key=lambda w: (w[0], w[2]))
    elif rule.turns == "deep":
        ways.sort(key=lambda w: (-w[0], w[2]))
    return ways


def _tries(problem: SheetProblem, seed: int) -> Iterator[tuple[_Rule, list[tuple[int, int]]]]:
    """(rule, copies in order): every plain rule once, then rules with the order disturbed, seeded."""
    rules = _rules(problem)
    copies = [(i, c) for i, p in enumerate(problem.pieces) for c in range(1, p.count + 1)]
    for rule in rules:
        first = [_ways(p, rule)[0] for p in problem.pieces]
        yield rule, sorted(copies, key=lambda ic: (*SORTS[rule.sort](*first[ic[0]][:2]), *ic))
    dice = random.Random(seed)
    while True:
        rule = rules[int(dice.random() * len(rules))]
        first = [_ways(p, rule)[0] for p in problem.pieces]
        weight = {ic: first[ic[0]][0] * (0.8 + 0.4 * dice.random()) for ic in copies}
        yield rule, sorted(copies, key=lambda ic: (-weight[ic], *ic))


def _cut(problem: SheetProblem, filling: _Filling) -> tuple[CutSheet, ...]:
    k, edge, axis = problem.kerf, problem.edge, filling.rule.axis
    out = []
    for sheet in filling.sheets:
        at, bands = edge, []
        for band in sheet.bands:
            run, placed = edge, []
            for piece, copy, depth, width, turned in band.pieces:
                x, y, dx, dy = (at, run, depth, width) if axis == 0 else (run, at, width, depth)
                placed.append(Placed(problem.pieces[piece].key, copy, x, y, dx, dy, turned))
                run += width + k
            bands.append(Band(at, band.depth, tuple(placed)))
            at += band.depth + k
        name = problem.stock[sheet.stock].key
        out.append(CutSheet(name, "across" if axis == 0 else "along", tuple(bands)))
    return tuple(out)


def plan_sheets(problem: SheetProblem, budget: int = PLAIN_ORDERS, seed: int = 0) -> SheetPlan:
    """A cut plan that always answers: the best of `budget` orders (at least one), stopping where the bound is met."""
    full = [p.count for p in problem.pieces]
    target, _ = lower_bound(problem, full)
    best: tuple[tuple[int, int, int], _Filling, dict[int, int]] | None = None
    tried = work = 0
    for rule, order in _tries(problem, seed):
        filling = _Filling(problem, rule)
        ways = [_ways(p, rule) for p in problem.pieces]
        missing: dict[int, int] = {}
        for index, copy in order:
            if not filling.place(index, copy, ways[index]):
                missing[index] = missing.get(index, 0) + 1
        filling.shrink()
        tried, work = tried + 1, work + filling.work
        score = (sum(missing.values()), filling.area(), len(filling.sheets))
        if best is None or score < best[0]:
            best = (score, filling, missing)
        if tried >= budget or best[0][:2] == (0, target):
            break
    assert best is not None
    (_, used, _), filling, missing = best
    bound, sheets = lower_bound(problem, [n - missing.get(i, 0) for i, n in enumerate(full)])
    stopped = BOUND_MET if used == bound else ORDERS_DONE
    short = tuple(
        Short(problem.pieces[i].key, n, "the sheets on hand that are large enough are used up")
        for i, n in sorted(missing.items())
    )
    return SheetPlan(problem, _cut(problem, filling), short, Proof(used, bound, stopped, tried, work), sheets)
