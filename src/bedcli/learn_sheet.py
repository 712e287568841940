"""`bedwright learn WORKS BED FILE --kind sheet`: a pressure sheet beside what is predicted of the same person."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bedcli.bed_asked import kept
from bedcli.learn_files import write_drawing
from bedcli.pad_plain import six_figures
from bedwright import __version__, typed
from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import Fault, FaultsFound, NotUnderstood
from bedwright.mechanics.base import Base
from bedwright.mechanics.lain import CAUTION, THRESHOLD
from bedwright.mechanics.learn_lain import Pair, SheetBeside, beside_lying
from bedwright.mechanics.learn_sheet import PressureSheet, Unit, linearity, sheet_map
from bedwright.mechanics.lying import Lies
from bedwright.mechanics.person import Person, person
from bedwright.mechanics.posture import Posture
from bedwright.papers.drawings.pressure_map import pressure_map
from bedwright.papers.figures import file_stem

UNITS: dict[str, Unit] = {"kpa": "kPa", "mmhg": "mmHg", "raw": "raw"}
POSTURES: dict[str, Posture] = {"supine": "supine", "side": "side"}
WIDE = 118


@dataclass(frozen=True, slots=True)
class SheetWords:
    """What was typed of a sheet, None where it was left out."""

    person: str | None
    posture: str | None
    pitch: str | None
    unit: str | None
    zero: str


@dataclass(frozen=True, slots=True)
class Laid:
    """A sheet's facts as understood: who lay, in which posture where the file does not say, pitch [mm] along the bed
    and across it, unit, what an untouched cell reads."""

    who: Person
    posture: Posture
    pitch: tuple[float, float]
    unit: Unit
    zero: float


@dataclass(frozen=True, slots=True)
class SheetAsked:
    """A bed, a file of frames, and each frame beside its prediction."""

    works: str
    bed: BedAtSize
    file: str
    unit: Unit
    frames: tuple[SheetBeside, ...]
    linear: str
    seconds: float


def laid(words: SheetWords, faults: list[Fault]) -> Laid | None:
    """What was typed of a sheet, or None with the faults kept."""
    before = len(faults)
    who = None
    if words.person is None:
        remedy = 'say who lay on it, as --person "man 1755 mm 80 kg"'
        faults.append(Fault(says="is missing", remedy=remedy, field="--person"))
    else:
        who = kept(lambda: person(words.person or ""), "--person", faults)
    posture = POSTURES.get((words.posture or "supine").strip().lower())
    if posture is None:
        says = "is no posture known here"
        faults.append(
            Fault(says=says, remedy="write supine or side", value=(words.posture or "")[:60], field="--posture")
        )
    pitch = kept(lambda: _pitch(words.pitch), "--pitch", faults)
    unit = UNITS.get((words.unit or "").strip().lower())
    if unit is None:
        says = "is no unit of a sheet" if words.unit else "is missing"
        remedy = "write kPa, mmHg or raw (counts)"
        faults.append(Fault(says=says, remedy=remedy, value=(words.unit or "")[:60], field="--unit"))
    zero = kept(lambda: typed.number(words.zero), "--zero", faults)
    if len(faults) > before or who is None or posture is None or pitch is None or unit is None or zero is None:
        return None
    return Laid(who, posture, pitch, unit, zero)


def _pitch(text: str | None) -> tuple[float, float]:
    how = 'write along the bed x across it, as "30 x 23.8 mm", or one length for both'
    if text is None:
        raise FaultsFound([Fault(says="is missing", remedy=how)])
    parts = [part.strip() for part in text.lower().replace("×", "x").split("x")]
    if len(parts) > 2 or not all(parts):
        raise NotUnderstood(text[:60], "is no pitch", how)
    first, last = (typed.length_mm(part, bare="mm") for part in (parts[0], parts[-1]))
    return first, last


def sheets_beside(
    bed: BedAtSize, frames: tuple[PressureSheet, ...], how: Laid, face: str, base: Base
) -> tuple[tuple[SheetBeside, ...], str]:
    """Every frame beside its prediction, and what they say of the sheet's own line."""
    maps = tuple(sheet_map(one, how.pitch, how.unit, how.who.mass, how.zero) for one in frames)
    found = tuple(
        beside_lying(bed, one, Lies(how.who, POSTURES[one.posture or how.posture]), face=face, base=base)
        for one in maps
    )  # fmt: skip
    return found, linearity(maps)


def sheet_names(bed: BedAtSize, frames: tuple[PressureSheet, ...]) -> list[tuple[str, str]]:
    """File names of the drawings of each frame, measured and predicted."""
    stem = file_stem(bed.bed.code, bed.size.code)
    ends = [f"{stem}_{number}.svg" if len(frames) > 1 else f"{stem}.svg" for number in range(1, len(frames) + 1)]
    return [(f"sheet-measured_{end}", f"sheet-predicted_{end}") for end in ends]


def draw_sheets(frames: tuple[SheetBeside, ...], names: list[tuple[str, str]], folder: Path) -> list[str]:
    """Write both maps of every frame, in the same steps; their paths."""
    return [
        write_drawing(folder, name, pressure_map(lain, 112.0))
        for one, pair in zip(frames, names, strict=True)
        for lain, name in zip((one.measured, one.predicted), pair, strict=True)
    ]


def sheet_json(asked: SheetAsked) -> dict[str, Any]:
    """Everything as plain data, floats with six figures."""
    told = {
        "bed": asked.bed.bed.code,
        "caution": CAUTION,
        "file": asked.file,
        "frames": [_frame(one) for one in asked.frames],
        "kind": "sheet",
        "linearity": asked.linear,
        "seconds": asked.seconds,
        "size": asked.bed.size.code,
        "threshold_kpa": THRESHOLD,
        "unit": asked.unit,
        "version": __version__,
        "works": asked.works,
        "works_revision": asked.bed.works_revision,
    }
    rounded = six_figures(told)
    assert isinstance(rounded, dict)
    return rounded


def _frame(one: SheetBeside) -> dict[str, Any]:
    sheet = one.map
    return {
        "cell_mm": one.cell,
        "cleared_share": sheet.cleared,
        "kpa_of_one": sheet.factor,
        "moved_mm": one.moved,
        "notes": list(one.notes),
        "pairs": [
            {"measured": two.measured, "off": two.off, "predicted": two.predicted, "unit": two.unit, "what": two.what}
            for two in one.pairs
        ],
        "person": one.lain.called,
        "pitch_mm": list(sheet.pitch),
        "posture": one.lain.posture,
        "read_over_weight": sheet.read,
        "rows_columns": list(sheet.pressure.shape),
        "saturated": sheet.saturated,
        "spikes": sheet.spikes,
    }  # fmt: skip


def sheet_text(asked: SheetAsked) -> str:
    """The sheet for people."""
    bed = asked.bed
    lines = [f"{'bed':<14}{bed.bed.code} {bed.bed.name}, size {bed.size.code}, works revision {bed.works_revision}"]
    for one in asked.frames:
        rows, columns = one.map.pressure.shape
        along, across = one.map.pitch
        lines += [
            f"{'sheet':<14}{asked.file}: {rows} x {columns} cells of {along:g} x {across:g} mm",
            f"{'person':<14}{one.lain.called}, {one.lain.posture}",
            "",
            f"{'cells over ' + f'{THRESHOLD:g} kPa':<22}{'measured':>14}{'predicted':>14}{'off':>9}",
            *(_line(pair) for pair in one.pairs),
            "",
            *(line for note in one.notes for line in _hung(note)),
            "",
        ]
    if asked.linear:
        lines += _hung(asked.linear)
    return "\n".join([*lines, *_hung(CAUTION)])


def _line(pair: Pair) -> str:
    off = f"{100 * pair.off:+.0f} %"
    share = pair.what.startswith("share")
    measured, predicted = (
        f"{100 * value:.0f} %" if share else f"{typed.show(value, 3)} {pair.unit}".strip()
        for value in (pair.measured, pair.predicted)
    )
    return f"{pair.what:<22}{measured:>14}{predicted:>14}{off:>9}"


def _hung(words: str) -> list[str]:
    return textwrap.wrap(words, WIDE, initial_indent="- ", subsequent_indent="  ")
