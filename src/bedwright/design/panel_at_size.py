"""Panels and their edge at size: finished, trimmed, quilted, fed.

Continuous multi-needle: ticking and wadding are fed together, then trimmed and cut to size. Single deep panel: the
ticking is pre-cut with extra for its curve, and the padding is cut to the finished size (common practice, no source).
A fed size is the size before contraction: fed = after / (1 - s) (derived; s is measured by the maker).
"""

from __future__ import annotations

from bedwright.design.bed_at_size import EdgingAtSize, PanelAtSize
from bedwright.works.beds import Panel, PanelEdge
from bedwright.works.materials import Cloth, Filling
from bedwright.works.works import Works


def before_contraction(size: float, contraction_percent: float) -> float:
    """Size to feed [mm] so that `size` [mm] is left after losing a share [%]."""
    return size / (1 - contraction_percent / 100)


def panel_plies(works: Works, panel: Panel) -> tuple[Filling | Cloth, ...]:
    """Cards of the plies below the ticking, outermost first."""
    found: list[Filling | Cloth] = []
    for ply in sorted(panel.plies, key=lambda ply: ply.position):
        filling = works.fillings.get(ply.part)
        found.append(filling if filling is not None else works.cloths[ply.part])
    return tuple(found)


def built(works: Works, filling: Filling) -> float:
    """Thickness of a filling built in [mm]: less its measured loss, else the house rule's."""
    loss = filling.build_loss if filling.build_loss is not None else works.rule("layers_build_loss")
    return filling.thickness * (1 - loss / 100)


def panel_thickness(works: Works, panel: Panel) -> float:
    """Thickness of a panel [mm]: measured when known, else ticking and plies added up."""
    if panel.quilted_thickness is not None:
        return panel.quilted_thickness
    plies = panel_plies(works, panel)
    return works.cloths[panel.ticking].thickness + sum(
        built(works, ply) if isinstance(ply, Filling) else ply.thickness for ply in plies
    )


def panel_at_size(
    works: Works, panel: Panel, face: str, case: tuple[float, float], fullness: float | None = None
) -> PanelAtSize:
    """A panel for a case of width x length [mm], made larger (+) or smaller (-) than it by fullness [%], if known."""
    seam = works.rule("seam")
    width, length = (size * (1 + (fullness or 0.0) / 100) for size in case)
    trimmed = width + 2 * seam, length + 2 * seam
    if panel.method == "continuous multi-needle":
        over = works.rule("panel_oversize")
    elif panel.method == "single deep panel":
        over = works.rule("deep_ticking_take_up")
    else:
        over = 0.0
    quilted = trimmed[0] + 2 * over, trimmed[1] + 2 * over
    across, along = panel.contraction_across, panel.contraction_along
    return PanelAtSize(
        face=face,
        card=panel,
        ticking=works.cloths[panel.ticking],
        plies=panel_plies(works, panel),
        thread=works.trims[panel.thread] if panel.thread else None,
        width=width,
        length=length,
        trimmed_width=trimmed[0],
        trimmed_length=trimmed[1],
        quilted_width=quilted[0],
        quilted_length=quilted[1],
        fed_width=before_contraction(quilted[0], across or 0.0),
        fed_length=before_contraction(quilted[1], along or 0.0),
        thickness=panel_thickness(works, panel),
        contraction_known=panel.method == "plain" or (across is not None and along is not None),
        case_width=case[0],
        case_length=case[1],
        fullness_known=fullness is not None,
    )


def edging_at_size(works: Works, edge: PanelEdge, perimeter: float) -> EdgingAtSize:
    """The seam round one panel whose finished perimeter [mm] is given, and the flange strip."""
    flange = works.cloths[edge.flange_cloth] if edge.flange_cloth else None
    return EdgingAtSize(
        card=edge,
        thread=works.trims[edge.thread],
        seam_length=perimeter,
        flange_cloth=flange,
        flange_width=edge.flange_width or 0.0,
        flange_length=perimeter + works.rule("border_join") if flange else 0.0,
    )
