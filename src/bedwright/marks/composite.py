"""The composite of a bed in short words, one for each part that fire meets, and how a report's words differ from them.

A fire report covers exactly what was tested: any layer, cloth, thread, tuft or tape changed voids it (`bs-7177`). The
words are the same at every size. They hold code, kind, thickness, mass and fibres as the cards say; what a supplier
changes behind the same code cannot be seen here: then a person marks the report as voided by change.
"""

from __future__ import annotations

from collections.abc import Iterable

from bedwright.design.bed_at_size import BedAtSize, EdgeAtSize, LayerAtSize, PanelAtSize, UnitAtSize
from bedwright.works.materials import Cloth, Filling, Trim

PARTED_BY = "; "
MOST_NAMED = 4
"""Differences named in one sentence; the others are counted."""


def composite(bed: BedAtSize) -> tuple[str, ...]:
    """What the bed is made of, as words by role, from the ticking of face A to the unit; independent of size."""
    found: list[str] = []
    for panel in bed.panels:
        found += _panel(panel)
    found += [_layer(layer) for layer in bed.layers]
    found += _border(bed)
    found += _edge_of_panels(bed)
    if bed.tufts is not None:
        found.append(f"tuft {bed.tufts.trim.code}")
    found += _closing(bed)
    found += _unit("unit", bed.unit)
    if bed.edge is not None:
        found.append(_edge(bed.edge))
    return tuple(dict.fromkeys(word.replace(";", ",") for word in found))


def composite_text(bed: BedAtSize) -> str:
    """The words as the card of a report must hold them."""
    return PARTED_BY.join(composite(bed))


def composite_fault(bed: BedAtSize, covered: str) -> str:
    """How a report's words differ from the bed's, as the end of a sentence; "" where they are the same.

    Order and capitals do not count; every word does.
    """
    theirs = {_plain(word): word.strip() for word in covered.split(PARTED_BY.strip()) if word.strip()}
    ours = {_plain(word): word for word in composite(bed)}
    if not theirs:
        return (
            "does not say which composite was tested; its words are printed on the bed sheet, for the person who "
            "signs that the report covers them"
        )
    new = [word for key, word in ours.items() if key not in theirs]
    gone = [word for key, word in theirs.items() if key not in ours]
    if not new and not gone:
        return ""
    if not gone:
        return f"is for another composite: this bed has {_named(new)}, which the report does not cover"
    if not new:
        return f"is for another composite: the report covers {_named(gone)}, which this bed does not have"
    return f"is for another composite: this bed has {_named(new)}; the report covers {_named(gone)}"


def _plain(word: str) -> str:
    return " ".join(word.casefold().split())


def _named(words: list[str]) -> str:
    rest = len(words) - MOST_NAMED
    return ", ".join(words[:MOST_NAMED]) + (f" and {rest} more" if rest > 0 else "")


def _cloth(cloth: Cloth) -> str:
    fibres = f", {cloth.fibres}" if cloth.fibres else ""
    return f"{cloth.code} ({cloth.areal_mass:g} g/m2{fibres})"


def _filling(filling: Filling) -> str:
    mass = f"{filling.density:g} kg/m3" if filling.density is not None else f"{filling.areal_mass:g} g/m2"
    return f"{filling.code} ({filling.family}, {filling.thickness:g} mm, {mass})"


def _soft(part: Filling | Cloth) -> str:
    return _filling(part) if isinstance(part, Filling) else _cloth(part)


def _with(what: str, trim: Trim | None) -> str:
    return f", {what} {trim.code}" if trim is not None else ""


def _panel(panel: PanelAtSize) -> Iterable[str]:
    card = panel.card
    yield f"ticking {panel.face} {_cloth(panel.ticking)}"
    for place, ply in enumerate(panel.plies, 1):
        yield f"ply {panel.face}{place} {_soft(ply)}"
    pattern = f", {card.pattern}" if card.pattern else ""
    yield f"quilting {panel.face} {card.method}{pattern}{_with('thread', panel.thread)}"


def _layer(layer: LayerAtSize) -> str:
    part = _filling(layer.part) if isinstance(layer.part, Filling) else ", ".join(_unit("", layer.part))
    count = f"{layer.count} x " if layer.count > 1 else ""
    glue = _with("glue", layer.glue) if layer.glued else ""
    return f"layer {layer.face}{layer.position} {count}{part}{glue}"


def _border(bed: BedAtSize) -> Iterable[str]:
    border = bed.border
    yield f"border cloth {_cloth(border.cloth)}"
    if border.filling is not None:
        yield f"border filling {_filling(border.filling)}"
    if border.backing is not None:
        yield f"border backing {_cloth(border.backing)}"
    sewn = "quilted" if border.card.quilted else "plain"
    yield f"border {sewn}{_with('thread', border.thread)}"
    if border.card.side_stitch != "none":
        yield f"side-stitch {border.card.side_stitch}{_with('cord', border.cord)}"
    for fitting, _ in border.fittings:
        yield f"border fitting {fitting.form} {fitting.code}"


def _edge_of_panels(bed: BedAtSize) -> Iterable[str]:
    edging = bed.edging
    yield f"panel edge {edging.card.form}{_with('thread', edging.thread)}"
    if edging.flange_cloth is not None:
        yield f"flange cloth {_cloth(edging.flange_cloth)}"


def _closing(bed: BedAtSize) -> Iterable[str]:
    closure = bed.closure
    yield f"closing {closure.card.form}{_with('thread', closure.thread)}"
    if closure.tape is not None:
        yield f"tape {closure.tape.code}"
    if closure.zip is not None:
        yield f"zip {closure.zip.code}"
    if bed.pair_zip is not None:
        yield f"pair zip {bed.pair_zip.code}"
    if closure.base_cloth is not None:
        yield f"base cloth {_cloth(closure.base_cloth)}"


def _unit(role: str, unit: UnitAtSize) -> Iterable[str]:
    card = unit.card
    yield f"{role} {card.construction} {card.code}".strip()
    if card.pocket_cloth is not None:
        yield f"{role} pocket cloth {card.pocket_cloth}".strip()
    if card.sheet_cloth is not None:
        yield f"{role} cover sheet {card.sheet_cloth}".strip()


def _edge(edge: EdgeAtSize) -> str:
    rail = f" {_filling(edge.rail)}" if edge.rail is not None else f" {edge.card.code}"
    return f"unit with {edge.card.form}{rail}"
