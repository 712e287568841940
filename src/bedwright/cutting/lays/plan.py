"""The answer to a lay: rows of panels by shade lot, metres of roll, what stays short, and how good that is."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.cutting.lays.problem import LayProblem
from bedwright.cutting.plan import Proof, Short


@dataclass(frozen=True, slots=True)
class LaidPanel:
    """A panel in the lay: x along the roll from the lot's first row, y from the usable edge, size as it lies."""

    panel: str
    copy: int
    x: int
    y: int
    along: int
    across: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Row:
    """Panels side by side: where the row starts and how much roll it takes, gap and repeat included."""

    start: int
    pitch: int
    panels: tuple[LaidPanel, ...]


@dataclass(frozen=True, slots=True)
class Lay:
    """The rows that one shade lot gives, and its quilted length with ends [tenths of a millimetre]."""

    lot: str
    rows: tuple[Row, ...]
    length: int


@dataclass(frozen=True, slots=True)
class LayPlan:
    """A cut plan. proof.value and proof.bound: tenths of a millimetre of quilted roll, ends included."""

    problem: LayProblem
    lays: tuple[Lay, ...]
    short: tuple[Short, ...]
    proof: Proof

    @property
    def length(self) -> int:
        """Quilted roll in all [tenths of a millimetre]."""
        return self.proof.value

    @property
    def fed_length(self) -> int | None:
        """Ticking fed, take-up added, rounded up [tenths of a millimetre]; None while the take-up is not known."""
        if self.problem.take_up is None:
            return None
        return -(-self.proof.value * (1000 + self.problem.take_up) // 1000)

    @property
    def yield_percent(self) -> float:
        """Panel area over quilted length times usable width."""
        cut = sum(p.along * p.across for lay in self.lays for row in lay.rows for p in row.panels)
        taken = self.proof.value * self.problem.usable_width
        return 100.0 * cut / taken if taken else 100.0

    def ply_yields(self) -> dict[str, float]:
        """Panel area over quilted length times the whole width of each ply [%]: wider plies waste more."""
        cut = sum(p.along * p.across for lay in self.lays for row in lay.rows for p in row.panels)
        if not self.proof.value:
            return {ply.key: 100.0 for ply in self.problem.plies}
        return {ply.key: 100.0 * cut / (self.proof.value * ply.width) for ply in self.problem.plies}
