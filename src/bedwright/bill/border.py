"""The border: cloth, filling and backing at cut size, thread, handles and vents, side-stitch cord, product label."""

from __future__ import annotations

from bedwright.bill.rows import BillRow, shown
from bedwright.bill.taking import area_row, fitting_row, trim_count_row, trim_length_row
from bedwright.bill.thread import thread_length, thread_per_seam, waste_kept
from bedwright.design.bed_at_size import BorderAtSize
from bedwright.works.materials import Trim
from bedwright.works.works import Works

JOIN_CLASS = 301  # border quilting and join, where no card says otherwise (common practice, no source)


def border_thickness(border: BorderAtSize) -> float:
    """Cloth, filling and backing added up [mm]."""
    parts = (border.cloth, border.filling, border.backing)
    return sum(part.thickness for part in parts if part is not None)


def border_rows(works: Works, border: BorderAtSize, closing_thread: Trim, label: Trim) -> list[BillRow]:
    """Every row of the border loop. A plain border without a thread of its own is joined with the closing thread."""
    piece = (1, border.cut_height, border.cut_length)
    rows = [area_row("border", border.cloth, "border cloth", piece, "cut")]
    if border.filling is not None:
        rows.append(area_row("border", border.filling, "border filling", piece, "cut"))
    if border.backing is not None:
        rows.append(area_row("border", border.backing, "border backing", piece, "cut"))
    if border.card.quilted and border.thread is not None and border.card.quilt_run:
        rows.append(_quilting(works, border, border.thread))
    thread = border.thread or closing_thread
    thick = works.rule("closing_thickness")
    rows.append(
        _thread(works, thread, "border join", border.cut_height / 1000, f"{shown(border.cut_height)} mm of seam", thick)
    )
    rows += [
        fitting_row("border", fitting, f"{fitting.form}s on the border", count) for fitting, count in border.fittings
    ]
    if border.cord is not None and border.side_stitch_length:
        rows.append(_side_stitch(works, border, border.cord))
    rows.append(trim_count_row("border", label, "product label", 1, "one on a bed"))
    return rows


def _quilting(works: Works, border: BorderAtSize, thread: Trim) -> BillRow:
    seam = border.card.quilt_run * border.cut_height * border.cut_length / 1e6
    how = (
        f"{shown(border.card.quilt_run)} m/m2 x {shown(border.cut_height)} x {shown(border.cut_length)} mm = "
        f"{shown(seam)} m of line"
    )
    thickness = border_thickness(border) * works.rule("stitched_thickness") / 100
    return _thread(works, thread, "quilting thread, border", seam, how, thickness)


def _thread(works: Works, thread: Trim, what: str, seam: float, how: str, thickness: float) -> BillRow:
    stitches, waste = works.rule("border_stitches"), works.rule("thread_waste")
    use = thread_per_seam(JOIN_CLASS, thickness=thickness / 10, stitches=stitches).per_seam
    words = (
        f"{how}; class {JOIN_CLASS}, thickness {shown(thickness)} mm, {shown(stitches)} stitches/cm: {shown(use)} m/m; "
        f"+ {shown(waste)} % waste"
    )
    metres = thread_length(seam, use, waste / 100)
    return trim_length_row(
        "border", thread, what, metres, words, kept=1 / (1 + waste / 100), kept_says=waste_kept(waste)
    )


def _side_stitch(works: Works, border: BorderAtSize, cord: Trim) -> BillRow:
    take_up = works.rule("side_stitch_take_up")
    rows = border.card.side_stitch_rows
    how = f"{rows} rows x {shown(border.loop_length)} mm x {shown(take_up)} m/m"
    what = f"{border.card.side_stitch} side-stitch"
    return trim_length_row("border", cord, what, border.side_stitch_length / 1000 * take_up, how, pieces=rows)
