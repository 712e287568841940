"""Heat of coils and units, as the maker measures it by lots of wire: a shift of height and of first set, nothing else.

Relieved wire is not softer or stiffer (E and G stay; book `en-10270-1`), so heat never enters a rate. It moves the free
height, and how much of it the first pressing takes. No curve of either against temperature was readable, so none is
shipped: what counts is height before, after heat, and after the first pressing, of some coils of every wire lot.
Windows printed by spring makers are 200 to 316 C, 20 to 30 minutes or more: to look up, not to predict from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bedwright.errors import Fault, FaultsFound
from bedwright.mechanics.few_readings import FewReadings, few_readings

Heat = Literal["none", "at the coiler", "whole unit"]
MEASURE = (
    "not known: of each wire lot take ten coils, write down their height as coiled, after heat and a day's rest, and"
    " after pressing them flat once; the mean of each lot is one reading"
)
ONE_LOT = "one lot says nothing of the spread among lots: measure a second one"


@dataclass(frozen=True, slots=True)
class WireLot:
    """What the maker measured of one wire lot, each the mean of some coils [mm]; None: not read.

    shift: free height after heat, less that of the card (under 0: lower); first_set: height that the first pressing
    takes after that.
    """

    lot: str
    shift: float | None = None
    first_set: float | None = None

    @classmethod
    def of_heights(
        cls, lot: str, before: float, after_heat: float | None = None, after_press: float | None = None
    ) -> WireLot:
        """A lot from mean heights [mm]: as coiled, after heat (left out where nothing is heated), after pressing."""
        relieved = before if after_heat is None else after_heat
        shift = None if after_heat is None else after_heat - before
        return cls(lot, shift, None if after_press is None else relieved - after_press)


@dataclass(frozen=True, slots=True)
class HeatedHeight:
    """Free height [mm] after heat and after the first pressing: value, and interval of the next lot (None: not known).

    shift: change by heat, first_set: height the first pressing takes; both [mm], among lots.
    """

    heat: str
    after_heat: float | None
    after_heat_interval: tuple[float, float] | None
    after_press: float | None
    after_press_interval: tuple[float, float] | None
    shift: FewReadings | None
    first_set: FewReadings | None
    notes: tuple[str, ...]


def heated_height(
    heat: Heat, free_height: float, lots: Sequence[WireLot] = (), *, in_cloth: bool = False
) -> HeatedHeight:
    """Free height of a coil [mm] after heat and after its first pressing, from measured lots.

    The changes of the lots are put on the card's free height as coiled. Intervals: Student's t for the next lot (book
    `student-t`). Raises FaultsFound for a whole unit in cloth and for lots that cannot be.
    """
    faults = _faults(heat, free_height, lots, in_cloth)
    if faults:
        raise FaultsFound(faults)
    hot = [lot.shift for lot in lots if lot.shift is not None]
    first = [lot.first_set for lot in lots if lot.first_set is not None]
    unmoved = 0.0 if heat == "none" else None  # without heat a lot not read stands as the card says
    both = [(unmoved if lot.shift is None else lot.shift, lot.first_set) for lot in lots if lot.first_set is not None]
    changes = [moved - lost for moved, lost in both if moved is not None]
    shift, first_set, change = (few_readings(values) if values else None for values in (hot, first, changes))
    unheated = heat == "none" and shift is None
    return HeatedHeight(
        heat=heat,
        after_heat=free_height if unheated else _moved(free_height, shift),
        after_heat_interval=(free_height, free_height) if unheated else _interval(free_height, shift),
        after_press=_moved(free_height, change),
        after_press_interval=_interval(free_height, change),
        shift=shift,
        first_set=first_set,
        notes=_notes(heat, shift, first_set),
    )


def _moved(height: float, change: FewReadings | None) -> float | None:
    return None if change is None else height + change.mean


def _interval(height: float, change: FewReadings | None) -> tuple[float, float] | None:
    if change is None or change.next_low is None or change.next_high is None:
        return None
    return height + change.next_low, height + change.next_high


def _faults(heat: str, free_height: float, lots: Sequence[WireLot], in_cloth: bool) -> list[Fault]:
    faults = []
    if heat == "whole unit" and in_cloth:
        says = "heat is whole unit, and the coils stand in cloth, which melts or chars in the oven"
        faults.append(Fault(says=says, remedy="choose at the coiler or none", field="heat"))
    if not free_height > 0:
        faults.append(Fault(says=f"free_height {free_height:g} mm", remedy="give more than 0", field="free_height"))
    for lot in lots:
        for field in ("shift", "first_set"):
            value = getattr(lot, field)
            if value is not None and not -free_height < value < free_height:
                says = f"wire lot {lot.lot}: {field} {value:g} mm against a coil of {free_height:g} mm"
                faults.append(Fault(says=says, remedy="give the mean of its coils in mm", field=field))
    return faults


def _notes(heat: str, shift: FewReadings | None, first_set: FewReadings | None) -> tuple[str, ...]:
    notes = ["heat moves height and first set only; the rate stays that of the wire"]
    for what, readings in (("shift of height by heat", shift), ("first set", first_set)):
        if readings is None:
            if what == "first set" or heat != "none":
                notes.append(f"{what}: {MEASURE}")
        elif readings.spread is None:
            notes.append(f"{what}: {ONE_LOT}")
        elif what == "first set" and readings.mean < 0:
            notes.append(f"first set reads {readings.mean:.2g} mm: coils do not grow by being pressed; measure again")
    return tuple(notes)
