"""Where tufts go: a diamond that stands on the gaps between coils.

Spacing and distance from the edge are the maker's; the table of counts per size is what comes out
(common practice, no source). A needle that meets a coil or a knot bends, so every place is the middle of a gap: on a
square lattice the diamond takes whole steps from gap to gap, the steps nearest to the spacing asked for; in nested rows
each place goes to its nearest gap.
"""

from __future__ import annotations

import math

from bedwright.design.bed_at_size import TuftsAtSize, UnitAtSize
from bedwright.design.lattice import Lattice
from bedwright.works.beds import Bed
from bedwright.works.works import Works

Place = tuple[float, float]
LARGEST_STEP = 40


def tufts_at_size(works: Works, bed: Bed, unit: UnitAtSize, width: float, length: float) -> TuftsAtSize | None:
    """The tufts of a bed of width x length [mm] above a unit that lies in its middle; None without tufts."""
    if bed.tuft is None:
        return None
    assert bed.tuft_spacing is not None and bed.tuft_edge is not None and bed.tufted_height is not None
    origin = (width - unit.width) / 2, (length - unit.length) / 2
    if unit.lattice.nested:
        found, moved = _snapped(unit.lattice, origin, width, length, bed.tuft_spacing, bed.tuft_edge)
    else:
        found, moved = _stepped(unit.lattice, origin, width, length, bed.tuft_spacing, bed.tuft_edge)
    return TuftsAtSize(
        trim=works.trims[bed.tuft],
        places=tuple(sorted(found, key=lambda place: (round(place[1], 3), round(place[0], 3)))),
        height=bed.tufted_height,
        moved=moved,
        cord_length=bed.tufted_height + works.rule("tuft_thread"),
        pull=bed.tuft_pull,
    )


def steps(pitch_across: float, pitch_along: float, spacing: float) -> tuple[int, int]:
    """Gaps to step across (even, so that every second row stands between) and along, nearest to a spacing [mm].

    A diamond of that spacing gives every tuft spacing^2 / 2 of the bed. As many tufts as that comes first; that the
    diamond is as long as it is wide counts half.
    """

    def miss(across: int, along: int) -> float:
        wide, long = across * pitch_across, 2 * along * pitch_along
        return abs(math.log(wide * long / spacing**2)) + abs(math.log(wide / long)) / 2

    pairs = [(x, y) for x in range(2, LARGEST_STEP, 2) for y in range(1, LARGEST_STEP)]
    return min(pairs, key=lambda pair: (round(miss(*pair), 9), pair))


def _stepped(
    lattice: Lattice, origin: Place, width: float, length: float, spacing: float, edge: float
) -> tuple[list[Place], float]:
    """A diamond on the gaps of a square lattice, as symmetrical as whole gaps allow; and how far its spacing is off."""
    if lattice.across < 2 or lattice.along < 2:
        return [], 0.0
    step_x, step_y = steps(lattice.pitch_across, lattice.pitch_along, spacing)
    first = origin[0] + lattice.head / 2 + lattice.pitch_across / 2, origin[1] + lattice.head / 2
    columns = _inside(lattice.across - 1, first[0], lattice.pitch_across, width, edge)
    rows = _inside(lattice.along - 1, first[1] + lattice.pitch_along / 2, lattice.pitch_along, length, edge)
    if not columns or not rows:
        return [], 0.0
    across, along = _centred(columns, step_x, step_x // 2), _centred(rows, step_y, 0)
    places = []
    for number, row in enumerate(along):
        between = [column + step_x // 2 for column in across if column + step_x // 2 <= columns[-1]]
        for column in across if number % 2 == 0 else between:
            places.append(
                (
                    first[0] + column * lattice.pitch_across,
                    first[1] + lattice.pitch_along / 2 + row * lattice.pitch_along,
                )
            )
    even = math.sqrt(step_x * lattice.pitch_across * 2 * step_y * lattice.pitch_along)
    return places, abs(even - spacing)


def _inside(count: int, first: float, pitch: float, size: float, edge: float) -> range:
    """Numbers of the gaps that keep the distance from both edges."""
    good = [number for number in range(count) if edge <= first + number * pitch <= size - edge]
    return range(good[0], good[-1] + 1) if good else range(0)


def _centred(gaps: range, step: int, between: int) -> list[int]:
    """Every step-th gap, the rest shared between both ends; places `between` further on count where they fit.

    So every row of a brick-like diamond may hold as many, and turning the bed round shows the same pattern.
    """
    count = (len(gaps) - 1) // step + 1
    rest = len(gaps) - 1 - (count - 1) * step
    start = gaps[0] + (rest - between if rest >= between else rest) // 2
    return [start + number * step for number in range(count)]


def wished_places(width: float, length: float, spacing: float, edge: float) -> tuple[Place, ...]:
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


def _snapped(
    lattice: Lattice, origin: Place, width: float, length: float, spacing: float, edge: float
) -> tuple[list[Place], float]:
    """Each place of the wished diamond at its nearest gap, no gap twice; and how far the furthest was moved."""
    gaps = [(origin[0] + x, origin[1] + y) for x, y in lattice.gaps()]
    gaps = [gap for gap in gaps if edge / 2 <= gap[0] <= width - edge / 2 and edge / 2 <= gap[1] <= length - edge / 2]
    taken: dict[Place, float] = {}
    for x, y in wished_places(width, length, spacing, edge):
        if not gaps:
            break
        gap = min(gaps, key=lambda gap: (round((gap[0] - x) ** 2 + (gap[1] - y) ** 2, 6), gap))
        taken.setdefault(gap, math.dist(gap, (x, y)))
    return list(taken), max(taken.values(), default=0.0)
