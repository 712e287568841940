"""Closing: overlock thread or flange, tape in all its passes, closing thread, zip, base cloth, tufts; then the pack."""

from __future__ import annotations

from bedwright.bill.rows import BillRow, shown
from bedwright.bill.taking import area_row, film_row, trim_count_row, trim_length_row
from bedwright.bill.thread import thread_length, thread_per_seam, waste_kept
from bedwright.design.bed_at_size import BedAtSize, ClosureAtSize, EdgingAtSize, TuftsAtSize, WrapAtSize
from bedwright.works.materials import Trim
from bedwright.works.works import Works


def closing_rows(works: Works, bed: BedAtSize) -> list[BillRow]:
    """Every row of closing: panel edges, closure, tufts, the zip of a pair."""
    rows = _edging(works, bed.edging, len(bed.panels))
    rows += _closure(works, bed.closure)
    if bed.tufts is not None:
        rows.append(_tufts(bed.tufts))
    if bed.pair_zip is not None:
        rows.append(_pair_zip(bed.pair_zip, bed.length))
    return rows


def _edging(works: Works, edging: EdgingAtSize, panels: int) -> list[BillRow]:
    card = edging.card
    seam = panels * edging.seam_length / 1000
    width = card.bite if int(card.stitch_class) >= 500 else 0.0
    how = f"{panels} panels x {shown(edging.seam_length)} mm"
    what = f"{card.form} of the panels"
    row = _thread(works, edging.thread, what, seam, how, int(card.stitch_class), card.stitches_per_cm, width)
    if edging.flange_cloth is None:
        return [row]
    piece = (panels, edging.flange_width, edging.flange_length)
    return [area_row("closing", edging.flange_cloth, "flange", piece, "strip with its join"), row]


def _closure(works: Works, closure: ClosureAtSize) -> list[BillRow]:
    card = closure.card
    rows = []
    if closure.base_cloth is not None:
        piece = (1, closure.base_width, closure.base_length)
        rows.append(area_row("closing", closure.base_cloth, "base cloth", piece, "finished + 2 seams"))
    if closure.tape is not None and closure.tape_per_pass:
        metres = closure.passes * closure.tape_per_pass / 1000
        how = f"{closure.passes} passes x {shown(closure.tape_per_pass)} mm"
        rows.append(trim_length_row("closing", closure.tape, "tape edge", metres, how, pieces=closure.passes))
    seam = closure.passes * closure.perimeter / 1000
    how = f"{closure.passes} passes x {shown(closure.perimeter)} mm"
    what = f"closing thread, {card.form}"
    rows.append(_thread(works, closure.thread, what, seam, how, int(card.stitch_class), card.stitches_per_cm, 0.0))
    if closure.zip is not None and closure.zip_length:
        metres = closure.zip_length / 1000
        says = {1: "the width", 2: "width + length", 3: "2 x length + width", 4: "the perimeter"}
        how = f"{says[card.zip_sides or 0]}, {shown(closure.zip_length)} mm"
        rows.append(trim_length_row("closing", closure.zip, "zip of the cover", metres, how))
    return rows


def _thread(
    works: Works, thread: Trim, what: str, seam: float, how: str, stitch: int, stitches: float, width: float
) -> BillRow:
    """Thread of a seam [m] by the stitch formula; width of an overlock [mm]."""
    thickness, waste = works.rule("closing_thickness"), works.rule("thread_waste")
    use = thread_per_seam(stitch, thickness=thickness / 10, stitches=stitches, width=width / 10).per_seam
    words = (
        f"{how}; class {stitch}, thickness {shown(thickness)} mm"
        + (f", width {shown(width)} mm" if width else "")
        + f", {shown(stitches)} stitches/cm: {shown(use)} m/m; + {shown(waste)} % waste"
    )
    metres = thread_length(seam, use, waste / 100)
    return trim_length_row(
        "closing", thread, what, metres, words, kept=1 / (1 + waste / 100), kept_says=waste_kept(waste)
    )


def _tufts(tufts: TuftsAtSize) -> BillRow:
    """Through-tufts: counted pieces, or cord metred by the clamped height."""
    if tufts.trim.counted_in == "m" and tufts.trim.length is None:
        how = f"{tufts.count} tufts x (clamped {shown(tufts.height)} + {shown(tufts.cord_length - tufts.height)}) mm"
        metres = tufts.count * tufts.cord_length / 1000
        return trim_length_row("closing", tufts.trim, "tufts", metres, how, pieces=tufts.count)
    how = f"through-tufts, clamped to {shown(tufts.height)} mm"
    return trim_count_row("closing", tufts.trim, "tufts", tufts.count, how)


def _pair_zip(zip_trim: Trim, length: float) -> BillRow:
    what = "zip of the pair, this bed's half"
    if zip_trim.counted_in == "each" and zip_trim.length is None:
        return trim_count_row("closing", zip_trim, what, 0.5, "1 zip / 2 beds")
    return trim_length_row("closing", zip_trim, what, length / 2000, f"{shown(length)} mm / 2 beds")


def pack_rows(wrap: WrapAtSize) -> list[BillRow]:
    """Film and edge guard: packing, not in the bed's mass."""
    rolled = "bed width + 2 diameters by the turns round the roll"
    tube = wrap.film.tube_width
    bag = f"tube of 2 x {tube:g} by (L + H + overlap)" if tube is not None else "2 x (W + H) by (L + H + overlap)"
    how = rolled if wrap.how == "rolled" else bag
    rows = [film_row(wrap.film, f"film, {wrap.how}", wrap.film_width, wrap.film_length, how)]
    if wrap.edge_guard is not None and wrap.edge_guard_length:
        metres = wrap.edge_guard_length / 1000
        rows.append(trim_length_row("pack", wrap.edge_guard, "edge guard", metres, "2 x (W + L)"))
    return rows
