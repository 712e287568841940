"""Where tufts go: a diamond over the bed, each place moved to the nearest gap between coils.

Spacing and distance from the edge are the maker's; the table of counts per size is what comes out
(common practice, no source). A needle that meets a coil or a knot bends: that is why places are moved.
"""

from __future__ import annotations

import math

from bedwright.design.bed_at_size import TuftsAtSize, UnitAtSize
from bedwright.works.beds import Bed
from bedwright.works.works import Works


def wished_places(width: float, length: float, spacing: float, edge: float) -> tuple[tuple[float, float], ...]:
    """Places of a diamond [mm], symmetrical in the plan: rows half a spacing apart, every second row between."""
    inner_width, inner_length = width - 2 * edge, length - 2 * edge
    if inner_width < 0 or inner_length < 0:
        return ()
    columns = max(1, round(inner_width / spacing) + 1)
    rows = max(1, round(inner_length / (spacing / 2)) + 1)
    rows += 1 - rows % 2  # an odd count: first and last row are alike
    step_x = inner_width / (columns - 1) if columns > 1 else 0.0
    step_y = inner_length / (rows - 1) if rows > 1 else 0.0
    places = []
    for row in range(rows):
        between = row % 2 == 1
        for column in range(columns - (1 if between else 0)):
            x = edge + (column + (0.5 if between else 0.0)) * step_x
            places.append((x, edge + row * step_y))
    return tuple(places)


def tufts_at_size(works: Works, bed: Bed, unit: UnitAtSize, width: float, length: float) -> TuftsAtSize | None:
    """The tufts of a bed of width x length [mm] above a unit that lies in its middle; None without tufts."""
    if bed.tuft is None:
        return None
    assert bed.tuft_spacing is not None and bed.tuft_edge is not None and bed.tufted_height is not None
    origin = (width - unit.width) / 2, (length - unit.length) / 2
    gaps = [(origin[0] + x, origin[1] + y) for x, y in unit.lattice.gaps()]
    gaps = [gap for gap in gaps if _inside(gap, width, length, bed.tuft_edge / 2)]
    taken: dict[tuple[float, float], float] = {}
    for x, y in wished_places(width, length, bed.tuft_spacing, bed.tuft_edge):
        if not gaps:
            break
        gap = min(gaps, key=lambda gap: (round((gap[0] - x) ** 2 + (gap[1] - y) ** 2, 6), gap))
        taken.setdefault(gap, math.dist(gap, (x, y)))
    places = tuple(sorted(taken, key=lambda place: (round(place[1], 3), round(place[0], 3))))
    return TuftsAtSize(
        trim=works.trims[bed.tuft],
        places=places,
        height=bed.tufted_height,
        moved=max(taken.values(), default=0.0),
        cord_length=bed.tufted_height + works.rule("tuft_thread"),
    )


def _inside(place: tuple[float, float], width: float, length: float, edge: float) -> bool:
    return edge <= place[0] <= width - edge and edge <= place[1] <= length - edge
