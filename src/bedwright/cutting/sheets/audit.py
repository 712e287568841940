"""An independent checker of sheet plans: from the pieces' coordinates alone, sharing no code with the search."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from bedwright.cutting.sheets.plan import CutSheet, Placed, SheetPlan
from bedwright.errors import Fault


def audit(plan: SheetPlan) -> tuple[Fault, ...]:
    """All faults of a plan, none if it may be cut as written."""
    return (*_sheets(plan), *_demand(plan), *_figures(plan))


def _sheets(plan: SheetPlan) -> Iterator[Fault]:
    sizes = {sheet.key: sheet for sheet in plan.problem.stock}
    for number, sheet in enumerate(plan.sheets, 1):
        place = f"sheet {number} of {sheet.stock}"
        if sheet.stock not in sizes:
            yield Fault("no such sheet", card=place, value=sheet.stock)
            continue
        if sheet.first_cut not in ("across", "along"):
            yield Fault("no such first cut", card=place, value=sheet.first_cut)
            continue
        if plan.problem.first_cut not in ("either", sheet.first_cut):
            yield Fault(f"first cut {sheet.first_cut}, {plan.problem.first_cut} asked", card=place, field="first_cut")
        stock, edge = sizes[sheet.stock], plan.problem.edge
        pieces = [p for band in sheet.bands for p in band.pieces]
        for p in pieces:
            inside = edge <= p.x and edge <= p.y
            if not inside or p.x + p.along > stock.along - edge or p.y + p.across > stock.across - edge:
                yield Fault(f"{p.piece} lies in the edge or off the sheet", card=place, value=f"{p.x}, {p.y}")
        yield from _two_cuts(sheet, pieces, plan.problem.kerf, place)
    for key, times in sorted(Counter(sheet.stock for sheet in plan.sheets).items()):
        on_hand = sizes[key].on_hand if key in sizes else None
        if on_hand is not None and times > on_hand:
            yield Fault(f"{times} taken, {on_hand} on hand", card=f"sheet {key}", field="on_hand")


def _two_cuts(sheet: CutSheet, pieces: list[Placed], kerf: int, place: str) -> Iterator[Fault]:
    """Bands are found again by sweeping: pieces whose spans on the parted side come nearer than the blade are one
    band; within it they must follow each other with the blade between."""
    parted = sheet.first_cut == "across"
    spans = sorted(
        ((p.x, p.x + p.along, p) if parted else (p.y, p.y + p.across, p) for p in pieces), key=lambda s: (s[0], s[1])
    )
    bands: list[list[Placed]] = []
    end = 0
    for start, stop, piece in spans:
        if not bands or start >= end + kerf:
            bands.append([])
            end = stop
        bands[-1].append(piece)
        end = max(end, stop)
    for band in bands:
        runs = sorted(
            ((p.y, p.y + p.across, p) if parted else (p.x, p.x + p.along, p) for p in band), key=lambda s: (s[0], s[1])
        )
        for (_, stop, left), (start, _, right) in pairwise(runs):
            if start < stop + kerf:
                yield Fault(
                    f"{left.piece} and {right.piece} overlap, or two cuts cannot part them with the blade between",
                    card=place,
                    value=f"{right.x}, {right.y}",
                )


# Its like in cutting/lays is not shared: two checkers that fail apart find more than one that fails for both.
def _demand(plan: SheetPlan) -> Iterator[Fault]:
    wanted = {p.key: p for p in plan.problem.pieces}
    placed = [p for sheet in plan.sheets for band in sheet.bands for p in band.pieces]
    copies = Counter((p.piece, p.copy) for p in placed)
    for (key, copy), times in sorted(copies.items()):
        if key not in wanted:
            yield Fault("nobody asked for it", card=f"piece {key}")
        elif times > 1 or not 1 <= copy <= wanted[key].count:
            yield Fault("cut twice, or more than wanted", card=f"piece {key} copy {copy}", field="count")
    short = Counter[str]()
    for row in plan.short:
        short[row.piece] += row.count
        if row.count <= 0 or row.piece not in wanted:
            yield Fault("a shortage that cannot be", card=f"piece {row.piece}", value=str(row.count))
    done = Counter(p.piece for p in placed)
    for key, piece in wanted.items():
        if done[key] + short[key] != piece.count:
            says = f"{done[key]} cut and {short[key]} short, {piece.count} wanted"
            yield Fault(says, card=f"piece {key}", field="count")
    for p in placed:
        if p.piece not in wanted:
            continue
        piece = wanted[p.piece]
        size = (piece.across, piece.along) if p.turned else (piece.along, piece.across)
        if (p.along, p.across) != size:
            yield Fault("not the size that is wanted", card=f"piece {p.piece}", value=f"{p.along} x {p.across}")
        if p.turned and not piece.may_turn:
            yield Fault("turned against its direction", card=f"piece {p.piece}", field="may_turn")


def _figures(plan: SheetPlan) -> Iterator[Fault]:
    areas = {sheet.key: sheet.along * sheet.across for sheet in plan.problem.stock}
    used = sum(areas.get(sheet.stock, 0) for sheet in plan.sheets)
    if used != plan.proof.value:
        yield Fault(f"says {plan.proof.value}, takes {used}", card="plan", field="value")
    if plan.proof.bound > used or plan.sheets_bound > len(plan.sheets):
        yield Fault("the bound is above the plan: one of them is wrong", card="plan", field="bound")
