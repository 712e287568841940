"""The plain rule for slits: longest first, into the first (or tightest) bar with room; several orders, the best kept.

Johnson 1973, first fit decreasing (never above 11/9 of the least bars + 6/9: Dosa 2007; both from memory).
Joined strips use the remainders of open bars before a new bar is opened, within the joins allowed.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from bedwright.cutting.bounds import ceil_div, fewest_bars
from bedwright.cutting.plan import BOUND_MET, ORDERS_DONE, Proof, Short
from bedwright.cutting.slits.plan import CutBar, Part, SlitPlan
from bedwright.cutting.slits.problem import SlitProblem, Strip

PLAIN_ORDERS = 24


@dataclass(slots=True)
class _Open:
    """A bar being filled: free counts length + kerf per part; parts are (piece, copy, part, parts, length)."""

    stock: int
    free: int
    parts: list[tuple[int, int, int, int, int]] = field(default_factory=list)


@dataclass(slots=True)
class _Filling:
    problem: SlitProblem
    tight: bool
    stock_order: Sequence[int]
    bars: list[_Open] = field(default_factory=list)
    left: dict[int, int] = field(default_factory=dict)
    work: int = 0

    def open_bar(self, need: int) -> _Open | None:
        for s in self.stock_order:
            bar = self.problem.stock[s]
            taken = self.left.get(s, 0)
            if self.problem.room(bar) >= need and (bar.on_hand is None or taken < bar.on_hand):
                self.left[s] = taken + 1
                self.bars.append(_Open(s, self.problem.room(bar)))
                return self.bars[-1]
        return None

    def find(self, need: int, start: int) -> int | None:
        """First bar from start on with room, or the tightest of all where the rule says so."""
        best: int | None = None
        for i in range(start, len(self.bars)):
            self.work += 1
            free = self.bars[i].free
            if free >= need:
                if not self.tight:
                    return i
                if best is None or free < self.bars[best].free:
                    best = i
        return best

    def put(self, bar: _Open, piece: int, copy: int, part: int, parts: int, length: int) -> None:
        bar.parts.append((piece, copy, part, parts, length))
        bar.free -= length + self.problem.kerf

    def run(self, index: int) -> int:
        """Place all copies of one strip; returns how many found no room. Equal copies restart where the last went."""
        piece = self.problem.pieces[index]
        need, start = piece.length + self.problem.kerf, 0
        for copy in range(1, piece.count + 1):
            if self.tight and start < len(self.bars) and self.bars[start].free >= need:
                spot: int | None = start
            else:
                spot = self.find(need, 0 if self.tight else start)
            if spot is not None:
                self.put(self.bars[spot], index, copy, 1, 1, piece.length)
                start = spot
            elif piece.joins == 0:
                bar = self.open_bar(need)
                if bar is None:
                    return piece.count - copy + 1
                start = len(self.bars) - 1 if self.tight else start
                self.put(bar, index, copy, 1, 1, piece.length)
            elif not self._joined(index, piece, copy):
                return piece.count - copy + 1
        return 0

    def _joined(self, index: int, piece: Strip, copy: int) -> bool:
        """Fewest new bars, then fewest joins; remainders first, widest first."""
        kerf, most = self.problem.kerf, piece.joins + 1
        for new in range(most + 1):
            fresh = self._fresh(new)
            if fresh is None:
                return False
            rooms = [(bar.free - kerf, 0, i) for i, bar in enumerate(self.bars)]
            rooms = sorted((r for r in rooms if r[0] >= max(piece.least_part, 1)), key=lambda r: (-r[0], r[2]))
            self.work += len(rooms) + 1
            for parts in range(max(new, 1), most + 1):
                use = [(room, 1, s) for room, s in fresh] + rooms[: parts - new]
                lengths = _split(piece, [room for room, _, _ in use]) if len(use) == parts else None
                if lengths is None:
                    continue
                for part, (length, (_, is_new, which)) in enumerate(zip(lengths, use, strict=True), 1):
                    if is_new:
                        self.left[which] = self.left.get(which, 0) + 1
                        self.bars.append(_Open(which, self.problem.room(self.problem.stock[which])))
                    self.put(self.bars[-1 if is_new else which], index, copy, part, parts, length)
                return True
        return False

    def _fresh(self, new: int) -> list[tuple[int, int]] | None:
        """Rooms of the next `new` bars that may be taken, the longest stock first; None where there are not so many."""
        rooms: list[tuple[int, int]] = []
        for s in sorted(range(len(self.problem.stock)), key=lambda s: (-self.problem.stock[s].length, s)):
            bar = self.problem.stock[s]
            free = new if bar.on_hand is None else bar.on_hand - self.left.get(s, 0)
            rooms += [(self.problem.room(bar) - self.problem.kerf, s)] * max(0, min(free, new - len(rooms)))
        return rooms if len(rooms) == new else None


def _split(piece: Strip, rooms: Sequence[int]) -> list[int] | None:
    """Part lengths for these rooms, each within its room and no shorter than the least part; None where none is."""
    parts = len(rooms)
    total = piece.length + (parts - 1) * piece.join_allowance
    least = max(piece.least_part, 1) if parts > 1 else 1
    if sum(rooms) < total or total < parts * least:
        return None
    lengths = []
    for i, room in enumerate(rooms):
        take = min(room, total - (parts - i - 1) * least)
        if take < least:
            return None
        lengths.append(take)
        total -= take
    return lengths if total == 0 else None


def lower_bound(problem: SlitProblem, counts: Sequence[int]) -> tuple[int, int]:
    """(tenths of a millimetre of stock, bars) that no plan for these counts can go below.

    Martello & Toth 1990, L2 for strips that may not be joined; joined ones count by length alone.
    """
    pieces = [(p, n) for p, n in zip(problem.pieces, counts, strict=True) if n]
    if not pieces:
        return 0, 0
    room = max(problem.room(bar) for bar in problem.stock)
    total = sum((p.length + problem.kerf) * n for p, n in pieces)
    whole = [(p.length + problem.kerf, n) for p, n in pieces if p.joins == 0]
    bars = max(ceil_div(total, room), fewest_bars(whole, room))
    by_length = min(ceil_div(total * bar.length, problem.room(bar)) for bar in problem.stock)
    shortest = min(bar.length for bar in problem.stock)
    if len({bar.length for bar in problem.stock}) == 1:
        return bars * shortest, bars
    return max(by_length, bars * shortest), bars


def _orders(problem: SlitProblem, seed: int) -> Iterator[list[int]]:
    """Longest first; then the same, disturbed: lengths weighed by a random factor near 1."""
    plain = sorted(range(len(problem.pieces)), key=lambda i: (-problem.pieces[i].length, i))
    yield plain
    dice = random.Random(seed)
    while True:
        weight = {i: problem.pieces[i].length * (0.7 + 0.6 * dice.random()) for i in plain}
        yield sorted(plain, key=lambda i: (-weight[i], i))


def _stock_orders(problem: SlitProblem) -> list[tuple[int, ...]]:
    """Limited stock (remnants) before bought; within that longest first, shortest first."""
    stock = problem.stock
    longest = sorted(range(len(stock)), key=lambda s: (stock[s].on_hand is None, -stock[s].length, s))
    shortest = sorted(range(len(stock)), key=lambda s: (stock[s].on_hand is None, stock[s].length, s))
    return list(dict.fromkeys((tuple(longest), tuple(shortest))))


def _shorten(problem: SlitProblem, filling: _Filling) -> None:
    """A bar whose content fits shorter stock becomes that stock."""
    for bar in filling.bars:
        inside = problem.room(problem.stock[bar.stock]) - bar.free
        for s in sorted(range(len(problem.stock)), key=lambda s: (problem.stock[s].length, s)):
            stock = problem.stock[s]
            if stock.length >= problem.stock[bar.stock].length:
                break
            if problem.room(stock) >= inside and (stock.on_hand is None or filling.left.get(s, 0) < stock.on_hand):
                filling.left[bar.stock] -= 1
                filling.left[s] = filling.left.get(s, 0) + 1
                bar.stock, bar.free = s, problem.room(stock) - inside
                break


def _bars(problem: SlitProblem, filling: _Filling) -> tuple[CutBar, ...]:
    out = []
    for bar in filling.bars:
        at, parts = problem.head_trim, []
        for piece, copy, part, of, length in bar.parts:
            parts.append(Part(problem.pieces[piece].key, copy, part, of, at, length))
            at += length + problem.kerf
        out.append(CutBar(problem.stock[bar.stock].key, tuple(parts)))
    return tuple(out)


def plan_slits(problem: SlitProblem, budget: int = PLAIN_ORDERS, seed: int = 0) -> SlitPlan:
    """A cut plan that always answers: the best of `budget` orders (at least one), stopping where the bound is met."""
    full = [p.count for p in problem.pieces]
    target, _ = lower_bound(problem, full)
    stock_orders = _stock_orders(problem)
    best: tuple[tuple[int, int, int, int], _Filling, dict[int, int]] | None = None
    tried = work = 0
    for order in _orders(problem, seed):
        for tight, stock_order in ((t, s) for s in stock_orders for t in (False, True)):
            filling = _Filling(problem, tight, stock_order)
            short = {i: n for i in order if (n := filling.run(i))}
            _shorten(problem, filling)
            tried, work = tried + 1, work + filling.work + sum(full)
            used = sum(problem.stock[bar.stock].length for bar in filling.bars)
            joins = sum(1 for bar in filling.bars for part in bar.parts if part[2] > 1)
            score = (sum(short.values()), used, len(filling.bars), joins)
            if best is None or score < best[0]:
                best = (score, filling, short)
            if tried >= budget or best[0][:2] == (0, target):
                break
        if tried >= budget or (best is not None and best[0][:2] == (0, target)):
            break
    assert best is not None
    (_, used, _, _), filling, missing = best
    cut = [n - missing.get(i, 0) for i, n in enumerate(full)]
    bound, bars = lower_bound(problem, cut)
    stopped = BOUND_MET if used == bound else ORDERS_DONE
    short_rows = tuple(
        Short(problem.pieces[i].key, n, "the stock on hand that is long enough is used up")
        for i, n in sorted(missing.items())
    )
    return SlitPlan(problem, _bars(problem, filling), short_rows, Proof(used, bound, stopped, tried, work), bars)
