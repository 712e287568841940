"""The question of a sheet: which rectangles, how many, from which sheets. Integers in tenths of a millimetre."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.cutting.plan import millimetres
from bedwright.errors import Fault, FaultsFound

FIRST_CUTS = ("either", "across", "along")


@dataclass(frozen=True, slots=True)
class Piece:
    """A rectangle that is wanted: along and across the sheet; may_turn: the material has no direction here."""

    key: str
    along: int
    across: int
    count: int
    may_turn: bool = False
    what: str = ""

    def ways(self) -> tuple[tuple[int, int, bool], ...]:
        """(along, across, turned) it may lie in."""
        as_typed = (self.along, self.across, False)
        if self.may_turn and self.along != self.across:
            return (as_typed, (self.across, self.along, True))
        return (as_typed,)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A stock sheet. on_hand None: as many as are needed may be bought."""

    key: str
    along: int
    across: int
    on_hand: int | None = None


@dataclass(frozen=True, slots=True)
class SheetProblem:
    """Rectangles from sheets of one material and thickness.

    kerf: lost at each cut; edge: unusable on all four sides; first_cut: "across" parts the sheet's length into bands,
    "along" parts its width, "either" leaves it to the plan. Raises FaultsFound, all gathered, naming piece and sheet.
    """

    name: str
    pieces: tuple[Piece, ...]
    stock: tuple[Sheet, ...]
    kerf: int = 0
    edge: int = 0
    first_cut: str = "either"

    def __post_init__(self) -> None:
        faults = tuple(_faults(self))
        if faults:
            raise FaultsFound(faults)

    def room(self, sheet: Sheet) -> tuple[int, int]:
        """Usable (along, across) of a sheet, plus one kerf each: a piece takes its size + kerf."""
        return sheet.along - 2 * self.edge + self.kerf, sheet.across - 2 * self.edge + self.kerf


def _faults(problem: SheetProblem) -> Iterator[Fault]:
    place = f"sheets {problem.name}"
    if not problem.stock:
        yield Fault("no sheet to cut from", "give at least one sheet", card=place, field="stock")
    if not problem.pieces:
        yield Fault("nothing to cut", "give at least one piece", card=place, field="pieces")
    for name in ("kerf", "edge"):
        if getattr(problem, name) < 0:
            yield Fault("below zero", "use 0 or more", str(getattr(problem, name)), card=place, field=name)
    if problem.first_cut not in FIRST_CUTS:
        yield Fault("not a first cut", "use across, along or either", problem.first_cut, card=place, field="first_cut")
    for field, keys in (("pieces", [p.key for p in problem.pieces]), ("stock", [s.key for s in problem.stock])):
        for twin in sorted({k for k in keys if keys.count(k) > 1}):
            yield Fault("the same key twice", "give each its own key", twin, card=place, field=field)
    for sheet in problem.stock:
        if min(problem.room(sheet)) - problem.kerf <= 0:
            yield Fault("the sheet is all edge", "give a larger sheet", sheet.key, card=place, field="stock")
        if sheet.on_hand is not None and sheet.on_hand < 0:
            yield Fault("below zero", "use 0 or more", str(sheet.on_hand), card=place, field=f"sheet {sheet.key}")
    for piece in problem.pieces:
        yield from _piece_faults(problem, piece, f"{place} piece {piece.key}")


def _piece_faults(problem: SheetProblem, piece: Piece, place: str) -> Iterator[Fault]:
    if piece.along <= 0 or piece.across <= 0:
        yield Fault("no size", "use sizes above 0", f"{piece.along} x {piece.across}", card=place, field="along")
        return
    if piece.count < 0:
        yield Fault("below zero", "use 0 or more", str(piece.count), card=place, field="count")
    rooms = [problem.room(sheet) for sheet in problem.stock]
    k = problem.kerf
    if rooms and not any(dx + k <= rx and dy + k <= ry for rx, ry in rooms for dx, dy, _ in piece.ways()):
        sheets = ", ".join(f"{s.key} {millimetres(s.along)} x {millimetres(s.across)}" for s in problem.stock)
        turn = "" if piece.may_turn else " and it may not turn"
        yield Fault(
            f"{millimetres(piece.along)} x {millimetres(piece.across)} mm fits no sheet ({sheets}, "
            f"edge {millimetres(problem.edge)}){turn}",
            "give a larger sheet",
            card=place,
            field="along",
        )
