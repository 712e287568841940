"""What the cards say of a bed's ties, as open figures: panel tension, the border under the rim, a coil's heat."""

from __future__ import annotations

import contextlib

from bedwright.design.bed_at_size import BedAtSize
from bedwright.errors import NotKnown
from bedwright.mechanics.card_ties import bed_rim as rim_of
from bedwright.mechanics.card_ties import bed_side_stitch, face_tension, heated
from bedwright.mechanics.open_figure import OpenFigure
from bedwright.mechanics.panel_tension import SewnTolerance
from bedwright.works.springs import Coil

PLAUSIBLE_TENSION = 100.0  # [N/m]: a plausible choice of a trial; the range is from nothing to three times it
SEWN = SewnTolerance(cut=2.0, stretch=0.15, tape_pull=0.25)
"""Half widths of what makes a panel's tension: panel against case [mm] (two panels of one setting), stretch and tape
pull [share]; plausible, not measured: a works that knows better enters the tension."""


def bed_tension(bed: BedAtSize, face: str) -> OpenFigure:
    """Tension of a face's panel [N/m]: as measured; else solved from cut sizes; else plausible only."""
    name, unit, card = "panel tension", "N/m", f"bed {bed.key}"
    measured = bed.bed.panel_tension
    if measured is None:
        try:
            found = face_tension(bed, face, SEWN)
        except NotKnown:
            return OpenFigure.measured_or(name, "panel_tension", None, PLAUSIBLE_TENSION, unit, card)
        return OpenFigure(name, found.mean, found.low, found.high, unit, True, "panel_fullness", card, solved=True)
    return OpenFigure.measured_or(name, "panel_tension", measured, PLAUSIBLE_TENSION, unit, card)


def bed_rim(bed: BedAtSize) -> tuple[OpenFigure, float]:
    """What the border carries standing, and how its wall and side-stitch hold the rim down [N/mm per m].

    Nothing where it is not measured: cloth folds.
    """
    name, field, unit = "border", "standing_stiffness", "N/mm per m"
    card = bed.border.card
    hold = 0.0
    with contextlib.suppress(NotKnown):
        hold = rim_of(bed).wall
    try:
        stitch = bed_side_stitch(bed)
        hold += stitch.stiffness if stitch is not None else 0.0
    except NotKnown:
        pass
    if card.standing_stiffness is not None:
        return OpenFigure.measured_or(name, field, card.standing_stiffness, 0.0, unit, card.called), hold
    return OpenFigure(name, 0.0, 0.0, 0.0, unit, card.side_stitch == "none", field, card.called), hold


def coil_heat(coil: Coil, in_cloth: bool) -> OpenFigure:
    """Change of a coil's free height by heat and first pressing [mm], over the wire lots the maker read.

    Its range is from the least to the greatest of the lots: what statistics say of the next lot is ten times as wide
    after two of them, and the works takes no coil that is off by more than its tolerance of height.
    """
    name, field = f"heat of {coil.code}", "heats"
    found = heated(coil, in_cloth=in_cloth) if coil.heats else None
    height = None
    if found is not None:
        height = found.after_press if found.after_press is not None else found.after_heat
    if found is None or height is None:
        return OpenFigure(name, 0.0, 0.0, 0.0, "mm", True, field, coil.called, solved=True)
    pressed = found.after_press is not None
    lots = [
        (row.height_shift or 0.0) - (row.first_set or 0.0 if pressed else 0.0)
        for row in coil.heats
        if (row.first_set if pressed else row.height_shift) is not None
        and (row.height_shift is not None or coil.heat == "none")
    ]
    low, high = min(lots), max(lots)
    free = coil.free_height
    return OpenFigure(name, height - free, low, high, "mm", True, field, coil.called, solved=True)
