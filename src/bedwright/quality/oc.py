"""How much a single plan can see: the chance that a lot is accepted, by true quality (operating characteristic).

Binomial for nonconforming units from a process, Poisson for defects per hundred units, hypergeometric for a lot of
which the sample is a good part (mattress lots are often small). These are exact sums; what is uncertain is whether
the units were truly taken at random.
"""

from __future__ import annotations

from dataclasses import dataclass

from scipy import stats

from bedwright.errors import NoPlan, OutsideRange

SMALL_LOT_SHARE = 0.1  # sample over lot: above this the hypergeometric sum is used (common practice)


@dataclass(frozen=True, slots=True)
class Acceptance:
    """Chance of acceptance (0 to 1) and the sum that gave it: hypergeometric or binomial."""

    chance: float
    model: str


def accept_binomial(n: int, ac: int, p: float) -> float:
    """Chance that n units with share p (0 to 1) nonconforming show ac or fewer. Book: derived (binomial sum)."""
    _sane(n, ac)
    _share(p)
    return float(stats.binom.cdf(ac, n, p))


def accept_poisson(n: int, ac: int, per_hundred: float) -> float:
    """Chance that n units show ac or fewer defects, at per_hundred defects in 100 units. Book: derived (Poisson)."""
    _sane(n, ac)
    if per_hundred < 0:
        raise OutsideRange(f"{per_hundred:g} defects per hundred units; give 0 or more")
    return float(stats.poisson.cdf(ac, n * per_hundred / 100))


def accept_hypergeometric(lot: int, n: int, ac: int, nonconforming: int) -> float:
    """Chance that n of a lot holding `nonconforming` bad units show ac or fewer. Book: derived (hypergeometric)."""
    _sane(n, ac)
    if not (n <= lot and 0 <= nonconforming <= lot):
        raise OutsideRange(f"sample {n} and {nonconforming} bad units must both lie within the lot of {lot}")
    return float(stats.hypergeom.cdf(ac, lot, nonconforming, n))


def accept_lot(lot: int, n: int, ac: int, nonconforming: int) -> Acceptance:
    """Chance that this lot is accepted, by the sum that fits its size.

    Hypergeometric where the sample is more than a tenth of the lot, else binomial (common-practice).
    """
    if n > SMALL_LOT_SHARE * lot:
        return Acceptance(accept_hypergeometric(lot, n, ac, nonconforming), "hypergeometric")
    if not 0 <= nonconforming <= lot:
        raise OutsideRange(f"{nonconforming} bad units must lie within the lot of {lot}")
    return Acceptance(accept_binomial(n, ac, nonconforming / lot), "binomial")


def quality_binomial(n: int, ac: int, chance: float) -> float:
    """The share nonconforming (0 to 1) that is accepted with this chance. Book: derived (beta quantile)."""
    _sane(n, ac)
    _chance(chance)
    if ac >= n:
        raise OutsideRange(f"a plan that allows {ac} of {n} accepts every lot; no share has chance {chance:g}")
    return float(stats.beta.ppf(1 - chance, ac + 1, n - ac))


def quality_poisson(n: int, ac: int, chance: float) -> float:
    """The defects per hundred units that are accepted with this chance. Book: derived (chi-squared quantile)."""
    _sane(n, ac)
    _chance(chance)
    return float(stats.chi2.ppf(1 - chance, 2 * (ac + 1)) / 2 / n * 100)


def quality_hypergeometric(lot: int, n: int, ac: int, chance: float) -> int:
    """The most bad units in the lot that are still accepted with at least this chance. Book: derived."""
    _chance(chance)
    low, high = 0, lot  # acceptance falls with every bad unit more, so halving finds the last
    while low < high:
        middle = (low + high + 1) // 2
        if accept_hypergeometric(lot, n, ac, middle) >= chance:
            low = middle
        else:
            high = middle - 1
    return low


def accept_scheme(normal: float, tightened: float) -> float:
    """Long-run chance of acceptance when normal and tightened inspection switch, from the chance under each.

    Stephens & Larson 1967, as given in the vignette (lawson-2023). Raises OutsideRange unless 0 < chances < 1.
    """
    if not (0 < normal < 1 and 0 < tightened < 1):
        raise OutsideRange(f"chances {normal:g} and {tightened:g} must lie between 0 and 1, ends left out")
    a = (2 - normal**4) / ((1 - normal) * (1 - normal**4))
    b = (1 - tightened**5) / ((1 - tightened) * tightened**5)
    return (a * normal + b * tightened) / (a + b)


def two_point_plan(
    good: float, chance_good: float, bad: float, chance_bad: float, *, largest: int = 5000
) -> tuple[int, int]:
    """The smallest plan (n, ac) that accepts share `good` at least as often and share `bad` at most as often as said.

    Binomial search. Book: derived. Raises NoPlan where none has n up to `largest`.
    """
    for p in (good, bad):
        _share(p)
    for chance in (chance_good, chance_bad):
        _chance(chance)
    if not (0 < good < bad < 1 and chance_bad < chance_good):
        raise OutsideRange(f"good {good:g} must lie under bad {bad:g}, and be accepted more often")
    n = 1
    for ac in range(largest):
        n = max(n, ac + 1)
        while n <= largest and accept_binomial(n, ac, bad) > chance_bad:
            n += 1
        if n > largest:
            break
        if accept_binomial(n, ac, good) >= chance_good:
            return n, ac
    raise NoPlan(f"no single plan of {largest} units or fewer separates {good:g} from {bad:g} so surely")


def _sane(n: int, ac: int) -> None:
    if n < 1 or ac < 0:
        raise OutsideRange(f"a plan of {n} units that allows {ac} is none; take n from 1 and allow from 0")


def _share(p: float) -> None:
    if not 0 <= p <= 1:
        raise OutsideRange(f"share {p:g} must lie in 0 to 1 (2.5 % is 0.025)")


def _chance(chance: float) -> None:
    if not 0 < chance < 1:
        raise OutsideRange(f"chance {chance:g} must lie between 0 and 1, ends left out")
