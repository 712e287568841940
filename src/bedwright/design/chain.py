"""The size chain, line by line: each size with the sum that a person can redo on paper."""

from __future__ import annotations

from bedwright.design.bed_at_size import (
    BorderAtSize,
    ChainLine,
    ClosureAtSize,
    EdgeAtSize,
    EdgingAtSize,
    LayerAtSize,
    PanelAtSize,
    UnitAtSize,
    WrapAtSize,
)
from bedwright.works.beds import Size
from bedwright.works.works import Works


def size_chain(
    works: Works,
    size: Size,
    unit: UnitAtSize,
    edge: EdgeAtSize | None,
    layers: tuple[LayerAtSize, ...],
    panels: tuple[PanelAtSize, ...],
    border: BorderAtSize,
    closure: ClosureAtSize,
    edging: EdgingAtSize,
    wrap: WrapAtSize,
    height: float,
    reckoned: float,
) -> tuple[ChainLine, ...]:
    """Every line of the chain from the label size inwards and out again [mm]."""
    lines = [
        ChainLine("label size", "size card", size.width, size.length),
        ChainLine(
            "finished bed",
            f"label size, within {works.rule('tolerance_length_width'):g}; height within "
            f"{works.rule('tolerance_height'):g}",
            size.width,
            size.length,
            height,
        ),
        ChainLine("height reckoned", _height_sum(unit, layers, panels, closure), height=reckoned),
    ]
    lines += _unit_lines(works, unit, edge)
    lines += [_layer_line(works, size, layer) for layer in layers]
    for panel in panels:
        lines += _panel_lines(works, panel)
    lines += _border_lines(works, border, closure, edging, height)
    lines.append(ChainLine(f"pack, {wrap.how}", _pack_sum(wrap), wrap.width, wrap.length, wrap.height))
    return tuple(lines)


def _layer_line(works: Works, size: Size, layer: LayerAtSize) -> ChainLine:
    if isinstance(layer.part, UnitAtSize):
        lattice = layer.part.lattice
        how = f"{lattice.across} across, {lattice.along} rows = {_places(layer.part)} mini coils"
    else:
        under = works.rule("unit_under_label")
        how = f"space {size.width - under:g} x {size.length - under:g} + {works.rule('filling_oversize'):g}"
    return ChainLine(
        f"layer {layer.face}{layer.position} {layer.code}",
        how,
        layer.width,
        layer.length,
        layer.built_thickness * layer.count,
    )


def _places(unit: UnitAtSize) -> str:
    """How many coils the lattice holds; its places apart where several coils stand in one."""
    places = unit.lattice.count
    return f"{places}" if unit.count == places else f"{places} places, with several coils in some: {unit.count}"


def _height_sum(
    unit: UnitAtSize, layers: tuple[LayerAtSize, ...], panels: tuple[PanelAtSize, ...], closure: ClosureAtSize
) -> str:
    parts = [f"unit {unit.height:.1f}"]
    parts += [
        f"{layer.code} {layer.built_thickness:.1f}" + (f" x {layer.count}" if layer.count > 1 else "")
        for layer in layers
    ]
    parts += [f"panel {panel.face} {panel.thickness:.1f}" for panel in panels]
    if closure.base_cloth is not None:
        parts.append(f"base cloth {closure.base_cloth.thickness:.1f}")
    return " + ".join(parts)


def _unit_lines(works: Works, unit: UnitAtSize, edge: EdgeAtSize | None) -> list[ChainLine]:
    under = works.rule("unit_under_label")
    rail = edge.card.rail_width if edge is not None and edge.card.form == "foam rail" else None
    how = f"label size - {under:g}" + (f" - 2 rails of {rail:g}" if rail else "")
    lattice = unit.lattice
    lines = [
        ChainLine("space for the unit", how, unit.space_width, unit.space_length),
        ChainLine(
            f"unit {unit.card.code}",
            f"{lattice.across} across, {lattice.along} rows = {_places(unit)}: (n - 1) x pitch "
            f"{lattice.pitch_across:g} / {lattice.pitch_along:.4g} + head {lattice.head:.4g}",
            unit.width,
            unit.length,
            unit.height,
        ),
    ]
    if edge is not None and edge.loops:
        lines.append(
            ChainLine(
                f"{edge.card.form} {edge.card.code}, one loop",
                f"round the unit + overlap {works.rule('overlap_edge_rod'):g}",
                length=edge.loop_length,
            )
        )
    for piece in edge.rails if edge is not None else ():
        lines.append(
            ChainLine(f"foam rail, {piece.count} pieces", "round the unit", piece.width, piece.length, piece.height)
        )
    return lines


def _panel_lines(works: Works, panel: PanelAtSize) -> list[ChainLine]:
    seam = works.rule("seam")
    over = (panel.quilted_width - panel.trimmed_width) / 2
    name = f"panel {panel.face} {panel.card.code}"
    lines = [
        ChainLine(
            f"{name}, trimmed",
            f"{_finished(panel)} + 2 x seam {seam:g}",
            panel.trimmed_width,
            panel.trimmed_length,
            panel.thickness,
        )
    ]
    if over:
        word = "oversize" if panel.card.method == "continuous multi-needle" else "take-up"
        lines.append(
            ChainLine(f"{name}, quilted", f"trimmed + 2 x {word} {over:g}", panel.quilted_width, panel.quilted_length)
        )
    if panel.card.method != "plain":
        how = (
            f"quilted / (1 - {panel.card.contraction_across or 0:g} %) and / (1 - "
            f"{panel.card.contraction_along or 0:g} %)"
        )
        if not panel.contraction_known:
            how += "; contraction not known: quilt a marked metre, let it relax a day, measure again"
        lines.append(ChainLine(f"{name}, fed", how, panel.fed_width, panel.fed_length))
    return lines


def _finished(panel: PanelAtSize) -> str:
    """The finished panel in words: the case's size, and how much larger or smaller the panel is made."""
    if not panel.fullness_known:
        return "finished"
    more = 100 * (panel.width / panel.case_width - 1)
    return f"case x (1 {'-' if more < 0 else '+'} {abs(more):.3g} % fullness)"


def _border_lines(
    works: Works, border: BorderAtSize, closure: ClosureAtSize, edging: EdgingAtSize, height: float
) -> list[ChainLine]:
    share = works.rule("border_tape_share")
    lines = [
        ChainLine("perimeter", "2 x (W + L) - (8 - 2 pi) x corner radius", length=closure.perimeter),
        ChainLine(
            f"border {border.card.code}, standing",
            f"height {height:.1f} - 2 x tape {share:g}",
            length=border.loop_length,
            height=border.height,
        ),
        ChainLine(
            f"border {border.card.code}, cut",
            f"standing + seams {works.rule('border_height_seams'):g}; perimeter - "
            f"{works.rule('border_under_perimeter'):g} % + join {works.rule('border_join'):g}",
            length=border.cut_length,
            height=border.cut_height,
        ),
    ]
    if edging.flange_cloth is not None:
        lines.append(
            ChainLine(
                f"flange {edging.card.code}",
                f"perimeter + join {works.rule('border_join'):g}",
                edging.flange_width,
                edging.flange_length,
            )
        )
    if closure.tape is not None:
        lines.append(
            ChainLine(
                f"tape {closure.tape.code}, one pass of {closure.passes}",
                f"perimeter + 4 corners x {works.rule('tape_corner'):g} + join {works.rule('tape_join'):g}",
                length=closure.tape_per_pass,
            )
        )
    return lines


def _pack_sum(wrap: WrapAtSize) -> str:
    return "the bed in film" if wrap.how != "rolled" else "diameter of the roller, bed width + film"
