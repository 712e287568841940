"""How often a made bed falls outside the band of hardness: open figures drawn between their limits, and counted.

Each figure is as likely anywhere between its limits, each by itself; what it does to H is taken straight from nothing
to its limit, as the interval of H has it. A plain count with its exact binomial interval (book `clopper-pearson`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import betaincinv

from bedwright.errors import OutsideRange
from bedwright.mechanics.intervals import Move

DRAWN = 4000
CONFIDENCE = 0.95
MADE = ("wire diameter", "live turns", "coil diameter", "coil height", "pocket height")
"""Figures that differ from bed to bed or lot to lot; fillings and heats too. The others are what nobody measured."""


@dataclass(frozen=True, slots=True)
class Chance:
    """Of `drawn` beds `outside` fell out of the band; share with the ends of its binomial interval."""

    outside: int
    drawn: int
    share: float
    low: float
    high: float

    def words(self) -> str:
        """The count, the share and its interval."""
        ends = f"{100 * self.low:.1f} to {100 * self.high:.1f} %"
        return f"{self.outside} of {self.drawn} drawn, {100 * self.share:.1f} % ({ends})"


def is_made(name: str) -> bool:
    """Whether a figure of this name differs from bed to bed, by making and by lots."""
    return name in MADE or name.startswith(("filling ", "heat of "))


def binomial_interval(hits: int, drawn: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """Exact interval of a share of which `hits` of `drawn` were seen (book `clopper-pearson`). Raises OutsideRange."""
    if not (0 <= hits <= drawn and drawn >= 1 and 0 < confidence < 1):
        raise OutsideRange(f"{hits} of {drawn} at confidence {confidence}: give a count within one of 1 or more")
    tail = (1 - confidence) / 2
    low = 0.0 if hits == 0 else float(betaincinv(hits, drawn - hits + 1, tail))
    high = 1.0 if hits == drawn else float(betaincinv(hits + 1, drawn - hits, 1 - tail))
    return low, high


def outside_band(
    value: float, moves: Sequence[Move], band: tuple[float, float], seed: int, drawn: int = DRAWN, *, made: bool = False
) -> Chance:
    """How often H as tangent [N/mm] falls outside a band when its figures are drawn; made: only those of making.

    Same seed, same count. Raises OutsideRange for no draws.
    """
    if drawn < 1:
        raise OutsideRange(f"{drawn} draws asked for; give 1 or more")
    used = sorted((move for move in moves if not made or is_made(move.name)), key=lambda move: move.name)
    chance = np.random.default_rng([seed, 41])
    at = chance.uniform(-1.0, 1.0, (drawn, len(used)))
    up, down = (np.array([getattr(m, f) for m in used]) for f in ("tangent_up", "tangent_down"))
    found = value + np.sum(np.where(at > 0, at * up, -at * down), axis=1)
    hits = int(np.count_nonzero((found < band[0]) | (found > band[1])))
    low, high = binomial_interval(hits, drawn)
    return Chance(hits, drawn, hits / drawn, low, high)
