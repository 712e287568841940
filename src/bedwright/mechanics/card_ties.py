"""From a bed at size to its ties, its heat and its settling: thin, so that the sums stay on plain numbers."""

from __future__ import annotations

from bedwright.design.bed_at_size import BedAtSize, PanelAtSize, UnitAtSize
from bedwright.errors import NotKnown
from bedwright.mechanics.crown import Overheight, Rise
from bedwright.mechanics.heat import HeatedHeight, WireLot, heated_height
from bedwright.mechanics.panel_tension import (
    MEASURE,
    PanelTension,
    SewnPanel,
    SewnTolerance,
    entered_tension,
    panel_tension,
)
from bedwright.mechanics.settling import FillingSet, LossPart, Settling, border_loss, settling, wire_loss
from bedwright.mechanics.ties import RimSupport, Tie, rim_support, tie_under_pull
from bedwright.works.materials import Filling
from bedwright.works.springs import Coil

PERCENT = 100.0
STITCH_WAY = 1.0
"""Way [mm] over which side-stitch of a measured pull goes slack: plausible, not measured."""
ENTERED_TOLERANCE = 0.2
"""Of a measured tension where the card gives none [share]: plausible, not measured."""


def heated(coil: Coil, *, in_cloth: bool = False) -> HeatedHeight:
    """Free height of a coil card after heat and first pressing, by its wire lots. Raises FaultsFound."""
    lots = [WireLot(row.wire_lot, row.height_shift, row.first_set) for row in coil.heats]
    return heated_height(coil.heat, coil.free_height, lots, in_cloth=in_cloth)


def sewn_panel(bed: BedAtSize, panel: PanelAtSize, crown: Rise | Overheight | None = None) -> SewnPanel:
    """A panel as it is sewn on, along the roll being along the bed. Raises NotKnown, saying how to measure."""
    cloth = panel.ticking
    if cloth.stretch_along is None or cloth.stretch_across is None or not panel.fullness_known:
        empty = [name for name in ("stretch_along", "stretch_across") if getattr(cloth, name) is None]
        said = f"{cloth.called}: {', '.join(empty)} empty; " if empty else ""
        said += "" if panel.fullness_known else f"{bed.bed.called}: panel_fullness empty; "
        raise NotKnown(f"{said}panel tension {MEASURE}")
    return SewnPanel(
        panel=(panel.width, panel.length),
        case=(panel.case_width, panel.case_length),
        stretch=(PERCENT * cloth.stretch_across, PERCENT * cloth.stretch_along),
        tape_pull=bed.bed.tape_pull or 0.0,
        crown=crown,
    )


def face_tension(
    bed: BedAtSize,
    face: str,
    tolerance: SewnTolerance,
    *,
    crown: Rise | Overheight | None = None,
    entered: float = ENTERED_TOLERANCE,
) -> PanelTension:
    """Tension of the panel of a face: as measured where the bed card has it, else solved from sizes.

    entered: tolerance of a measured one [share]. Raises NotKnown when neither is there, or the face has no panel.
    """
    if bed.bed.panel_tension is not None:
        return entered_tension(bed.bed.panel_tension, entered)
    panel = bed.panel(face)
    if panel is None:
        raise NotKnown(f"{bed.key}: face {face} has no panel, and so no tension")
    return panel_tension(sewn_panel(bed, panel, crown), tolerance)


def bed_rim(bed: BedAtSize) -> RimSupport:
    """What the border carries under the rim, and how its wall holds the rim down.

    The wall needs the stretch of the border's cloth, upright across its roll. Raises NotKnown, saying how to measure.
    """
    border = bed.border
    if border.cloth.stretch_across is None:
        raise NotKnown(
            f"{border.cloth.called}: stretch_across is empty; hang a weight on a strip and measure two marks"
        )
    stitched = border.card.side_stitch != "none"
    wall = PERCENT * border.cloth.stretch_across
    return rim_support(border.card.standing_stiffness, wall, border.height, stitched=stitched)


def bed_side_stitch(bed: BedAtSize) -> Tie | None:
    """Side-stitch of the border card as a tie between border and outer coils [mm apart], per metre; None without.

    Its pull at rest is measured; it goes slack over `STITCH_WAY`. Raises NotKnown for a pull not measured.
    """
    card = bed.border.card
    if card.side_stitch == "none":
        return None
    if card.side_stitch_pull is None:
        raise NotKnown(
            f"{card.called}: side_stitch_pull is empty; draw one stitch with a spring balance, over its metres"
        )
    return tie_under_pull(card.side_stitch_pull, 0.0, max(card.side_stitch_pull, 1e-6) / STITCH_WAY)


def bed_settling(
    bed: BedAtSize, border: LossPart | None = None, relaxation: tuple[float, float] | None = None
) -> Settling:
    """Loss of height of a bed in its middle, by its cards; its own roller tests stand where they are read.

    border: of another spot (settling.border_loss); relaxation: of the coils, as the maker measured it [mm]. Tests of
    another size, and of fewer cycles than the longest, are left out. Raises FaultsFound.
    """
    fillings = [
        filling_set(layer.part, layer.built_thickness * layer.count)
        for layer in bed.layers
        if isinstance(layer.part, Filling)
    ]
    for panel in bed.panels:
        fillings += [filling_set(ply, ply.thickness) for ply in panel.plies if isinstance(ply, Filling)]
    read = [
        (test.cycles, test.height_before, test.height_after)
        for test in bed.bed.tests
        if test.height_before is not None and test.height_after is not None and test.size in (None, bed.size.code)
    ]
    longest = max((cycles for cycles, *_ in read), default=0)
    heights = [(before, after) for cycles, before, after in read if cycles == longest]
    return settling(
        fillings,
        border or border_loss(None, None, 0.0),
        wire_loss(first_set(bed.unit), relaxation),
        before=[before for before, _ in heights],
        after=[after for _, after in heights],
    )


def filling_set(filling: Filling, thickness: float) -> FillingSet:
    """A filling's set from its card [%]; where only the usual one is there it is both ends."""
    high = filling.set_share if filling.set_share_high is None else filling.set_share_high
    return FillingSet(filling.name or filling.code, thickness, filling.set_share, high)


def first_set(unit: UnitAtSize) -> float | None:
    """Greatest first set of the unit's coils by their wire lots [mm]; None where a coil has none measured."""
    sets = [[row.first_set for row in group.coil.heats if row.first_set is not None] for group in unit.groups]
    return max(max(found) for found in sets) if sets and all(sets) else None
