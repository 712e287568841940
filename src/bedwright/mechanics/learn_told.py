"""What a fit can tell and what it cannot: figures that the readings say nothing of, figures that act alike, figures
that stand in for each other; and whether the readings lie within what the cards allow at all.

Whitened slopes J (readings, figures): a column's length is how many standard deviations of the noise one standard
deviation of its figure moves the readings by; two columns in one direction are figures whose effects no such reading
can tell apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.stats import chi2

from bedwright import typed
from bedwright.errors import NotConverged
from bedwright.mechanics.learn_figures import COILS, FARTHEST
from bedwright.mechanics.learn_fit import Fitted
from bedwright.mechanics.learn_pressed import Press

Array = NDArray[np.float64]
SILENT = 0.35  # length of a column under which its figure keeps 94 of 100 of its spread or more
UNMOVED = 0.95  # of the spread before: a figure that keeps as much is not told of
SLIGHT = 0.4  # of the longest column among figures that act alike: a shorter one hardly hides what the others do
ALIKE = 0.98  # cosine of two columns from which they act alike
TRADED = 0.6  # posterior correlation from which two stand in for each other
LEARNED = 1.0  # size of a direction's information from which it counts as learned
RARE = 0.005  # share of beds and readings within the cards that one check calls outside; there are two of them
STUCK = 0.5  # of misfit left to gain, from which a search has not come to rest
FAR = 2.0  # standard deviations of a figure from which it is named as strained
MOST_PAIRS = 4


@dataclass(frozen=True, slots=True)
class Apart:
    """Figures that cannot be told from each other, or not at all: how, and a sentence."""

    how: Literal["says nothing", "act alike", "stand in"]
    names: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Check:
    """Whether readings lie within what cards and noise allow. misfit: of `readings` degrees of freedom; strain: of
    `directions`; rare_misfit, rare_strain: the share of such beds that lies as far out or further. figures: those that
    would have to be further off than their cards say."""

    misfit: float
    readings: int
    rare_misfit: float
    strain: float
    directions: int
    rare_strain: float
    figures: tuple[str, ...]

    @property
    def outside(self) -> bool:
        """Whether the cards, with this noise, cannot explain the readings."""
        return min(self.rare_misfit, self.rare_strain) < RARE

    @property
    def words(self) -> str:
        """The outcome in a sentence."""
        if not self.outside:
            rare = typed.show(100 * min(2 * min(self.rare_misfit, self.rare_strain), 1.0), 2)
            return f"within what the cards allow: {rare} of 100 such beds lie further off"
        if self.rare_misfit < self.rare_strain:
            first = "the shape of the curve is none that these cards give, with readings as sure as stated"
        else:
            first = "the curve is one of those that these cards give, but too far from their own figures"
        named = f"; it would take {', '.join(self.figures)}" if self.figures else ""
        return f"outside what the cards allow: {first}{named}"


def check(fit: Fitted, names: tuple[str, ...]) -> Check:
    """Two checks by chi-square: of the whole misfit, and of how far the learned directions were pulled.

    Where the search had to end, what was left to gain is taken off the misfit. Raises NotConverged where then nothing
    says that the readings lie outside.
    """
    size, ways = np.linalg.eigh(fit.slopes.T @ fit.slopes)
    learned = size > LEARNED
    pulled = (ways.T @ fit.z)[learned] ** 2 * (1 + size[learned]) / size[learned]
    strain, directions = float(np.sum(pulled)), int(np.sum(learned))
    far = [
        f"{name} {typed.show(abs(float(z)), 2)} standard deviations {'up' if z > 0 else 'down'}"
        for z, name in sorted(zip(fit.z, names, strict=True), key=lambda one: -abs(one[0]))
        if abs(z) >= FAR
    ]
    count, least = len(fit.residuals), max(fit.misfit - fit.left, 0.0)
    rare = float(chi2.sf(least, count))
    if fit.left > STUCK and rare >= RARE:
        raise NotConverged("no figures are found at which the search rests", residual=fit.left)
    return Check(
        misfit=fit.misfit,
        readings=count,
        rare_misfit=rare,
        strain=strain,
        directions=directions,
        rare_strain=float(chi2.sf(strain, directions)) if directions else 1.0,
        figures=tuple(far),
    )


def apart(fit: Fitted, names: tuple[str, ...], coils: tuple[str, ...] = ()) -> tuple[Apart, ...]:
    """What cannot be told. coils: names of the figures that multiply the force of every coil."""
    length = np.linalg.norm(fit.slopes, axis=0)
    heard = np.flatnonzero(length >= SILENT)
    unit = fit.slopes[:, heard] / length[heard]
    found: list[Apart] = []
    together: dict[int, int] = {}
    for number, near in enumerate(_sets(np.abs(unit.T @ unit) >= ALIKE)):
        longest = max(length[heard[one]] for one in near)
        members = [one for one in near if length[heard[one]] >= SLIGHT * longest]
        together |= {int(heard[one]): number for one in near}
        if len(members) > 1:
            who = tuple(names[heard[one]] for one in members)
            found.append(Apart("act alike", who, _alike(who, unit[:, members], coils)))
    hidden = {name for one in found for name in one.names}
    kept = [name for name, spread in zip(names, fit.spread, strict=True) if spread >= UNMOVED and name not in hidden]
    if kept:
        words = f"the readings say next to nothing of {_listed(tuple(kept))}: as the cards have it"
        found.insert(0, Apart("says nothing", tuple(kept), words))
    return (*found, *_traded(fit, names, together))


def _sets(near: NDArray[np.bool_]) -> list[list[int]]:
    """Sets of figures of which each is near the first of its set."""
    sets: list[list[int]] = []
    for one in range(len(near)):
        home = next((members for members in sets if near[one, members[0]]), None)
        if home is None:
            sets.append([one])
        else:
            home.append(one)
    return sets


def _alike(who: tuple[str, ...], unit: Array, coils: tuple[str, ...]) -> str:
    if set(who) <= set(coils):
        return f"{_listed(who)} act alike: only their product, the rate of the coils, is known"
    against = [name for name, cosine in zip(who, unit.T @ unit[:, 0], strict=True) if cosine < 0]
    turned = f", {_listed(tuple(against))} the other way round" if against else ""
    return f"{_listed(who)} act alike{turned}: only what they do together is known"


def _traded(fit: Fitted, names: tuple[str, ...], together: dict[int, int]) -> list[Apart]:
    """Pairs whose figures the readings bind to each other: less of one with more of the other fits as well."""
    spread = fit.spread
    bound = fit.covariance / np.outer(spread, spread)
    pairs = [
        (float(bound[a, b]), a, b)
        for a in together
        for b in together
        if a < b and together[a] != together[b] and abs(bound[a, b]) >= TRADED
    ]
    told = []
    for much, a, b in sorted(pairs, key=lambda one: -abs(one[0]))[:MOST_PAIRS]:
        how = "more of one with less of the other" if much < 0 else "more or less of both"
        words = f"{names[a]} and {names[b]} stand in for each other: {how} fits nearly as well ({typed.show(much, 2)})"
        told.append(Apart("stand in", (names[a], names[b]), words))
    return told


def coil_rate(press: Press, z: Array) -> Array:
    """The rate of the coils over the card's, by all that multiplies it, for draws of z (draws, figures)."""
    kind = int(np.argmax(np.bincount(press.model.main.kind)))
    rate = np.ones(len(z))
    table = np.linspace(-FARTHEST, FARTHEST, 401)
    for k, figure in enumerate(press.figures):
        if figure.acts == COILS:
            scales = [figure.on(press.model, float(at)).main.kinds[kind].scale for at in table]
            rate = rate * np.interp(z[:, k], table, scales)
    return rate


def _listed(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
