"""How much height a bed loses in use or on the roller: an interval, made first of fillings, then border, then wire.

Fillings settle first, border and edge next, wire last (common practice, no source). Every part is an interval of the
maker's or supplier's own figures; what nobody measured is said and leaves the upper end open. Where the maker has
heights before and after the test, those stand, and the parts only explain. Nothing here is a promise of years.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.coil_life import LifeCheck, life_check
from bedwright.mechanics.coil_shape import CoilShape
from bedwright.mechanics.few_readings import FewReadings, few_readings, from_summary
from bedwright.mechanics.published_grades import NO_YEARS, grade_range
from bedwright.typed import show
from bedwright.words import counted

ORDER = ("fillings", "border and edge", "wire")
"""Which settles first, second, last."""
ROLLER_FORCE = (1400.0, 7.0)
"""Roller of the EN 1957 test [N] and its tolerance (book `en-1957`)."""
FILLING_MEASURE = (
    "ask the supplier for the loss of thickness in a pounding test, or measure the filling before and after rolling"
)


@dataclass(frozen=True, slots=True)
class FillingSet:
    """One filling: thickness built in [mm], least and greatest share [%] of it lost in the supplier's test (None: not
    known), and how far the roller presses it against that test: compression under the roller over the test's, 0 to 1.

    What is pressed less than in the test loses at least in proportion and at most all of it (plausible, not measured).
    """

    name: str
    thickness: float
    low: float | None = None
    high: float | None = None
    pressed: float = 1.0


@dataclass(frozen=True, slots=True)
class LossPart:
    """One part of the loss of height [mm]: low, high (None: not known, nothing bounds it), and how it came about."""

    name: str
    low: float
    high: float | None
    how: str


@dataclass(frozen=True, slots=True)
class Settling:
    """Loss of height [mm]: low to high (None: not bounded), most likely where measured, parts in their order.

    source: "measured" or "reckoned"; not_known: parts that nothing bounds, known_high: sum of the others' upper ends;
    grades: best and worst grade of a test house (None where not bounded); first: part with the most behind it.
    """

    low: float
    high: float | None
    known_high: float
    not_known: tuple[str, ...]
    value: float | None
    source: str
    parts: tuple[LossPart, ...]
    readings: FewReadings | None
    grades: tuple[int, int | None]
    first: str
    notes: tuple[str, ...]

    @property
    def told(self) -> str:
        """The loss in words: as measured, or between its ends, and what nothing bounds."""
        if self.readings is not None:
            said = f"{show(self.readings.mean, 2)} mm measured on {counted(self.readings.count, 'bed')}"
            if self.readings.count == 1 or self.high is None:
                return f"{said}, which says nothing of the next"
            return f"{said}, the next {between(self.low, self.high)}"
        open_ = f"; not known: {', '.join(self.not_known)}" if self.not_known else ""
        return between(self.low, self.high) + open_


def between(low: float, high: float | None) -> str:
    """An interval of losses [mm] in words; where nothing bounds it above, that is said."""
    if high is None:
        return f"{show(low, 2)} mm or more"
    ends = show(low, 2), show(high, 2)
    return f"{ends[0]} mm" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} mm"


def pressed_share(under_roller: float, in_test: float) -> float:
    """How far the roller presses a filling against its supplier's test: compressions [share of thickness], 0 to 1."""
    return min(1.0, max(0.0, under_roller / in_test)) if in_test > 0 else 1.0


def filling_loss(fillings: Sequence[FillingSet]) -> LossPart:
    """Loss of all fillings [mm]: thickness x set, weighted where the roller presses. Raises FaultsFound."""
    faults = [fault for filling in fillings for fault in _filling_faults(filling)]
    if faults:
        raise FaultsFound(faults)
    low = high = 0.0
    unknown = []
    for one in fillings:
        low += one.thickness * (one.low or 0.0) / 100 * one.pressed
        if one.high is None:
            unknown.append(one.name)
        else:
            high += one.thickness * one.high / 100
    if unknown:
        return LossPart(ORDER[0], low, None, f"set of {', '.join(dict.fromkeys(unknown))} not known: {FILLING_MEASURE}")
    return LossPart(ORDER[0], low, high, f"set of {len(fillings)} fillings by thickness, where the roller presses")


def border_loss(low: float | None, high: float | None, share: float = 1.0) -> LossPart:
    """Loss of border and edge [mm] as the maker measures it at the rim; share 0 to 1 of it that reaches the spot.

    In the middle of a bed the share is 0: the rim does not carry it. Raises FaultsFound.
    """
    faults = _range_faults("border", low, high, "mm")
    if not 0 <= share <= 1:
        faults.append(Fault(says=f"a share of {share:g}", remedy="give 0 (middle) to 1 (at the rim)", field="share"))
    if faults:
        raise FaultsFound(faults)
    if share == 0:
        return LossPart(ORDER[1], 0.0, 0.0, "the spot is away from border and edge")
    if high is None:
        says = "not known: measure the border's height at the middle of a side before and after rolling the edge"
        return LossPart(ORDER[1], (low or 0.0) * share, None, says)
    return LossPart(ORDER[1], (low or 0.0) * share, high * share, "border's height at the rim, as measured")


def wire_loss(first_set: float | None, relaxation: tuple[float, float] | None = None) -> LossPart:
    """Loss of the coils [mm]: as the maker measured it by relaxation, else nothing up to the first set.

    first_set [mm]: height that the first pressing takes, as measured by wire lots (heat.py); a coil not yet pressed may
    lose that and, at stresses below the static limit, no more is expected. No relaxation curve was readable (book
    `en-13906-1`). Raises FaultsFound.
    """
    if relaxation is not None:
        faults = _range_faults("relaxation", *relaxation, "mm")
        if faults:
            raise FaultsFound(faults)
        return LossPart(ORDER[2], *relaxation, "relaxation as the maker measured it")
    if first_set is None:
        return LossPart(
            ORDER[2], 0.0, None, "first set not known: press ten coils of each wire lot flat once, see heat"
        )
    if not math.isfinite(first_set):
        raise FaultsFound([Fault(says=f"first_set {first_set}", remedy="give a number of mm", field="first_set")])
    return LossPart(ORDER[2], 0.0, max(0.0, first_set), "nothing, up to the first set of the wire lots")


def settling(
    fillings: Sequence[FillingSet],
    border: LossPart,
    wire: LossPart,
    *,
    before: Sequence[float] = (),
    after: Sequence[float] = (),
    summary: tuple[float, float | None, int] | None = None,
) -> Settling:
    """Loss of height [mm] at a spot: parts in their order; the maker's own heights stand before them where given.

    before, after: heights of the same beds before and after the test [mm], bed by bed; or summary: mean loss, spread
    (standard deviation of one bed) and count. The interval is then that of the next bed (Student's t, book
    `student-t`); one bed alone has none. Raises FaultsFound.
    """
    parts = (filling_loss(fillings), border, wire)
    low = math.fsum(part.low for part in parts)
    high = _sum_of_highs(parts)
    notes = _notes(parts)
    readings = _readings(before, after, summary)
    known = math.fsum(part.high for part in parts if part.high is not None)
    unknown = tuple(part.name for part in parts if part.high is None)
    if readings is None:
        grades = grade_range(low, high)
        notes = (*notes, NO_YEARS)
        return Settling(low, high, known, unknown, None, "reckoned", parts, None, grades, _first(parts), notes)
    said = f"the maker's own heights of {counted(readings.count, 'bed')} stand; the parts explain, they do not add"
    if high is not None and not low <= readings.mean <= high:
        said += f"; reckoned {low:.2g} to {high:.2g} mm does not hold the measured {readings.mean:.2g}: see the parts"
    kept_low, kept_high = readings.next_low, readings.next_high
    if kept_low is None:
        said += "; one bed says nothing of the spread: the upper end is open"
        kept_low = min(low, readings.mean)
    grades = grade_range(kept_low, kept_high)
    notes = (said, *notes, NO_YEARS)
    return Settling(
        kept_low, kept_high, known, unknown, readings.mean, "measured", parts, readings, grades, _first(parts), notes
    )


def roller_check(shape: CoilShape, grade: str, held: float, least: float, greatest: float) -> LifeCheck:
    """A coil under the roller of 1400 N: stress range, Goodman and Gerber, flat check.

    held [mm]: how far a pocket presses the coil already; least and greatest [mm]: way of that coil within one pass of
    the roller, from rest, as the contact of the roller gives it. Book `en-1957`. Raises OutsideRange.
    """
    return life_check(shape, grade, held + least, held + greatest)


def _sum_of_highs(parts: Sequence[LossPart]) -> float | None:
    highs = [part.high for part in parts]
    return None if None in highs else math.fsum(high for high in highs if high is not None)


def _first(parts: Sequence[LossPart]) -> str:
    return max(parts, key=lambda part: math.inf if part.high is None else part.high).name


def _notes(parts: Sequence[LossPart]) -> tuple[str, ...]:
    notes = ["fillings settle first, border and edge next, wire last (common practice)"]
    notes += [f"{part.name}: {part.how}" for part in parts]
    filling, wire = parts[0], parts[-1]
    if filling.high is not None and wire.high is not None and wire.high > filling.high > 0:
        notes.append(
            "the wire's bound is above the fillings': unusual, so press the coils flat before the unit is built"
        )
    return tuple(notes)


def _readings(
    before: Sequence[float], after: Sequence[float], summary: tuple[float, float | None, int] | None
) -> FewReadings | None:
    if summary is not None:
        return from_summary(*summary)
    if len(before) != len(after):
        says = f"{len(before)} heights before and {len(after)} after"
        raise FaultsFound([Fault(says=says, remedy="give both heights of every bed", field="after")])
    bad = [height for height in (*before, *after) if not 0 < height < math.inf]
    if bad:
        raise FaultsFound([Fault(says=f"a height of {bad[0]:g} mm", remedy="give heights above 0", field="before")])
    return few_readings([b - a for b, a in zip(before, after, strict=True)]) if before else None


def _filling_faults(filling: FillingSet) -> list[Fault]:
    faults = _range_faults(filling.name, filling.low, filling.high, "%", 100.0)
    if not 0 < filling.thickness < math.inf:
        says = f"{filling.name}: thickness {filling.thickness:g} mm"
        faults.append(Fault(says=says, remedy="give more than 0", field="thickness"))
    if not 0 <= filling.pressed <= 1:
        says = f"{filling.name}: pressed {filling.pressed:g}"
        faults.append(Fault(says=says, remedy="give 0 to 1", field="pressed"))
    return faults


def _range_faults(name: str, low: float | None, high: float | None, unit: str, most: float = math.inf) -> list[Fault]:
    bad = [value for value in (low, high) if value is not None and not 0 <= value <= min(most, 1e6)]
    if bad:
        return [Fault(says=f"{name}: a loss of {bad[0]:g} {unit}", remedy="give 0 or more", field="set")]
    if low is not None and high is not None and low > high:
        says = f"{name}: least loss {low:g} {unit} is above greatest {high:g} {unit}"
        return [Fault(says=says, remedy="swap the two", field="set")]
    return []
