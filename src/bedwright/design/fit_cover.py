"""Fit of what goes round the core: panels, tufts, heights, closing, wrap."""

from __future__ import annotations

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.part_fault import part_fault
from bedwright.design.wrap_at_size import why_not_rolled
from bedwright.errors import Fault
from bedwright.works.materials import Cloth, Filling
from bedwright.works.works import Works


def panel_faults(bed: BedAtSize) -> list[Fault]:
    """Roll width, contraction not measured, panel against unit."""
    faults = []
    for panel in {panel.card.code: panel for panel in bed.panels}.values():
        narrowest: Cloth | Filling = panel.ticking
        usable = panel.ticking.usable_width or panel.ticking.roll_width
        for ply in panel.plies:
            width = (ply.usable_width or ply.roll_width) if isinstance(ply, Cloth) else ply.sheet_width
            if width < usable:
                narrowest, usable = ply, width
        need = panel.fed_width
        if panel.ticking.one_way is False:
            need = min(panel.fed_width, panel.fed_length)
        if need > usable:
            faults.append(
                part_fault(
                    bed, narrowest, "roll_width" if isinstance(narrowest, Cloth) else "sheet_width", usable,
                    f"panel {panel.card.code} is fed {need:.0f} mm wide, and this gives {usable:g}",
                    "take a wider roll, or join before quilting and say so on the sheet",
                )
            )  # fmt: skip
        if not panel.contraction_known:
            faults.append(
                part_fault(
                    bed, panel.card, "contraction_along", None,
                    "the contraction of this pattern is not known; panels may come out small",
                    "quilt a marked metre, let it relax a day, measure both ways",
                    grave=False,
                )
            )  # fmt: skip
        if panel.width + 1e-9 < bed.unit.width or panel.length + 1e-9 < bed.unit.length:
            faults.append(
                part_fault(
                    bed, panel.card, "code", panel.card.code,
                    f"the panel is {panel.width:g} x {panel.length:g} mm, smaller than the unit",
                    "check the label size, the unit and the fullness of the panel",
                )
            )  # fmt: skip
    return faults


def tuft_faults(bed: BedAtSize) -> list[Fault]:
    """Tufts against the bed: inside, not loose, not too deep, not far from their diamond."""
    tufts = bed.tufts
    if tufts is None:
        return []
    faults = []
    if not tufts.places:
        faults.append(
            part_fault(
                bed, bed.bed, "tuft_edge", bed.bed.tuft_edge,
                "no tuft fits inside this distance from the edge", "take a smaller distance or spacing",
            )
        )  # fmt: skip
    if tufts.height >= bed.reckoned_height:
        faults.append(
            part_fault(
                bed, bed.bed, "tufted_height", f"{tufts.height:g}",
                f"the tuft is longer than the bed is high ({bed.reckoned_height:.0f} mm): it would hang loose",
                f"clamp below {bed.reckoned_height:.0f} mm",
            )
        )  # fmt: skip
    if tufts.height <= bed.unit.height * 0.6:
        faults.append(
            part_fault(
                bed, bed.bed, "tufted_height", f"{tufts.height:g}",
                f"the tuft would pull the bed below 60 % of its unit's {bed.unit.height:.0f} mm",
                "clamp higher; two tufters and a press do not reach this",
            )
        )  # fmt: skip
    assert bed.bed.tuft_spacing is not None
    if tufts.moved > bed.bed.tuft_spacing / 4:
        faults.append(
            part_fault(
                bed, bed.bed, "tuft_spacing", f"{bed.bed.tuft_spacing:g}",
                f"gaps between coils put tufts {tufts.moved:.0f} mm off the spacing asked for",
                "choose a spacing that goes with the pitch",
                grave=False,
            )
        )  # fmt: skip
    if bed.bed.faces == 1:
        faults.append(
            part_fault(
                bed, bed.bed, "tuft", bed.bed.tuft, "through-tufts on a one-sided bed show on its base cloth",
                "tuft two-sided beds, or say on the label that it is meant so", grave=False,
            )
        )  # fmt: skip
    return faults


def height_faults(works: Works, bed: BedAtSize) -> list[Fault]:
    """Height aimed at against the parts; the upper bunk mark."""
    faults = []
    tolerance = works.rule("tolerance_height")
    low = bed.reckoned_height - tolerance
    if bed.tufts is not None:
        low = bed.tufts.height
    high = bed.reckoned_height + tolerance
    if low <= high and not low <= bed.height <= high:  # a tuft longer than the bed is high is told by itself
        faults.append(
            part_fault(
                bed, bed.bed, "finished_height", f"{bed.height:g}",
                f"the parts add up to {bed.reckoned_height:.0f} mm, and this is aimed at {bed.height:g}",
                f"aim between {low:.0f} and {high:.0f} mm, or change a layer",
            )
        )  # fmt: skip
    limit = works.rule("bunk_height_limit")
    if bed.bed.upper_bunk and bed.height > limit:
        faults.append(
            part_fault(
                bed, bed.bed, "upper_bunk", f"{bed.height:g}",
                f"{bed.height:.0f} mm is above the upper bunk's mark of {limit:g} mm: a fall over the guard",
                "take a lower bed; read the limit marked on the bunk itself",
            )
        )  # fmt: skip
    return faults


def closing_faults(bed: BedAtSize) -> list[Fault]:
    """Base cloth, turning, hand side-stitch against a foam rail."""
    faults = []
    if bed.bed.faces == 1 and bed.closure.base_cloth is None:
        faults.append(
            part_fault(
                bed, bed.closure.card, "base_cloth", None,
                "a one-sided bed has no cloth under it", "name a plain or non-slip base cloth",
            )
        )  # fmt: skip
    if bed.bed.faces == 2 and bed.closure.base_cloth is not None:
        faults.append(
            part_fault(
                bed, bed.closure.card, "base_cloth", bed.closure.base_cloth.code,
                "a two-sided bed has panels on both faces and no base cloth", "leave base_cloth empty",
            )
        )  # fmt: skip
    if bed.bed.faces == 1 and bed.bed.turning == "turn and rotate":
        faults.append(
            part_fault(
                bed, bed.bed, "turning", bed.bed.turning,
                "a one-sided bed is not turned over", "set turning to rotate only or none",
            )
        )  # fmt: skip
    if bed.bed.tape_pull is not None and bed.closure.tape is None:
        faults.append(
            part_fault(
                bed, bed.bed, "tape_pull", f"{bed.bed.tape_pull:g}",
                "a tape pulls on the panel, and this bed is not taped", "leave it empty", grave=False,
            )
        )  # fmt: skip
    side = bed.border.card
    if side.side_stitch == "hand" and bed.edge is not None and bed.edge.card.form == "foam rail":
        faults.append(
            part_fault(
                bed, side, "side_stitch", side.side_stitch,
                "hand side-stitch draws the border to the outer coils, and a foam rail lies between",
                "use machine side-stitch, or another edge",
            )
        )  # fmt: skip
    return faults


def wrap_faults(works: Works, bed: BedAtSize) -> list[Fault]:
    """What may be rolled, film width, height of bought units on arrival."""
    faults = []
    if bed.bed.wrap == "rolled":
        reasons = why_not_rolled(works, bed.bed, bed.unit, bed.edge, bed.layers, bed.panels, bed.height)
        faults += [
            part_fault(
                bed, bed.bed, "wrap", "rolled", f"this bed may not be rolled: {reason}", "pack it flat or in a bag"
            )
            for reason in reasons
        ]
    tube = bed.wrap.film.tube_width
    if bed.bed.wrap != "rolled" and tube is not None and tube < bed.width + bed.height:
        faults.append(
            part_fault(
                bed, bed.wrap.film, "tube_width", f"{tube:g}",
                f"the tube is narrower than bed width + height, {bed.width + bed.height:.0f} mm",
                "take a wider tube",
            )
        )  # fmt: skip
    unit = bed.unit.card
    if unit.origin == "bought" and unit.least_height is not None and unit.least_height < 0.9 * bed.unit.height:
        faults.append(
            part_fault(
                bed, unit, "least_height", f"{unit.least_height:g}",
                f"units accepted at {unit.least_height:g} mm make a bed more than a tenth lower in its core",
                "agree a higher least height on arrival",
                grave=False,
            )
        )  # fmt: skip
    return faults
