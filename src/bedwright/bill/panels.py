"""Panels: ticking and plies at the size that goes in, quilting thread by the stitch formula.

Continuous multi-needle: all plies are fed together at the fed size, and the rim is trimmed off after. Single deep
panel: the ticking is pre-cut with its take-up, cloth plies to the trimmed size, padding to the finished size (common
practice, no source). What is trimmed off is taken but is not in the bed's mass.
"""

from __future__ import annotations

from bedwright.bill.rows import BillRow, shown
from bedwright.bill.taking import area_row, trim_length_row
from bedwright.bill.thread import thread_length, thread_per_seam, waste_kept
from bedwright.design.bed_at_size import PanelAtSize
from bedwright.works.materials import Filling
from bedwright.works.works import Works


def kept_share(panel: PanelAtSize) -> float:
    """Share of the quilted goods that is left after trimming: trimmed over quilted area; 1 for a deep panel."""
    if panel.card.method != "continuous multi-needle":
        return 1.0
    return panel.trimmed_width * panel.trimmed_length / (panel.quilted_width * panel.quilted_length)


def panel_rows(works: Works, panel: PanelAtSize) -> list[BillRow]:
    """Ticking, plies and thread of one panel."""
    name = f"panel {panel.face}"
    kept = kept_share(panel)
    says = (
        f"trimmed {shown(panel.trimmed_width)} x {shown(panel.trimmed_length)} of quilted "
        f"{shown(panel.quilted_width)} x {shown(panel.quilted_length)}"
    )
    fed = (1, panel.fed_width, panel.fed_length)
    word = {"continuous multi-needle": "fed", "single deep panel": "pre-cut", "plain": "cut"}[panel.card.method]
    rows = [area_row("panels", panel.ticking, f"ticking, {name}", fed, word, kept=kept, kept_says=says)]
    for number, ply in enumerate(panel.plies, 1):
        what = f"ply {number}, {name}"
        if panel.card.method == "continuous multi-needle":
            rows.append(area_row("panels", ply, what, fed, word, kept=kept, kept_says=says))
        elif isinstance(ply, Filling):
            rows.append(area_row("panels", ply, what, (1, panel.width, panel.length), "cut to finished size"))
        else:
            piece = (1, panel.trimmed_width, panel.trimmed_length)
            rows.append(area_row("panels", ply, what, piece, "cut to trimmed size"))
    if panel.thread is not None and panel.card.quilt_run:
        rows.append(_quilting_thread(works, panel, name, kept))
    return rows


def _quilting_thread(works: Works, panel: PanelAtSize, name: str, kept: float) -> BillRow:
    assert panel.thread is not None
    continuous = panel.card.method == "continuous multi-needle"
    width, length = (panel.quilted_width, panel.quilted_length) if continuous else (panel.width, panel.length)
    seam = panel.card.quilt_run * width * length / 1e6
    share, waste = works.rule("stitched_thickness"), works.rule("thread_waste")
    thickness = panel.thickness * share / 100
    use = thread_per_seam(
        int(panel.card.stitch_class), thickness=thickness / 10, stitches=panel.card.stitches_per_cm
    ).per_seam
    how = (
        f"{shown(panel.card.quilt_run)} m/m2 x {shown(width)} x {shown(length)} mm = {shown(seam)} m of line; class "
        f"{panel.card.stitch_class}, thickness {shown(panel.thickness)} x {shown(share)} % = {shown(thickness)} mm, "
        f"{shown(panel.card.stitches_per_cm)} stitches/cm: {shown(use)} m/m; + {shown(waste)} % waste"
    )
    metres = thread_length(seam, use, waste / 100)
    in_bed = kept / (1 + waste / 100)
    says = waste_kept(waste) if kept == 1.0 else f"{waste_kept(waste)} x {shown(kept)} left after trimming"
    what = f"quilting thread, {name}"
    return trim_length_row("panels", panel.thread, what, metres, how, kept=in_bed, kept_says=says)
