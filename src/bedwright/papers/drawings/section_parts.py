"""What a section of a bed shows, part by part, in mm of the bed: bands from top to bottom, coils that are cut, edge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from bedwright.design.bed_at_size import BedAtSize, LayerAtSize, UnitAtSize
from bedwright.works.springs import Coil

Point = tuple[float, float]
TUFT_REACH = 60.0
"""How far from a tuft its valley is drawn [mm]: a sign, not a result."""


@dataclass(frozen=True, slots=True)
class Band:
    """A part that lies flat: z of bottom and top, x of its ends [mm], hatch, words; unit: coils stand in it."""

    bottom: float
    top: float
    left: float
    right: float
    hatch: str
    words: str
    lighter: str
    unit: UnitAtSize | None = None
    copies: int = 1


@dataclass(frozen=True, slots=True)
class StandingCoil:
    """A coil in the section: middle x, bottom z, height [mm], the coil, wire [mm], in a pocket or not, stiff row."""

    x: float
    bottom: float
    height: float
    coil: Coil
    wire: float
    pocketed: bool
    stiff: bool
    pitch: float


@dataclass(frozen=True, slots=True)
class _Part:
    thickness: float
    width: float
    hatch: str
    words: str
    lighter: str
    unit: UnitAtSize | None = None
    copies: int = 1


def bands(bed: BedAtSize) -> tuple[Band, ...]:
    """Bands from the top of face A down to the underside."""
    z = bed.reckoned_height
    found: list[Band] = []
    for part in _parts(bed):
        left = (bed.width - part.width) / 2
        bottom = z - part.thickness
        found.append(
            Band(bottom, z, left, left + part.width, part.hatch, part.words, part.lighter, part.unit, part.copies)
        )
        z = bottom
    return tuple(found)


def _parts(bed: BedAtSize) -> Iterator[_Part]:
    yield from _panel(bed, "A")
    yield from (_layer(layer) for layer in reversed(bed.face_layers("A")))
    yield _Part(bed.unit.height, bed.unit.width, "", *_unit_words(bed.unit), bed.unit)
    yield from (_layer(layer) for layer in bed.face_layers("B"))
    yield from _panel(bed, "B")
    if bed.closure.base_cloth is not None:
        cloth = bed.closure.base_cloth
        yield _Part(cloth.thickness, bed.width, "felt", f"base cloth {cloth.code}", _mm(cloth.thickness))


def _mm(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0") + " mm"


def _panel(bed: BedAtSize, face: str) -> Iterator[_Part]:
    panel = bed.panel(face)
    if panel is not None:
        plies = ", ".join(ply.code for ply in panel.plies)
        lighter = f"{_mm(panel.thickness)}, {panel.card.method}; {panel.ticking.code}"
        lighter += f" on {plies}" if plies else ""
        yield _Part(panel.thickness, bed.width, "panel", f"panel {face}  {panel.card.code}", lighter)


def _layer(layer: LayerAtSize) -> _Part:
    times = f"{layer.count} × " if layer.count > 1 else ""
    words = f"{layer.face}{layer.position}  {times}{layer.name}"
    thickness = layer.built_thickness * layer.count
    if isinstance(layer.part, UnitAtSize):
        lighter = f"mini springs, {layer.part.count * layer.count} coils, {_mm(layer.built_thickness)}"
        return _Part(thickness, layer.width, "", words, lighter, layer.part, layer.count)
    glued = ", glued" if layer.glued else ""
    lighter = f"{_mm(layer.thickness)}, built in {_mm(layer.built_thickness)}{glued}"
    return _Part(thickness, layer.width, layer.part.family, words, lighter)


def _unit_words(unit: UnitAtSize) -> tuple[str, str]:
    kind = f"{unit.card.construction} unit  {unit.card.code}"
    coils = ", ".join(f"{group.count} × {group.coil.code}" for group in unit.groups)
    return kind, f"{unit.count} coils: {coils}; {_mm(unit.height)} high"


def coils_in(bed: BedAtSize, band: Band) -> tuple[StandingCoil, ...]:
    """The coils of one row, standing in a band; a band of several mini layers has them one above another."""
    unit = band.unit
    if unit is None or unit.count == 0:
        return ()
    by_code = {group.coil.code: group for group in unit.groups}
    row = unit.lattice.along // 2
    height = (band.top - band.bottom) / band.copies
    start = (bed.width - unit.width) / 2
    found = []
    cut = [one for one in unit.standing() if one.row == row]
    first = {one.column: min(other.y for other in cut if other.column == one.column) for one in cut}
    for copy in range(band.copies):
        for one in (one for one in cut if one.y == first[one.column]):
            group = by_code[one.coil]
            found.append(
                StandingCoil(
                    x=start + one.x,
                    bottom=band.bottom + copy * height,
                    height=height,
                    coil=group.coil,
                    wire=group.wire.diameter,
                    pocketed=unit.card.construction == "pocket",
                    stiff=one.stiff,
                    pitch=one.across,
                )
            )
    return tuple(found)


def tufts_in_section(bed: BedAtSize) -> tuple[float, ...]:
    """x of the tufts of the row nearest to the middle of the length [mm]."""
    if bed.tufts is None or not bed.tufts.places:
        return ()
    middle = bed.length / 2
    y = min({place[1] for place in bed.tufts.places}, key=lambda y: (round(abs(y - middle), 3), y))
    return tuple(sorted(place[0] for place in bed.tufts.places if place[1] == y))


def valley(bed: BedAtSize) -> float:
    """Share of the padding that a tuft pulls down where it stands, for drawing: 0 none, at most 0.7."""
    pads = bed.reckoned_height - bed.unit.height
    if bed.tufts is None or pads <= 0:
        return 0.0
    return min(0.7, max(0.15, (bed.reckoned_height - bed.tufts.height) / pads))
