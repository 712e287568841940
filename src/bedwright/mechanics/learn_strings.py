"""String and ruler: how far a lying person's shoulder, waist and hip sink [mm], read from a CSV and laid to a fit.

A string is drawn over the bed between two blocks that stand as high as the untouched face; what is read is how far the
face has gone down under each part. Each row is one person lying once. A reading is off by the ruler, and a prediction
by how much a body may differ from the regression of its breadths: half of its published scatter (book `ansur-2`),
nothing where the person's own measure is given. Both are laid to each reading; the string's own height, and what is not
known of soft tissue and of the lower shoulder (learn_sunk), to all of them together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bedwright import typed
from bedwright.errors import Fault, FaultsFound, NotUnderstood
from bedwright.mechanics.learn_csv import Cells, cells_of, heading_words, refused
from bedwright.mechanics.lying import Lies
from bedwright.mechanics.person import Person, person

Array = NDArray[np.float64]
PARTS = ("shoulder", "waist", "hip")
SINKS = (-50.0, 400.0)  # [mm]
RULER = 5.0  # [mm] one standard deviation of a reading, and of the string: plausible, not measured
MOST_RULER = 50.0  # [mm]
MOST_ROWS = 12
_BREADTHS = {
    "side": {"shoulder": "bideltoid_breadth", "waist": "waist_breadth", "hip": "hip_breadth"},
    "supine": {"shoulder": "chest_depth", "waist": "waist_depth", "hip": "buttock_depth"},
}


@dataclass(frozen=True, slots=True)
class StringReadings:
    """One person lying, once or times over: sink [mm] by part, of those that were read, the mean of all times."""

    lies: Lies
    sink: tuple[tuple[str, float], ...]
    called: str = ""
    times: int = 1

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts that were read."""
        return tuple(part for part, _ in self.sink)


def read_strings(file: Path) -> tuple[StringReadings, ...]:
    """Every row of a file. Raises NotReadable for a file that is no CSV, FaultsFound naming the rows."""
    return strings(cells_of(file))


def strings(cells: Cells) -> tuple[StringReadings, ...]:
    """Every row: a heading with person, posture, shoulder, waist and hip, in any order. Raises FaultsFound."""
    if not cells.rows:
        raise FaultsFound([Fault(says="nothing is in the file", remedy="give person, posture, shoulder, waist, hip")])
    words = heading_words(cells.rows[0][1])
    missing = [name for name in ("person", "posture") if name not in words]
    if missing or not set(PARTS) & set(words):
        lacks = ", ".join(missing or ["shoulder, waist or hip"])
        remedy = "head the columns person;posture;shoulder;waist;hip"
        raise FaultsFound([Fault(says=f"the heading lacks {lacks}", remedy=remedy, value=cells.echo(cells.rows[0][1]))])
    at = {name: words.index(name) for name in ("person", "posture", *PARTS) if name in words}
    faults: list[Fault] = []
    rows = [_row(cells, at, number, row, faults) for number, row in cells.rows[1:]]
    if len(rows) > MOST_ROWS:
        faults.append(Fault(says=f"{len(rows)} rows", remedy=f"give {MOST_ROWS} or fewer of one bed"))
    if not rows:
        faults.append(Fault(says="no row below the heading", remedy="give one row for each person lying once"))
    if faults:
        raise refused(faults)
    return tuple(row for row in rows if row is not None)


def together(rows: Sequence[StringReadings]) -> tuple[StringReadings, ...]:
    """Rows of one person in one posture with the same parts as one, their means: repeats read the same body anew."""
    found: dict[tuple[Lies, tuple[str, ...]], list[StringReadings]] = {}
    for row in rows:
        found.setdefault((row.lies, row.parts), []).append(row)
    told = []
    for (lies, parts), same in found.items():
        times = sum(row.times for row in same)
        sinks = [sum(dict(row.sink)[part] * row.times for row in same) / times for part in parts]
        told.append(StringReadings(lies, tuple(zip(parts, sinks, strict=True)), same[0].called, times))
    return tuple(told)


def _row(
    cells: Cells, at: dict[str, int], number: int, row: tuple[str, ...], faults: list[Fault]
) -> StringReadings | None:
    before = len(faults)

    def said(name: str) -> str:
        return row[at[name]] if name in at and at[name] < len(row) else ""

    who: Person | None = None
    try:
        who = person(said("person"))
    except NotUnderstood as error:
        faults.append(Fault(says=f"row {number}, person: {error.fault.says}", remedy=error.fault.remedy))
    except FaultsFound as error:
        faults += [Fault(says=f"row {number}, person: {fault.says}", remedy=fault.remedy) for fault in error.faults]
    posture = said("posture").lower()
    if posture not in ("supine", "side"):
        faults.append(Fault(says=f"row {number} names no posture", remedy="write supine or side", value=posture[:20]))
    found = []
    for part in PARTS:
        if not said(part):
            continue
        try:
            sink = cells.number(said(part))
        except NotUnderstood as error:
            faults.append(Fault(says=f"row {number}, {part}: {error.fault.says}", remedy=error.fault.remedy))
            continue
        if not SINKS[0] <= sink <= SINKS[1]:
            says = f"row {number}: {part} sinks {sink:g} mm, outside {SINKS[0]:g} to {SINKS[1]:g} mm"
            faults.append(Fault(says=says, remedy="give how far the face went down under it, in mm"))
        found.append((part, sink))
    if not found and len(faults) == before:
        faults.append(Fault(says=f"row {number} has no sink", remedy="give shoulder, waist or hip in mm"))
    if len(faults) > before or who is None:
        return None
    return StringReadings(Lies(who, "side" if posture == "side" else "supine"), tuple(found), said("person"))


def ruler(text: str) -> float:
    """Typed reading error of a sink [mm], one standard deviation. Raises NotUnderstood."""
    found = typed.length_mm(text, bare="mm")
    if not 0 < found <= MOST_RULER:
        raise NotUnderstood(text[:60], f"is not above 0, up to {MOST_RULER:g} mm", "give one standard deviation, in mm")
    return found


@dataclass(frozen=True, slots=True)
class SinkNoise:
    """Covariance of a person's sinks: ruler [mm] of each reading and of the string; body [mm] of each part; common
    [mm]: what moves all parts together, each way one standard deviation (learn_sunk)."""

    ruler: float
    body: tuple[float, ...]
    how: str = "plausible, not measured"
    common: tuple[tuple[float, ...], ...] = ()

    def spread(self, sink: Array, slope: Array) -> Array:
        """Covariance [mm2], (parts, parts); sink and slope do not matter."""
        own = self.ruler**2 + np.asarray(self.body, dtype=np.float64) ** 2
        together = sum((np.outer(one, one) for one in self.common), np.zeros((len(own), len(own))))
        return np.asarray(np.diag(own) + self.ruler**2 + together, dtype=np.float64)


def sink_noise(
    readings: StringReadings, common: tuple[tuple[float, ...], ...] = (), ruler: float | None = None
) -> SinkNoise:
    """The noise of one person's readings; ruler [mm]: as given, else plausible, less where it was read times over."""
    how = "plausible, not measured" if ruler is None else "as given"
    body = tuple(body_scatter(readings.lies, readings.parts))
    return SinkNoise((RULER if ruler is None else ruler) / float(np.sqrt(readings.times)), body, how, common)


def body_scatter(lies: Lies, parts: Sequence[str]) -> list[float]:
    """Half of the scatter of the breadths [mm] that lie on the bed, nothing where the person's own is given."""
    return [lies.person.scatter(_BREADTHS[lies.posture][part]) / 2 for part in parts]
