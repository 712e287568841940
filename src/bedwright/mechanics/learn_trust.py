"""Predicted against measured: the last tests on the bed cards of a works set beside what the pad test says of each bed.

A row of `bed_tests` holds height and hardness before the roller; hardness is read as tangent unless the sample's words
say secant. The rows carry no day: the last ten are the last as they stand. A predicted interval is the pad test's own,
which is meant to hold about 95 of 100 such beds; how many it does hold is what this page is for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.errors import BedwrightError
from bedwright.mechanics.pad_test import Curve, pad_test
from bedwright.works.beds import BedTest
from bedwright.works.works import Works

LAST = 10
TANGENT, SECANT, HEIGHT = "H tangent", "H secant", "height"
NO_DAY = (
    "the rows carry no day: the last as they stand, beds by code; a reading that stands twice on a bed and size is one"
    " sample's, read on"
)
FEWEST = 5
"""Figures from which a share inside says anything; fewer are shown and not judged."""


@dataclass(frozen=True, slots=True)
class Trusted:
    """One figure of one sample: what it is, predicted with both ends and measured, in `unit`; inside, so_far: how many
    of the figures up to this one lie inside. sample: the card's words of it."""

    bed: str
    size: str
    sample: str
    what: str
    unit: str
    predicted: float
    low: float
    high: float
    measured: float
    so_far: int

    @property
    def inside(self) -> bool:
        """Whether what was measured lies in the predicted interval."""
        return self.low <= self.measured <= self.high

    @property
    def off(self) -> float:
        """Measured less predicted, as a share of the predicted."""
        return self.measured / self.predicted - 1


@dataclass(frozen=True, slots=True)
class Error:
    """Of one quantity: how many figures; mean of measured less predicted, and mean of its size, in `unit`."""

    what: str
    unit: str
    count: int
    mean: float
    size: float


@dataclass(frozen=True, slots=True)
class Trust:
    """Rows in their order; errors by quantity; samples: rows of tests they are of; notes: what was left out."""

    rows: tuple[Trusted, ...]
    errors: tuple[Error, ...]
    samples: int
    notes: tuple[str, ...]

    @property
    def inside(self) -> int:
        """How many figures lie inside."""
        return sum(row.inside for row in self.rows)

    @property
    def words(self) -> str:
        """The share in a sentence."""
        if not self.rows:
            return "no sample of height or hardness is on the bed cards: nothing was compared"
        share = f"{self.inside} of {len(self.rows)} figures of {self.samples} tests lie in the predicted interval"
        few = "; too few to judge by" if len(self.rows) < FEWEST else ""
        return f"{share}, which is meant to hold 19 of 20{few}"


def trust(works: Works, last: int = LAST) -> Trust:
    """The last tests of a works beside their predictions. What cannot be pressed or compared is said in notes."""
    notes: list[str] = []
    found: list[Trusted] = []
    pressed: dict[tuple[str, str], tuple[BedAtSize, Curve] | str] = {}
    taken = [
        (code, test)
        for code, test in _tests(works)
        if test.hardness_before is not None or test.height_before is not None
    ][-last:]
    samples, read = 0, set[tuple[str, str, str, float]]()
    for code, test in taken:
        where = f"bed {code}, test {test.position}"
        if test.size is None or test.size not in works.sizes:
            notes.append(f"{where}: size is empty, and so nothing is predicted for it; say the sample's size")
            continue
        key = code, test.size
        if key not in pressed:
            pressed[key] = _pressed(works, *key)
        answer = pressed[key]
        if isinstance(answer, str):
            notes.append(f"{where}: not predicted: {answer}")
            continue
        samples += 1
        for what, unit, predicted, low, high, measured in _figures(answer[1], test):
            if (code, test.size, what, measured) in read:
                continue  # one sample that went on to more cycles
            read.add((code, test.size, what, measured))
            inside = sum(row.inside for row in found) + (low <= measured <= high)
            found.append(Trusted(code, test.size, test.sample, what, unit, predicted, low, high, measured, inside))
    return Trust(tuple(found), _errors(found), samples, tuple([*dict.fromkeys(notes), *([NO_DAY] if found else [])]))


def _tests(works: Works) -> Iterable[tuple[str, BedTest]]:
    for bed in sorted(works.beds, key=lambda one: one.code):
        for test in sorted(bed.tests, key=lambda one: one.position):
            yield bed.code, test


def _pressed(works: Works, code: str, size: str) -> tuple[BedAtSize, Curve] | str:
    try:
        bed = bed_at_size(works, works.beds[code], works.sizes[size])
        return bed, pad_test(bed)
    except BedwrightError as error:
        return str(error)


def _figures(curve: Curve, test: BedTest) -> list[tuple[str, str, float, float, float, float]]:
    """(what, unit, predicted, low, high, measured) of each figure that the row holds."""
    found = []
    if test.height_before is not None:
        tall, half = curve.heights.tufted, curve.height_half
        found.append((HEIGHT, "mm", tall, tall - half, tall + half, test.height_before))
    if test.hardness_before is not None and "secant" in test.sample.lower():
        found.append(
            (SECANT, "N/mm", curve.hardness.secant, curve.secant_low, curve.secant_high, test.hardness_before)
        )  # fmt: skip
    elif test.hardness_before is not None:
        found.append((TANGENT, "N/mm", curve.hardness.tangent, curve.low, curve.high, test.hardness_before))
    return found


def _errors(rows: list[Trusted]) -> tuple[Error, ...]:
    found = []
    for what in (TANGENT, SECANT, HEIGHT):
        apart = [row.measured - row.predicted for row in rows if row.what == what]
        if apart:
            unit = next(row.unit for row in rows if row.what == what)
            size = sum(abs(one) for one in apart) / len(apart)
            found.append(Error(what, unit, len(apart), sum(apart) / len(apart), size))
    return tuple(found)
