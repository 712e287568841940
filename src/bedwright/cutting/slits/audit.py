"""An independent checker of slit plans: geometry and counts from the plan's own figures; no code of the search."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from bedwright.cutting.slits.plan import CutBar, Part, SlitPlan
from bedwright.errors import Fault


def audit(plan: SlitPlan) -> tuple[Fault, ...]:
    """All faults of a plan, none if it may be cut as written."""
    return (*_bars(plan), *_demand(plan), *_figures(plan))


def _bars(plan: SlitPlan) -> Iterator[Fault]:
    lengths = {bar.key: bar.length for bar in plan.problem.stock}
    for number, bar in enumerate(plan.bars, 1):
        place = f"bar {number} of {bar.stock}"
        if bar.stock not in lengths:
            yield Fault("no such stock", card=place, field="stock", value=bar.stock)
            continue
        yield from _inside(plan, bar, lengths[bar.stock], place)
    taken = Counter(bar.stock for bar in plan.bars)
    for stock in plan.problem.stock:
        if stock.on_hand is not None and taken[stock.key] > stock.on_hand:
            yield Fault(f"{taken[stock.key]} taken, {stock.on_hand} on hand", card=stock.key, field="stock")


def _inside(plan: SlitPlan, bar: CutBar, length: int, place: str) -> Iterator[Fault]:
    edge = plan.problem.head_trim
    for i, part in enumerate(sorted(bar.parts, key=lambda p: p.start)):
        if part.length <= 0:
            yield Fault("a part without length", card=place, field=part.piece)
        if part.start < edge:
            says = "in the head trim" if i == 0 else "overlaps its neighbour or leaves no room for the blade"
            yield Fault(f"{part.piece} {says}", card=place, field="start", value=str(part.start))
        edge = part.start + part.length + plan.problem.kerf
        if part.start + part.length > length - plan.problem.tail_trim:
            yield Fault(f"{part.piece} runs past the end", card=place, field="start", value=str(part.start))


def _demand(plan: SlitPlan) -> Iterator[Fault]:
    wanted = {p.key: p for p in plan.problem.pieces}
    copies: dict[str, dict[int, list[Part]]] = defaultdict(lambda: defaultdict(list))
    for bar in plan.bars:
        for part in bar.parts:
            copies[part.piece][part.copy].append(part)
    for key in sorted(set(copies) - set(wanted)):
        yield Fault("nobody asked for it", card=f"strip {key}")
    short = Counter[str]()
    for row in plan.short:
        short[row.piece] += row.count
        if row.count <= 0 or row.piece not in wanted:
            yield Fault("a shortage that cannot be", card=f"strip {row.piece}", value=str(row.count))
    for key, piece in wanted.items():
        done = len(copies[key])
        if done + short[key] != piece.count:
            yield Fault(f"{done} cut and {short[key]} short, {piece.count} wanted", card=f"strip {key}", field="count")
        for copy, parts in sorted(copies[key].items()):
            n = len(parts)
            place = f"strip {key} copy {copy}"
            if sorted((p.part, p.parts) for p in parts) != [(i, n) for i in range(1, n + 1)]:
                yield Fault("its parts do not make one strip", card=place, field="parts")
            if n - 1 > piece.joins:
                yield Fault(f"{n - 1} joins, {piece.joins} allowed", card=place, field="joins")
            total = sum(p.length for p in parts)
            if total != piece.length + (n - 1) * piece.join_allowance:
                yield Fault(f"{total} cut, {piece.length} wanted", card=place, field="length")
            if n > 1 and min(p.length for p in parts) < piece.least_part:
                yield Fault("a part is shorter than a join may leave", card=place, field="least_part")


def _figures(plan: SlitPlan) -> Iterator[Fault]:
    lengths = {bar.key: bar.length for bar in plan.problem.stock}
    used = sum(lengths.get(bar.stock, 0) for bar in plan.bars)
    if used != plan.proof.value:
        yield Fault(f"says {plan.proof.value}, takes {used}", card="plan", field="value")
    if plan.proof.bound > used:
        yield Fault("the bound is above the plan: one of them is wrong", card="plan", field="bound")
