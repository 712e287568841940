"""Border and closing at size: perimeter, loop, heights, tape.

Border height = bed height - what both tape edges take + both seams; border length is slightly under the perimeter
(common practice, no source). A corner of radius r saves (2 - pi/2) r of the perimeter (derived).
"""

from __future__ import annotations

import math

from bedwright.design.bed_at_size import BorderAtSize, ClosureAtSize
from bedwright.works.beds import Bed, Border, Closure
from bedwright.works.works import Works


def perimeter(width: float, length: float, corner_radius: float) -> float:
    """Perimeter of a plan with rounded corners [mm]."""
    return 2 * (width + length) - (8 - 2 * math.pi) * corner_radius


def border_at_size(works: Works, border: Border, height: float, around: float) -> BorderAtSize:
    """The border of a bed of that height with that perimeter `around` [mm]."""
    standing = height - 2 * works.rule("border_tape_share")
    loop = around * (1 - works.rule("border_under_perimeter") / 100)
    rows = border.side_stitch_rows if border.side_stitch != "none" else 0
    return BorderAtSize(
        card=border,
        cloth=works.cloths[border.cloth],
        filling=works.fillings[border.filling] if border.filling else None,
        backing=works.cloths[border.backing] if border.backing else None,
        thread=works.trims[border.thread] if border.thread else None,
        cord=works.trims[border.side_stitch_cord] if border.side_stitch_cord else None,
        height=standing,
        cut_height=standing + works.rule("border_height_seams"),
        loop_length=loop,
        cut_length=loop + works.rule("border_join"),
        fittings=tuple(
            (works.fittings[row.fitting], row.per_bed) for row in sorted(border.fittings, key=lambda row: row.position)
        ),
        side_stitch_length=rows * loop,
    )


def closure_at_size(works: Works, closure: Closure, bed: Bed, width: float, length: float) -> ClosureAtSize:
    """Tape, zip and base cloth of a bed of width x length [mm]. Tape edge is two passes with a flip."""
    around = perimeter(width, length, bed.corner_radius)
    taped = closure.form == "taped"
    sides = {1: width, 2: width + length, 3: 2 * length + width, 4: around}
    return ClosureAtSize(
        card=closure,
        tape=works.trims[closure.tape] if closure.tape and taped else None,
        thread=works.trims[closure.thread],
        zip=works.trims[closure.zip] if closure.zip else None,
        perimeter=around,
        passes=2 if taped else 1,
        tape_per_pass=around + 4 * works.rule("tape_corner") + works.rule("tape_join") if taped else 0.0,
        zip_length=sides[closure.zip_sides] if closure.zip_sides else 0.0,
        base_cloth=works.cloths[closure.base_cloth] if closure.base_cloth else None,
        base_width=width + 2 * works.rule("seam") if closure.base_cloth else 0.0,
        base_length=length + 2 * works.rule("seam") if closure.base_cloth else 0.0,
    )
