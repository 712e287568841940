"""What a fit would have the cards say: which card, which field, from what to what, and how sure. Nothing is changed.

Proposed is only what a card has a field for, what the readings told (its interval is narrowed to seven tenths or less),
what they told of it alone (not only together with others), and what differs from the card: an empty field, or a figure
outside the new interval.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bedwright import typed
from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.learn_known import Spread
from bedwright.works.materials import Filling

NARROWED = 0.7  # of the spread before


@dataclass(frozen=True, slots=True)
class Proposal:
    """A field of a card: what stands there (None: nothing), what is proposed with its 90 of 100, in `unit`.

    kind, code: the card; row: position of a nested row, 0 for a field of the card itself; why: what was learned.
    """

    kind: str
    code: str
    sheet: str
    row: int
    field: str
    old: float | None
    new: float
    low: float
    high: float
    unit: str
    why: str

    @property
    def words(self) -> str:
        """The proposal in a sentence."""
        half = (self.high - self.low) / 2
        place = f"{self.kind} {self.code}, {self.field}" + (f" of row {self.row} of {self.sheet}" if self.row else "")
        old = "empty" if self.old is None else typed.show(self.old, 4)
        new, low, high = (typed.show(value, 4, interval=half) for value in (self.new, self.low, self.high))
        return f"{place}: {old} -> {new} {self.unit} ({low} to {high}); {self.why}".replace("  ", " ")


@dataclass(frozen=True, slots=True)
class Told:
    """What revision needs of a figure: its name, home on a card, what is there, after and how much narrower."""

    name: str
    card: str
    field: str
    unit: str
    old: float | None
    after: Spread
    narrowed: float
    alone: bool


def proposals(bed: BedAtSize, found: Sequence[Told]) -> tuple[Proposal, ...]:
    """The proposals of a fit, in the order of its figures."""
    told: list[Proposal] = []
    for one in found:
        if not one.card or not one.alone or one.narrowed > NARROWED:
            continue
        if one.old is not None and one.after.low <= one.old <= one.after.high:
            continue
        why = f"{one.name}: {typed.show(100 * one.narrowed, 2)} % of its interval is left"
        if one.field == "stress":
            told += _filling(bed, one, why)
        else:
            told += _field(bed, one, why)
    return tuple(told)


def _field(bed: BedAtSize, one: Told, why: str) -> list[Proposal]:
    homes = {
        "lacing_tie": ("unit", bed.unit.card.code, "units"),
        "ring_bending": ("unit", bed.unit.card.code, "units"),
        "glue_tie": ("unit", bed.unit.card.code, "units"),
        "panel_tension": ("bed", bed.bed.code, "beds"),
        "standing_stiffness": ("border", bed.border.card.code, "borders"),
    }
    if one.field not in homes:
        return []
    kind, code, sheet = homes[one.field]
    new = one.after
    return [
        Proposal(kind, code, sheet, 0, one.field, one.old, new.value, new.low, new.high, one.unit, why)
    ]  # fmt: skip


def _filling(bed: BedAtSize, one: Told, why: str) -> list[Proposal]:
    """Every figure of firmness of a filling's card, times what was learned."""
    code = one.card.split(" ", 1)[1]
    card = next((part for part in _parts(bed) if part.code == code), None)
    if card is None:
        return []
    by = one.after

    def row(sheet: str, position: int, field: str, old: float, unit: str) -> Proposal:
        return Proposal(
            "filling", code, sheet, position, field, old, old * by.value, old * by.low, old * by.high, unit, why
        )

    if card.points:
        return [row("filling_points", point.position, "stress", point.stress, "kPa") for point in card.points]
    if card.hardness_40 is not None:
        return [row("fillings", 0, "hardness_40", card.hardness_40, "kPa")]
    names = ("indentation_25", "indentation_40", "indentation_65")
    return [row("fillings", 0, name, old, "N") for name in names if (old := getattr(card, name)) is not None]


def _parts(bed: BedAtSize) -> list[Filling]:
    found = [layer.part for layer in bed.layers if isinstance(layer.part, Filling)]
    found += [ply for panel in bed.panels for ply in panel.plies if isinstance(ply, Filling)]
    if bed.edge is not None and bed.edge.rail is not None:
        found.append(bed.edge.rail)
    return found
