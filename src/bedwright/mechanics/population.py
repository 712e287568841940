"""Many persons at once, as a people is: stature and mass drawn together, every size with its scatter, sexes by share.

Stature and mass follow their measured percentiles (or the user's own), joined by the measured correlation: ranks are
drawn from a normal pair, so that the percentiles hold whatever their shape (masses lean to the heavy side). Sizes
scatter about the regression each by itself: how the scatter of one size goes with that of another is not published, so
that pairs of sizes are joined by stature and mass alone. Books: `ansur-2`, `derived`.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.special import ndtri

from bedwright.errors import Fault, FaultsFound, NotUnderstood, OutsideRange
from bedwright.mechanics.body_tables import CORRELATION, MASS, SEXES, STATURE, Sex, measured, regressions
from bedwright.mechanics.person import MASSES, OWN_WITHIN, STATURES, Person, body_faults
from bedwright.typed import length_mm, mass_kg, number

Array = NDArray[np.float64]
Quantiles = Mapping[float, float]
MOST = 100_000  # persons at once
FEWEST_QUANTILES = 3
SHEET = "percentiles"
ROUNDS = 20  # of drawing again whoever no adult measured comes near
_SEX_WORDS: dict[str, Sex] = {"man": "man", "men": "man", "m": "man", "male": "man", "woman": "woman", "women": "woman"}
_SEX_WORDS |= {"w": "woman", "f": "woman", "female": "woman"}


@dataclass(frozen=True, slots=True)
class People:
    """What a population is drawn from, by sex: percentiles (percent -> value) of stature [mm] and mass [kg], and the
    correlation of the two. Raises FaultsFound where percentiles do not rise or lie outside what is taken."""

    stature: Mapping[Sex, Quantiles]
    mass: Mapping[Sex, Quantiles]
    correlation: Mapping[Sex, float]

    def __post_init__(self) -> None:
        faults = []
        for name, by_sex, limits in ((STATURE, self.stature, STATURES), (MASS, self.mass, MASSES)):
            for sex, quantiles in by_sex.items():
                faults += _quantile_faults(f"{name} of {sex}", quantiles, limits)
        for sex, value in self.correlation.items():
            if not -0.95 <= value <= 0.95:
                says = "is no correlation that a people has"
                faults.append(Fault(says, "give -0.95 to 0.95", value=f"{value:g}", field=f"correlation of {sex}"))
        if faults:
            raise FaultsFound(faults)


def as_measured() -> People:
    """The men and women of book `ansur-2`: an army's, fewer heavy and old persons than among customers."""
    return People(
        {sex: measured(sex)[STATURE].percentiles for sex in SEXES},
        {sex: measured(sex)[MASS].percentiles for sex in SEXES},
        CORRELATION,
    )


def population(
    count: int, rng: np.random.Generator, *, share_of_men: float = 0.5, people: People | None = None
) -> tuple[Person, ...]:
    """`count` persons, men first, every size drawn about its regression (as the person's own measures).

    share_of_men 0 to 1: the number of men is that share of count, to the nearest. Whoever would be refused as no adult
    that was measured comes near is drawn again. Same generator state, same persons. Raises OutsideRange.
    """
    if not (1 <= count <= MOST and 0 <= share_of_men <= 1):
        raise OutsideRange(f"{count} persons, share of men {share_of_men}: give 1 to {MOST} persons, a share of 0 to 1")
    people = people or as_measured()
    men = int(np.floor(count * share_of_men + 0.5))
    found: list[Person] = []
    for sex, many in (("man", men), ("woman", count - men)):
        if many:
            found += _of_sex(sex, many, rng, people)  # type: ignore[arg-type]
    return tuple(found)


def value_at(quantiles: Quantiles, rank: Array) -> Array:
    """Value at normal scores `rank`: through every given quantile, rising, straight on beyond the outermost.

    The normal score of 50 % is 0, of 97.7 % is 2; a normal quantity is a straight line over them.
    """
    percents = np.array(sorted(quantiles))
    scores, values = ndtri(percents / 100), np.array([quantiles[percent] for percent in percents])
    curve = PchipInterpolator(scores, values)
    ends = np.clip(rank, scores[0], scores[-1])
    low, high = ((values[i] - values[j]) / (scores[i] - scores[j]) for i, j in ((1, 0), (-1, -2)))
    beyond = np.where(rank < scores[0], low, high) * (rank - ends)
    return np.asarray(curve(ends) + beyond)


def read_people(text: str, *, correlation: Mapping[Sex, float] | None = None) -> People:
    """The user's own percentiles, from a CSV: columns sex, dimension (stature or mass), unit, then of p1 to p99 as many
    as are known (three or more, the same in each row), one row for stature and one for mass of each sex that is wanted.

    correlation of stature and mass by sex: as measured (book `ansur-2`) unless given. Raises FaultsFound with all that
    is wrong.
    """
    rows = list(csv.reader(StringIO(text.lstrip("\ufeff"))))
    heads = [head.strip().lower() for head in rows[0]] if rows else []
    columns = {i: number(head[1:]) for i, head in enumerate(heads) if head[:1] == "p" and _is_percent(head[1:])}
    missing = [name for name in ("sex", "dimension", "unit") if name not in heads]
    if missing or len(columns) < FEWEST_QUANTILES:
        says = f"wants columns sex, dimension, unit and {FEWEST_QUANTILES} or more of p1 to p99"
        raise FaultsFound(
            [Fault(says, "as in sex,dimension,unit,p5,p50,p95", value=",".join(heads)[:60], sheet=SHEET, row=1)]
        )
    found: dict[str, dict[Sex, Quantiles]] = {STATURE: {}, MASS: {}}
    faults: list[Fault] = []
    for row, cells in enumerate(rows[1:], 2):
        if any(cell.strip() for cell in cells):
            faults += _take_row(row, [*cells, *[""] * (len(heads) - len(cells))], heads, columns, found)
    for name, other in ((STATURE, MASS), (MASS, STATURE)):
        faults += [
            Fault(f"there is no row of {name} of {sex}", "add it, or take the other out", field=name)
            for sex in found[other]
            if sex not in found[name]
        ]
    if not faults and not found[STATURE]:
        faults.append(Fault("there is no row of stature and mass", "add one of each, for men, women or both"))
    if faults:
        raise FaultsFound(faults)
    return People(found[STATURE], found[MASS], CORRELATION | dict(correlation or {}))


def _of_sex(sex: Sex, many: int, rng: np.random.Generator, people: People) -> list[Person]:
    if sex not in people.stature or sex not in people.mass:
        raise OutsideRange(f"the percentiles hold no {sex}; add rows of stature and mass, or set the share of men")
    stature, mass = _bodies(sex, many, rng, people)
    for _ in range(ROUNDS):
        again = np.array([bool(body_faults(sex, s, m)) for s, m in zip(stature, mass, strict=True)])
        if not again.any():
            break
        stature[again], mass[again] = _bodies(sex, int(again.sum()), rng, people)
    else:
        raise OutsideRange(f"stature and mass of {sex} as given go together in no adult that is taken; look at both")
    lines = regressions(sex)
    scatter = np.clip(rng.standard_normal((many, len(lines))), -OWN_WITHIN / 2, OWN_WITHIN / 2)
    sizes = {name: line.at(stature, mass) + line.rmse * scatter[:, j] for j, (name, line) in enumerate(lines.items())}
    return [
        Person(sex, float(stature[i]), float(mass[i]), {name: float(size[i]) for name, size in sizes.items()})
        for i in range(many)
    ]


def _bodies(sex: Sex, many: int, rng: np.random.Generator, people: People) -> tuple[Array, Array]:
    first, second = rng.standard_normal((2, many))
    joined = people.correlation[sex]
    second = joined * first + np.sqrt(1 - joined**2) * second
    return value_at(people.stature[sex], first), value_at(people.mass[sex], second)


def _quantile_faults(what: str, quantiles: Quantiles, limits: tuple[float, float]) -> list[Fault]:
    faults = []
    if len(quantiles) < FEWEST_QUANTILES or not all(0 < percent < 100 for percent in quantiles):
        says = f"are not {FEWEST_QUANTILES} or more percentiles between 0 and 100"
        return [Fault(says, "give p5, p50 and p95 at least", value=str(len(quantiles)), field=what)]
    values = [quantiles[percent] for percent in sorted(quantiles)]
    if not all(a < b for a, b in pairwise(values)):  # nan does not rise either
        says = "percentiles do not rise"
        faults.append(Fault(says, "each is more than the one before", ", ".join(f"{v:g}" for v in values), field=what))
    elif values[0] < limits[0] or values[-1] > limits[1]:
        says = f"goes from {values[0]:g} to {values[-1]:g}: beyond the adults taken here (infants and children are not)"
        faults.append(Fault(says, f"give {limits[0]:g} to {limits[1]:g}", f"{values[0]:g}", field=what))
    return faults


def _take_row(
    row: int,
    cells: Sequence[str],
    heads: Sequence[str],
    columns: Mapping[int, float],
    found: dict[str, dict[Sex, Quantiles]],
) -> list[Fault]:
    """One row into `found`, or what is wrong with it."""
    sex_cell, name, unit = (cells[heads.index(head)].strip().lower() for head in ("sex", "dimension", "unit"))
    faults = []
    if sex_cell not in _SEX_WORDS:
        faults.append(
            Fault("is neither man nor woman", 'write "man" or "woman"', sex_cell, sheet=SHEET, row=row, column="sex")
        )
    name = {"height": STATURE, "weight": MASS}.get(name, name)
    if name not in found:
        says = "is neither stature nor mass; other sizes follow from these two"
        faults.append(Fault(says, "take the row out", name, sheet=SHEET, row=row, column="dimension"))
        return faults
    reads = length_mm if name == STATURE else mass_kg
    values: dict[float, float] = {}
    for i, percent in columns.items():
        try:
            values[percent] = reads(f"{cells[i].strip()} {unit}".strip())
        except NotUnderstood as error:
            says, remedy, value = error.fault.says, error.fault.remedy, error.fault.value
            faults.append(Fault(says, remedy, value, sheet=SHEET, row=row, column=heads[i]))
    if not faults:
        sex = _SEX_WORDS[sex_cell]
        if sex in found[name]:
            faults.append(
                Fault(f"{name} of {sex} stands twice", "leave one row", sex_cell, sheet=SHEET, row=row, column="sex")
            )
        found[name][sex] = values
    return faults


def _is_percent(text: str) -> bool:
    try:
        return 0 < number(text) < 100
    except NotUnderstood:
        return False
