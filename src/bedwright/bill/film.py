"""Film for bags and rolls: thickness to mass, a bag's area, what a roll saves in volume.

Film gauge (film-gauge): UK micron = gauge / 4; LDPE 0.92 g/cm3, range 0.91 to 0.94.
"""

from __future__ import annotations

import math

from bedwright.errors import OutsideRange

LDPE_DENSITY = 0.92  # g/cm3


def film_mass_per_area(micron: float, density: float = LDPE_DENSITY) -> float:
    """Mass of film [g/m2] from thickness [micron] and density [g/cm3]: 1 micron on 1 m2 is 1 cm3. Book: film-gauge."""
    _positive(micron=micron, density=density)
    return micron * density


def bag_area(width: float, length: float, height: float, overlap: float = 100.0) -> float:
    """Film of a bag [m2] for a bed [mm]: a tube round width and height, closed over the height at both ends.

    2 (W + H) (L + H + overlap); overlap [mm] is the extra length, a house rule. Book: derived.
    """
    _positive(width=width, length=length, height=height)
    if not 0 <= overlap < math.inf:
        raise OutsideRange(f"overlap {overlap} mm must be 0 or more")
    return 2 * (width + height) * (length + height + overlap) / 1e6


def bag_mass(
    width: float, length: float, height: float, micron: float, *, overlap: float = 100.0, density: float = LDPE_DENSITY
) -> float:
    """Mass of that bag [kg]. Book: film-gauge, derived."""
    return bag_area(width, length, height, overlap) * film_mass_per_area(micron, density) / 1000


def roll_film_area(diameter: float, length: float, turns: float) -> float:
    """Film round a rolled bed [m2]: turns x circumference x length, sizes in mm. Book: derived."""
    _positive(diameter=diameter, length=length, turns=turns)
    return math.pi * diameter * length * turns / 1e6


def pack_ratio(flat: tuple[float, float, float], packed: tuple[float, float, float]) -> float:
    """How many times smaller the pack is than the flat bed, by volume of the boxes round them. Book: roll-pack."""
    _positive(**{f"side_{i}": side for i, side in enumerate((*flat, *packed), 1)})
    return math.prod(flat) / math.prod(packed)


def _positive(**sizes: float) -> None:
    wrong = [f"{name} {value}" for name, value in sizes.items() if not 0 < value < math.inf]
    if wrong:
        raise OutsideRange(f"{', '.join(wrong)} must be more than nothing")
