"""A build made real: draft cards of coil, unit, fillings, prices and bed for a row of places, and the bed at size.

Drafts stand beside the works' own cards and change none of them; their codes end in a mark made from what was chosen.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.design.fit_claims import spring_counts
from bedwright.identity import LONGEST_CODE, content_id, fold
from bedwright.weighing.space import CUT, NO_EDGE, Places, Space, layer_name
from bedwright.works.beds import Bed, BedClaim, BedLayer, Size
from bedwright.works.card import Card
from bedwright.works.materials import Filling
from bedwright.works.springs import Coil, Unit
from bedwright.works.trading import Brief, Price
from bedwright.works.works import Works

T = TypeVar("T", bound=Card)
HAIR = 0.01  # mm that a pitch stays below the room it divides
MARK = 6


@dataclass(frozen=True, slots=True)
class Build:
    """A build: its row of places, what was changed in words, the works with its drafts, and the bed at size."""

    places: Places
    code: str
    changes: tuple[str, ...]
    works: Works
    bed: BedAtSize


def changed(card: T, **fields: Any) -> T:
    """A card with some of its fields changed, checked as a new one. Raises CardRefused."""
    return type(card).make(**{**{name: getattr(card, name) for name in type(card).model_fields}, **fields})


def draft_code(code: str, mark: str) -> str:
    """A draft's code: the card's own, as much of it as fits, and a mark."""
    return f"{code[: LONGEST_CODE - len(mark) - 1].rstrip()}~{mark}"


def changes_of(space: Space, places: Places) -> tuple[str, ...]:
    """What differs from the bed that it started from, in words."""
    return tuple(
        f"{knob.name} {knob.words(place)}, was {knob.words(knob.start)}"
        for knob, place in zip(space.knobs, places, strict=True)
        if place != knob.start and space.counts(places, knob)
    )


def build(works: Works, space: Space, places: Places, brief: Brief | None = None) -> Build:
    """The build of a row of places. Raises CardRefused where a card cannot be so, with card and field."""
    bed, size = works.beds[space.bed], works.sizes[space.size]
    told = changes_of(space, places)
    if not told:
        return Build(places, bed.code, (), works, bed_at_size(works, bed, size))
    chosen = {
        knob.name: knob.values[place]
        for knob, place in zip(space.knobs, places, strict=True)
        if place != knob.start and space.counts(places, knob)
    }
    mark = content_id([bed.code, size.code, sorted((name, str(value)) for name, value in chosen.items())])[:MARK]
    drafts: list[Card] = []
    unit_code = _unit(works, works.units[bed.unit], size, chosen, mark, drafts, bed)
    layers = _layers(works, space, bed, places, drafts)
    edge = bed.edge if "edge" not in chosen else (None if chosen["edge"] == NO_EDGE else str(chosen["edge"]))
    panel = str(chosen.get("panel", bed.panel_a))
    draft = changed(
        bed,
        code=draft_code(bed.code, mark),
        unit=unit_code,
        edge=edge,
        panel_a=panel,
        panel_b=bed.panel_b if bed.panel_b is None or "panel" not in chosen else panel,
        panel_fullness=chosen.get("panel fullness", bed.panel_fullness),
        layers=layers,
        claims=(),
        tests=(),
    )
    with_parts = works.with_cards(drafts)
    draft, made = _heights(works, with_parts, bed, draft, size)
    claim = _count_claim(made, brief)
    if claim is not None:
        draft = changed(draft, claims=(claim,))
        made = bed_at_size(with_parts, draft, size)
    return Build(places, draft.code, told, with_parts.with_cards([draft]), made)


def _heights(works: Works, parts: Works, bed: Bed, draft: Bed, size: Size) -> tuple[Bed, BedAtSize]:
    """Heights aimed at and held by tufts move with the height of the parts: the bed stays as full as it was."""
    made = bed_at_size(parts, draft, size)
    if bed.finished_height is None and bed.tufted_height is None:
        return draft, made
    way = made.reckoned_height - bed_at_size(works, bed, size).reckoned_height
    fields = {
        name: None if getattr(bed, name) is None else round(getattr(bed, name) + way, 1)
        for name in ("finished_height", "tufted_height")
    }
    draft = changed(draft, **fields)
    return draft, bed_at_size(parts, draft, size)


def _count_claim(made: BedAtSize, brief: Brief | None) -> BedClaim | None:
    """The count that this build may claim: its own."""
    if brief is None or brief.count_claim is None:
        return None
    count = spring_counts(made)[brief.count_of]
    return BedClaim(
        position=1, claim="spring count", words=f"{count} springs", counts=brief.count_of, claimed=float(count),
        size=made.size.code,
    )  # fmt: skip


def _unit(works: Works, unit: Unit, size: Size, chosen: dict[str, Any], mark: str, drafts: list[Card], bed: Bed) -> str:
    """Code of the unit, a draft where anything of it was chosen."""
    names = {"wire", "live turns", "free height", "end diameter", "pocket height", "columns", "rows"}
    if not names & chosen.keys():
        return unit.code
    coil = works.coils[unit.coil]
    new = _coil(coil, chosen, mark)
    if new is not coil:
        drafts.append(new)
    head = new.end_diameter + works.wires[new.wire].diameter
    across, along = _rooms(works, bed, size, chosen)
    fields: dict[str, Any] = {"coil": new.code}
    touching = unit.construction == "pocket"
    if "columns" in chosen:
        fields["pitch_across"] = _pitch(across, int(chosen["columns"]), None if touching else head)
        if unit.layout == "nested":
            fields["pitch_along"] = fields["pitch_across"]
    if "rows" in chosen:
        fields["pitch_along"] = _pitch(along, int(chosen["rows"]), None if touching else head)
    if "pocket height" in chosen:
        fields["pocket_height"] = float(chosen["pocket height"])
    made = changed(unit, code=draft_code(unit.code, mark), **fields)
    drafts.append(made)
    return made.code


def _coil(coil: Coil, chosen: dict[str, Any], mark: str) -> Coil:
    fields: dict[str, Any] = {}
    if "wire" in chosen:
        fields["wire"] = str(chosen["wire"])
    if "live turns" in chosen:  # dead turns stay as they are
        fields["live_turns"] = float(chosen["live turns"])
        fields["total_turns"] = float(chosen["live turns"]) + coil.total_turns - coil.live_turns
    if "free height" in chosen:
        fields["free_height"] = float(chosen["free height"])
    if "end diameter" in chosen:
        fields["end_diameter"] = float(chosen["end diameter"])
        if coil.middle_diameter is not None:
            fields["middle_diameter"] = round(coil.middle_diameter * fields["end_diameter"] / coil.end_diameter, 2)
        if coil.end_ring_wire is not None:
            fields["end_ring_wire"] = None  # measured on another ring
    return changed(coil, code=draft_code(coil.code, mark), **fields) if fields else coil


def _rooms(works: Works, bed: Bed, size: Size, chosen: dict[str, Any]) -> tuple[float, float]:
    """Room of the unit across and along [mm], beside foam rails where the edge has them."""
    code = chosen.get("edge", bed.edge or NO_EDGE)
    rail = 0.0
    if code != NO_EDGE:
        edge = works.edges[str(code)]
        rail = 2 * (edge.rail_width or 0.0) if edge.form == "foam rail" else 0.0
    under = works.rule("unit_under_label") + rail
    return size.width - under, size.length - under


def _pitch(room: float, count: int, head: float | None) -> float:
    """Pitch [mm] at which so many stand in a room: pockets that touch (head None), or rings of a head."""
    pitch = room / count if head is None else (room - head) / (count - 1)
    return round(int(pitch / HAIR) * HAIR, 2)


def _layers(works: Works, space: Space, bed: Bed, places: Places, drafts: list[Card]) -> tuple[BedLayer, ...]:
    found: list[BedLayer] = []
    for row in bed.layers:
        as_a = row if row.face == "A" or not space.mirrored else row.model_copy(update={"face": "A"})
        found.append(_layer(works, space, row, as_a, places, drafts))
    return tuple(found)


def _layer(works: Works, space: Space, row: BedLayer, named: BedLayer, places: Places, drafts: list[Card]) -> BedLayer:
    code = space.value(places, layer_name(named, "filling"))
    if code is None:
        return row
    filling = works.fillings[str(code)]
    count = row.layer_count
    thick = space.value(places, layer_name(named, "thickness"))
    sheets = space.value(places, layer_name(named, "sheets"))
    if filling.family in CUT:
        count = row.layer_count if fold(filling.code) == fold(row.part) else 1
        if thick is not None and float(thick) != filling.thickness:
            filling = _cut(works, filling, float(thick), drafts)
    elif sheets is not None:
        count = int(sheets)
    elif fold(filling.code) != fold(row.part):
        count = 1
    glued = row.glued and filling.glue is not None
    return BedLayer(face=row.face, position=row.position, part=filling.code, layer_count=count, glued=glued)


def _cut(works: Works, filling: Filling, thick: float, drafts: list[Card]) -> Filling:
    """A filling cut to another thickness [mm], and its prices: by mass or volume as they are, by area in proportion."""
    share = thick / filling.thickness
    fields: dict[str, Any] = {"thickness": thick}
    if filling.areal_mass is not None:
        fields["areal_mass"] = filling.areal_mass * share
    new = changed(filling, code=draft_code(filling.code, f"{thick:g}"), **fields)
    if all(one.code != new.code for one in drafts):
        drafts.append(new)
        drafts += _prices(works.prices, filling, new, share)
    return new


def _prices(prices: Iterable[Price], old: Filling, new: Filling, share: float) -> list[Card]:
    found: list[Card] = []
    for price in prices:
        if price.of == "filling" and fold(price.item) == fold(old.code):
            worth = price.price if price.per in ("kg", "m3") else price.price * Decimal(repr(round(share, 9)))
            found.append(
                changed(price, code=draft_code(price.code, new.code[-8:]), item=new.code, price=round(worth, 6))
            )
    return found
