"""The question of a slit: which lengths, how many, from which stock. Integers in tenths of a millimetre."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.cutting.plan import millimetres
from bedwright.errors import Fault, FaultsFound


@dataclass(frozen=True, slots=True)
class Strip:
    """A length that is wanted.

    length and count; what: words for people (which bed, which part); joins: most joins one strip may have, each taking
    join_allowance more; least_part: shortest part a join may leave.
    """

    key: str
    length: int
    count: int
    what: str = ""
    joins: int = 0
    join_allowance: int = 0
    least_part: int = 0


@dataclass(frozen=True, slots=True)
class Bar:
    """A stock length (bar, coil, reel, roll width). on_hand None: as many as are needed may be bought."""

    key: str
    length: int
    on_hand: int | None = None


@dataclass(frozen=True, slots=True)
class SlitProblem:
    """Strips from bars. kerf: lost at each cut between neighbours; head_trim, tail_trim: unusable ends of a bar.

    Raises FaultsFound, all faults gathered, naming strip and stock where a strip fits no bar.
    """

    name: str
    pieces: tuple[Strip, ...]
    stock: tuple[Bar, ...]
    kerf: int = 0
    head_trim: int = 0
    tail_trim: int = 0

    def __post_init__(self) -> None:
        faults = tuple(_faults(self))
        if faults:
            raise FaultsFound(faults)

    def room(self, bar: Bar) -> int:
        """Usable length of a bar, plus one kerf: a strip takes length + kerf of it, the last cut being free."""
        return bar.length - self.head_trim - self.tail_trim + self.kerf


def _faults(problem: SlitProblem) -> Iterator[Fault]:
    place = f"slit {problem.name}"
    if not problem.stock:
        yield Fault("no stock to cut from", "give at least one stock length", card=place, field="stock")
    if not problem.pieces:
        yield Fault("nothing to cut", "give at least one strip", card=place, field="pieces")
    for name in ("kerf", "head_trim", "tail_trim"):
        if getattr(problem, name) < 0:
            yield Fault("below zero", "use 0 or more", str(getattr(problem, name)), card=place, field=name)
    for twin in sorted({p.key for p in problem.pieces if sum(q.key == p.key for q in problem.pieces) > 1}):
        yield Fault("the same key twice", "give every strip its own key", twin, card=place, field="pieces")
    for twin in sorted({b.key for b in problem.stock if sum(q.key == b.key for q in problem.stock) > 1}):
        yield Fault("the same key twice", "give every stock its own key", twin, card=place, field="stock")
    for bar in problem.stock:
        if problem.room(bar) - problem.kerf <= 0:
            yield Fault(f"stock {bar.key} of {millimetres(bar.length)} mm is all trim", "", card=place, field="stock")
        if bar.on_hand is not None and bar.on_hand < 0:
            yield Fault("below zero", "use 0 or more", str(bar.on_hand), card=place, field=f"stock {bar.key}")
    for piece in problem.pieces:
        yield from _piece_faults(problem, piece, f"{place} strip {piece.key}")


def _piece_faults(problem: SlitProblem, piece: Strip, place: str) -> Iterator[Fault]:
    if piece.length <= 0:
        yield Fault("no length", "use a length above 0", millimetres(piece.length), card=place, field="length")
        return
    if piece.count < 0:
        yield Fault("below zero", "use 0 or more", str(piece.count), card=place, field="count")
    if piece.joins < 0 or piece.join_allowance < 0 or piece.least_part < 0:
        yield Fault("a join figure is below zero", "use 0 or more", card=place, field="joins")
        return
    if not problem.stock:
        return
    longest = max(problem.stock, key=lambda bar: bar.length)
    usable = problem.room(longest) - problem.kerf
    parts = piece.joins + 1
    fits_whole = piece.length <= usable
    fits_joined = (
        any(
            piece.length + (n - 1) * piece.join_allowance <= n * usable
            and piece.length + (n - 1) * piece.join_allowance >= n * piece.least_part
            for n in range(2, parts + 1)
        )
        and piece.least_part <= usable
    )
    if not fits_whole and not fits_joined:
        yield Fault(
            f"{millimetres(piece.length)} mm fits no stock: the longest, {longest.key}, has "
            f"{millimetres(usable)} mm between its trims and {piece.joins} joins are allowed",
            "give longer stock or allow joins",
            card=place,
            field="length",
        )
