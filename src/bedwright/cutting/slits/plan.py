"""The answer to a slit: every bar with its parts, what stays short, and how good that is."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from bedwright.cutting.plan import Proof, Short
from bedwright.cutting.slits.problem import SlitProblem


@dataclass(frozen=True, slots=True)
class Part:
    """A cut: which strip, which copy of it (1-based), part of how many (1 of 1 where not joined), start and length."""

    piece: str
    copy: int
    part: int
    parts: int
    start: int
    length: int


@dataclass(frozen=True, slots=True)
class CutBar:
    """One bar and its parts, from its head."""

    stock: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class SlitPlan:
    """A cut plan. proof.value and proof.bound: tenths of a millimetre of stock, trims and waste included.

    The bound holds for the strips that are cut; where stock ran out, `short` names the rest.
    """

    problem: SlitProblem
    bars: tuple[CutBar, ...]
    short: tuple[Short, ...]
    proof: Proof
    bars_bound: int

    @property
    def yield_percent(self) -> float:
        """Length that ends in strips (joins included) over length of the bars taken."""
        cut = sum(part.length for bar in self.bars for part in bar.parts)
        return 100.0 * cut / self.proof.value if self.proof.value else 100.0

    @property
    def bars_used(self) -> dict[str, int]:
        """Bars taken of each stock, sorted by key."""
        return dict(sorted(Counter(bar.stock for bar in self.bars).items()))

    @property
    def joins(self) -> int:
        return sum(1 for bar in self.bars for part in bar.parts if part.part > 1)

    def patterns(self) -> tuple[tuple[str, tuple[tuple[str, int, int], ...], int], ...]:
        """Bars that are cut alike: (stock, ((strip, length, how many), ...) as they lie, bars), in cutting order."""
        seen: dict[tuple[str, tuple[tuple[str, int, int], ...]], int] = {}
        for bar in self.bars:
            runs: list[tuple[str, int, int]] = []
            for part in bar.parts:
                if runs and runs[-1][:2] == (part.piece, part.length):
                    runs[-1] = (part.piece, part.length, runs[-1][2] + 1)
                else:
                    runs.append((part.piece, part.length, 1))
            seen[bar.stock, tuple(runs)] = seen.get((bar.stock, tuple(runs)), 0) + 1
        return tuple((stock, runs, times) for (stock, runs), times in seen.items())
