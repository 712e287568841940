"""A bed at size as its sheet shows it: from the upper face down, what is round it, the ladder, its own tests."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from bedsite.longwork.standing import Made, Standing
from bedwright.cost.money import to_major
from bedwright.design.bed_at_size import BedAtSize, LayerAtSize, PanelAtSize
from bedwright.papers.figures import size_words
from bedwright.typed import show
from bedwright.works.beds import Bed
from bedwright.works.materials import Filling


@dataclass(frozen=True, slots=True)
class Ply:
    """A row of the build-up. sheet, code: its card; indent: a ply of what stands above it."""

    part: str
    sheet: str
    code: str
    name: str
    thick: str = ""
    size: str = ""
    how: str = ""
    indent: bool = False


def build_up(bed: BedAtSize) -> list[tuple[str, list[Ply]]]:
    """(heading, rows): face A from the outside in, the unit, face B from the inside out."""
    upper, lower = bed.panel("A"), bed.panel("B")
    found = [("face A", [*_panel(upper), *(_layer(one) for one in reversed(bed.face_layers("A")))])]
    found.append(("unit", list(_unit(bed))))
    under = [*(_layer(one) for one in bed.face_layers("B")), *reversed(list(_panel(lower)))]
    cloth = bed.closure.base_cloth
    if cloth is not None:
        under.append(Ply("base cloth", "cloths", cloth.code, cloth.name, _mm(cloth.thickness)))
    found.append(("face B" if lower is not None else "underside", under))
    return [(heading, rows) for heading, rows in found if rows]


def _panel(panel: PanelAtSize | None) -> Iterator[Ply]:
    if panel is None:
        return
    card = panel.card
    how = ", ".join(word for word in (card.method, card.pattern) if word)
    yield Ply(
        f"panel {panel.face}", "panels", card.code, card.name, _mm(panel.thickness),
        f"{panel.fed_width:.0f} × {panel.fed_length:.0f} fed", how,
    )  # fmt: skip
    yield Ply("ticking", "cloths", panel.ticking.code, panel.ticking.name, indent=True)
    for ply in panel.plies:
        sheet = "fillings" if isinstance(ply, Filling) else "cloths"
        yield Ply("ply", sheet, ply.code, ply.name, _mm(ply.thickness), indent=True)


def _layer(layer: LayerAtSize) -> Ply:
    filling = isinstance(layer.part, Filling)
    thick = _mm(layer.built_thickness) if layer.count == 1 else f"{layer.count} × {_mm(layer.built_thickness)}"
    glue = f"glued, {layer.glue.code}" if layer.glue is not None else "glued" if layer.glued else "laid"
    return Ply(
        f"{layer.face}{layer.position}", "fillings" if filling else "units", layer.code, layer.name, thick,
        f"{layer.width:.0f} × {layer.length:.0f}", glue,
    )  # fmt: skip


def _unit(bed: BedAtSize) -> Iterator[Ply]:
    unit = bed.unit
    tied = unit.card.lacing if unit.lacing_lines else unit.card.glue_pattern if unit.glue_spots else ""
    yield Ply(
        "unit", "units", unit.card.code, unit.card.name, _mm(unit.height), f"{unit.width:.0f} × {unit.length:.0f}",
        ", ".join(word for word in (unit.card.construction, tied) if word),
    )  # fmt: skip
    for group in unit.groups:
        wire = f"wire {group.wire.code}, {show(group.wire.diameter, 3)} mm"
        name = f"{group.count} coils, {wire}; {group.where}"
        yield Ply("coil", "coils", group.coil.code, name, indent=True, how=f"{group.coil.hand} hand")
    if bed.edge is not None:
        card = bed.edge.card
        yield Ply("edge", "edges", card.code, card.name, how=card.form, indent=True)


def _mm(value: float) -> str:
    return show(round(value, 1), 4)


def parts(bed: BedAtSize) -> list[tuple[str, str, str, str]]:
    """(word, sheet, code, words) of what is round the build-up."""
    card, border, closure = bed.bed, bed.border, bed.closure
    fittings = ", ".join(f"{count} × {fitting.name or fitting.code}" for fitting, count in border.fittings)
    stitch = f"{border.card.side_stitch} side-stitch" if border.card.side_stitch != "none" else "no side-stitch"
    round_it = "; ".join(word for word in (f"{_mm(border.height)} mm standing", stitch, fittings) if word)
    found = [
        ("border", "borders", border.card.code, round_it),
        ("panel edge", "panel_edges", bed.edging.card.code, bed.edging.card.form),
        ("closure", "closures", closure.card.code, f"{closure.card.form}, {closure.passes} passes"),
    ]
    if bed.tufts is not None:
        found.append(("tufts", "trims", bed.tufts.trim.code, f"{bed.tufts.count} through, {_mm(bed.tufts.height)} mm "
                      "clamped"))  # fmt: skip
    found.append(("label", "trims", bed.label.code, bed.label.name))
    wrap = bed.wrap
    packed = f"{wrap.how}, {wrap.width:.0f} × {wrap.length:.0f} × {wrap.height:.0f} mm"
    found.append(("wrap", "films", wrap.film.code, packed))
    found.append(("making route", "routes", card.route, ""))
    return found


def rungs(standing: Standing, card: Bed, sizes: list[str], *, money: bool) -> list[dict[str, Any]]:
    """The bed at each of these sizes, one line of the ladder each."""
    return [_rung(code, standing, card, money) for code in sizes]


def _rung(code: str, standing: Standing, card: Bed, money: bool) -> dict[str, Any]:
    size, made = standing.works.sizes[code], standing.made(card.code, code)
    line: dict[str, Any] = {"size": size.code, "words": size_words(size.width, size.length)}
    if isinstance(made, str):
        return line | {"why_not": made}
    bill, bed = made.bill, made.bed
    cells = [
        f"{bed.height:.0f}",
        f"{bed.spring_count}" + (f" + {bed.mini_count}" if bed.mini_count else ""),
        mass_words(made),
        _least(bill.steel_mass, bill.steel_unknown),
        _least(bill.carbon, bill.carbon_unknown),
        show(bill.minutes, 3),
    ]
    if money:
        sheet = made.cost
        cells.append(f"{'' if sheet.complete else 'at least '}{to_major(sheet.total, sheet.currency)}")
    return line | {"cells": cells}


def mass_words(made: Made) -> str:
    """Mass with the house's tolerance [kg]."""
    bill = made.bill
    return f"{bill.mass:.1f} ({bill.mass_low:.1f} to {bill.mass_high:.1f})"


def _least(value: float, unknown: tuple[str, ...]) -> str:
    return f"{'at least ' if unknown else ''}{show(value, 3)}"


def unknowns(made: Made, *, money: bool) -> list[str]:
    """What the sums leave out because nobody here knows it, in sentences."""
    bill = made.bill
    found = []
    if bill.steel_unknown:
        found.append(f"Steel of bought units is not known: {', '.join(bill.steel_unknown)}.")
    if bill.carbon_unknown:
        found.append(f"Carbon is not known of {', '.join(bill.carbon_unknown)}.")
    if money:
        sheet = made.cost
        found.append(f"Cost of {sheet.as_of.isoformat()} at the house's own allowances, not of a plan: {sheet.says}.")
        found += [f"Assumed: {says}." for says in sheet.assumed]
    return found


def own_tests(card: Bed, size: str, predicted: Any) -> list[list[str]]:
    """The maker's own tests of the bed; H measured before, beside H predicted at this size where it is known."""
    rows = []
    for test in card.tests:
        same = test.size in (None, size)
        inside = ""
        if predicted is not None and same and test.hardness_before is not None:
            _, low, high = predicted
            inside = "inside" if low <= test.hardness_before <= high else "outside"
        rows.append([
            test.sample or str(test.position), test.size or "not said", f"{test.cycles}",
            *(_read(one) for one in (test.height_before, test.height_after, test.hardness_before, test.hardness_after)),
            inside or ("another size" if not same else ""),
        ])  # fmt: skip
    return rows


def _read(value: float | None) -> str:
    return "" if value is None else show(value, 4)
