"""What comes out when persons lie on a bed: the pressure under each, how far each part sinks, how the spine lies.

A comparison of beds; no medical claim is made or can be made of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
PARTS = ("head", "trunk", "pelvis", "legs")
"""Along the body: above the seventh neck vertebra; to the tenth rib; to mid thigh; below. Arms count where they lie."""
THRESHOLD = 0.5
"""Pressure from which a cell counts as touched [kPa]; always said with an area or a mean."""
SHOWN_ABOVE = (32.0, 60.0, 80.0)
"""Pressures [mmHg] above which the share of the touched area is said; comparison only (body page, section 4)."""


@dataclass(frozen=True, slots=True)
class Spine:
    """The line of the spine's points, foot to head: along the bed from the head's edge [mm], height [mm] above the
    untouched face (below it: negative). On the side the line lies in the plane of the bed's length and height.

    angle [deg]: of the least-squares line, head high positive; departure, rms [mm]: largest and mean square distance
    of the points from that line, less what the person's own standing spine departs.
    """

    along: Array
    height: Array
    angle: float
    departure: float
    rms: float


@dataclass(frozen=True, slots=True)
class Lain:
    """One person lying.

    contact_area [m2]: cells of more than THRESHOLD kPa; mean, p95, p99 [kPa] over those cells; weight [N];
    carried [N]: by the bed. share: of the weight by PARTS; sink [mm]: of head, shoulder, waist, hip, knee, heel below
    the untouched face. lumbar_gap [mm]: supine, how far the small of the back lies above the line from shoulder blades
    to buttocks; clearance [mm]: the largest gap there between back and bed (0: it touches).
    above: share of the touched area above each of SHOWN_ABOVE. force_error, moment_error: what is out of balance, as a
    share of the weight, and of weight x stature. roll [deg]: towards the right edge positive.
    """

    called: str
    posture: str
    contact_area: float
    mean: float
    p95: float
    p99: float
    weight: float
    carried: float
    share: dict[str, float]
    sink: dict[str, float]
    spine: Spine
    lumbar_gap: float | None
    above: tuple[float, ...]
    force_error: float
    moment_error: float
    roll: float
    outline: tuple[tuple[Array, Array], ...]  # plan outlines of its parts x, y [mm], for drawings
    clearance: float | None = None


@dataclass(frozen=True, slots=True)
class Slice:
    """The bed cut along a person ("along", at x) or across the bed ("across", at y) [mm]: places from the left or the
    head's edge, heights above the base of the upper face untouched and under the persons, and of the lowest body
    surface there (nan where no body is)."""

    way: str
    at: float
    place: Array
    untouched: Array
    face: Array
    body: Array


@dataclass(frozen=True, slots=True)
class Lying:
    """Persons on a bed. x (across), y (along) [mm]: middles of the cells of `cell` mm; pressure [kPa] and
    face_down, how far the face lies below the untouched one [mm], (len(y), len(x)).

    width, length [mm]; slices: along each person, then across the bed at the hips. residual: of the bed's equilibrium,
    as a share of the weight.
    """

    bed: str
    width: float
    length: float
    persons: tuple[Lain, ...]
    x: Array
    y: Array
    cell: float
    pressure: Array
    slices: tuple[Slice, ...]
    residual: float
    newton: int
    nodes: int
    base: str
    face: str
    model: str
    notes: tuple[str, ...]
    face_down: Array = field(default_factory=lambda: np.zeros((0, 0)))


CAUTION = (
    "For comparing beds with each other only. Not a medical device: nothing here says that a bed is safe for anybody's "
    "skin, back or sleep. Not for infants, nor for persons who are ill, injured, pregnant or bound to bed."
)
