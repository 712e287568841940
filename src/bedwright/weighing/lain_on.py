"""The one place where the weigh-up lays persons on a build."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.lying import Lies, lying
from bedwright.weighing.asked import Suited


@dataclass(frozen=True, slots=True)
class Lain:
    """area [m2], mean and p99 [kPa] of the pressure; departure [mm]: largest of the spine's points from its line."""

    area: float
    mean: float
    p99: float
    departure: float


def lain_on(bed: BedAtSize, who: Suited, model: BedModel, cell: float, tolerance: float) -> Lain:
    """One person alone in the middle of a bed. Raises NotKnown, NotConverged, FaultsFound."""
    found = lying(bed, [Lies(who.person, who.posture)], model=model, cell=cell, tolerance=tolerance)
    one = found.persons[0]
    return Lain(one.contact_area, one.mean, one.p99, one.spine.departure)
