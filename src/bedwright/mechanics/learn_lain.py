"""A pressure sheet beside what `lying()` says of the same person on the same bed: area, mean, peaks, shares along."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.lain import PARTS, Lain, Lying
from bedwright.mechanics.learn_sheet import SheetMap, middle_along, shares_along
from bedwright.mechanics.lying import CELLS, Lies, body_of, lying

Array = NDArray[np.float64]
LEAST_COVER = 0.85  # of the stature that a sheet must cover for its shares to mean anything


@dataclass(frozen=True, slots=True)
class Pair:
    """One quantity: measured and predicted, in `unit`; nothing says how sure either is."""

    what: str
    unit: str
    measured: float
    predicted: float

    @property
    def off(self) -> float:
        """Measured over predicted, less 1."""
        return self.measured / self.predicted - 1 if self.predicted else float("nan")


@dataclass(frozen=True, slots=True)
class SheetBeside:
    """A sheet beside its prediction: pairs; cell [mm] of the predicted map; moved [mm]: how far the sheet was slid
    along the bed so that both middles of force meet; predicted, and measured as if it were one, for drawings; notes."""

    map: SheetMap
    lain: Lain
    pairs: tuple[Pair, ...]
    cell: float
    moved: float
    predicted: Lying
    measured: Lying
    notes: tuple[str, ...]


def beside_lying(bed: BedAtSize, sheet: SheetMap, lies: Lies, *, face: str = "A", base: Base = SOLID) -> SheetBeside:
    """Set a frame beside its prediction: the same person, posture and threshold, cells of the same area as the sheet's.

    Where along the bed the sheet lay is not known: it is slid until both middles of force meet, and cut where the
    person's parts are cut. Raises FaultsFound for a sheet of another posture, and as `lying` does.
    """
    if sheet.posture and sheet.posture != lies.posture:
        says = f"the frame is of a person {sheet.posture}, and {lies.posture} was asked"
        raise FaultsFound([Fault(says=says, remedy="say --posture as the frame was read")])
    cell = float(np.clip(np.sqrt(sheet.pitch[0] * sheet.pitch[1]), *CELLS))
    answer = lying(bed, [lies], face=face, base=base, cell=cell)
    lain = answer.persons[0]
    body = body_of(lies, bed.length)
    along: Array = (np.arange(sheet.pressure.shape[0], dtype=np.float64) + 0.5) * sheet.pitch[0]
    moved = middle_along(answer.pressure, answer.y) - middle_along(sheet.pressure, along)
    measured = shares_along(sheet.pressure, np.asarray(along + moved), np.array(body.bounds, dtype=np.float64))
    pairs = [
        Pair("touched area", "m2", sheet.area, lain.contact_area),
        Pair("mean pressure", "kPa", sheet.mean, lain.mean),
        Pair("P95", "kPa", sheet.p95, lain.p95),
        Pair("P99", "kPa", sheet.p99, lain.p99),
        Pair("P99 over mean", "", sheet.p99 / sheet.mean, lain.p99 / lain.mean),
        *(Pair(f"share of {part}", "", measured[part], lain.share[part]) for part in PARTS),
    ]
    as_lain = _as_lain(sheet, answer, lain, measured, along + moved)
    return SheetBeside(sheet, lain, tuple(pairs), cell, float(moved), answer, as_lain, _notes(sheet, lies, cell))


def _as_lain(sheet: SheetMap, answer: Lying, lain: Lain, share: dict[str, float], along: Array) -> Lying:
    """The measured map in the place of the predicted one, both middles of force together across the bed too."""
    columns: Array = (np.arange(sheet.pressure.shape[1], dtype=np.float64) + 0.5) * sheet.pitch[1]
    middles = [float(p.sum(axis=0) @ x / p.sum()) for p, x in ((answer.pressure, answer.x), (sheet.pressure, columns))]
    one = replace(
        lain, called=f"measured: {lain.called}", contact_area=sheet.area, mean=sheet.mean, p95=sheet.p95,
        p99=sheet.p99, share=share, outline=(),
    )  # fmt: skip
    side = float(np.sqrt(sheet.pitch[0] * sheet.pitch[1]))
    return replace(
        answer, persons=(one,), x=columns + middles[0] - middles[1], y=along, cell=side, pressure=sheet.pressure,
        slices=(), model="a pressure sheet, rescaled to the weight", notes=(sheet.words,),
    )  # fmt: skip


def _notes(sheet: SheetMap, lies: Lies, cell: float) -> tuple[str, ...]:
    notes = [sheet.words]
    long = sheet.pressure.shape[0] * sheet.pitch[0]
    if long < LEAST_COVER * lies.person.stature:
        notes.append(
            f"the sheet is {long:.0f} mm long: a part of the body lies off it, and yet the whole weight was laid on it"
        )
    side = float(np.sqrt(sheet.pitch[0] * sheet.pitch[1]))
    if abs(side - cell) > 0.5:
        notes.append(
            f"the sheet's cells are {side:.0f} mm wide and the prediction's {cell:.0f}: peaks compare less well"
        )
    notes.append(
        "a sheet rounds peaks off, bridges hollows and is itself a layer; nothing is fitted to it. Comparison of beds"
        " only: no medical claim"
    )
    return tuple(notes)
