"""The one place where the weigh-up lays persons on a build."""

from __future__ import annotations

from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import NotConverged
from bedwright.mechanics.base import SOLID
from bedwright.mechanics.bed_field import bed_field
from bedwright.mechanics.bed_model import BedModel
from bedwright.mechanics.lying import Lies, bedded_on, told_of, untouched_face
from bedwright.mechanics.lying_bench import Rested, rested
from bedwright.weighing.asked import Suited


@dataclass(frozen=True, slots=True)
class Lain:
    """area [m2], mean and p99 [kPa] of the pressure; departure [mm]: largest of the spine's points from its line."""

    area: float
    mean: float
    p99: float
    departure: float


def lain_on(
    bed: BedAtSize, who: Suited, model: BedModel, cell: float, tolerance: float, start: Rested | None = None
) -> Lain:
    """One person alone in the middle of a bed. start: at rest on a bed like it, to begin from: it saves half the steps.

    Raises NotKnown, NotConverged, FaultsFound.
    """
    bedded = bedded_on(bed, [Lies(who.person, who.posture)], model, SOLID, cell)
    one = bed_field(model, bedded.placed)
    shape = len(one.area), len(one.tension)
    near = start if start is not None and start.u.shape == shape and len(start.w) == len(bedded.on.rolls) else None
    try:
        found = rested(one, bedded.on, tolerance, near)
    except NotConverged:
        if near is None:
            raise
        found = rested(one, bedded.on, tolerance)  # a bed too unlike the one that was begun from
    lain = told_of(bed, model, bedded, found, untouched_face(model, one)).persons[0]
    return Lain(lain.contact_area, lain.mean, lain.p99, lain.spine.departure)


def rest_on(bed: BedAtSize, who: Suited, model: BedModel, cell: float, tolerance: float) -> Rested:
    """A person at rest, for builds that are like this bed to begin from. Raises as lain_on."""
    bedded = bedded_on(bed, [Lies(who.person, who.posture)], model, SOLID, cell)
    return rested(bed_field(model, bedded.placed), bedded.on, tolerance)
