"""What may be varied of a bed: knobs with a list of values each, from the works' cards and the brief's allowed parts.

Every value is one that a maker can set: wires and fillings are cards of the works, lengths go in steps no finer than a
house tolerance. A build is a row of places, one for each knob: so two builds are the same when their rows are.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bedwright.design.buildup import bed_at_size
from bedwright.errors import BedwrightError, Fault, FaultsFound
from bedwright.identity import fold
from bedwright.mechanics.filling import filling_law
from bedwright.works.beds import Bed, BedLayer, Size
from bedwright.works.materials import Filling
from bedwright.works.springs import Unit
from bedwright.works.works import Works

Value = str | float | int
Places = tuple[int, ...]
BASES = ("insulator", "felt", "coir")
"""Families that may lie on the unit or stiffen the build-up; the others are soft. Like takes the place of like (common
practice, no source)."""
CUT = ("foam", "latex")
"""Families cut to thickness from blocks; of the others whole sheets lie on each other."""
THICKNESSES, THICK_STEP = (15.0, 80.0), 5.0  # mm
TURNS, TURN_STEP = 1.5, 0.25
HEIGHT_SHARE, HEIGHT_STEP = 0.2, 5.0
POCKET_WAY, POCKET_STEP = 20.0, 5.0  # mm
RING_SHARE, RING_STEP = 0.1, 2.0
COUNT_SHARE = 0.2
WIRE_SHARE = 0.35
FULLNESS = (-1.0, -0.5, 0.0, 0.5, 1.0)  # %
SHEETS = (1, 2, 3)
NO_EDGE = "no edge"


@dataclass(frozen=True, slots=True)
class Knob:
    """One thing that is varied: name, unit, its values; ordered: neighbours are alike; start: place of the bed's own.

    of: the knob whose value must be of a family in `when` for this one to count; "" for always.
    """

    name: str
    unit: str
    values: tuple[Value, ...]
    ordered: bool
    start: int
    of: str = ""
    when: tuple[str, ...] = ()

    def words(self, place: int) -> str:
        """The value at a place, with its unit."""
        value = self.values[place]
        shown = value if isinstance(value, str) else f"{value:g}"
        return f"{shown} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class Space:
    """All builds that come of one bed at a size. families: of each filling that may stand in it."""

    bed: str
    size: str
    knobs: tuple[Knob, ...]
    families: Mapping[str, str]
    mirrored: bool

    @property
    def start(self) -> Places:
        """The bed as its card says."""
        return tuple(knob.start for knob in self.knobs)

    @property
    def count(self) -> float:
        """Rows of places; builds are fewer where a knob does not count beside another's value."""
        return float(np.prod([float(len(knob.values)) for knob in self.knobs]))

    def value(self, places: Places, name: str) -> Value | None:
        """The value of a knob, None where the space has no such knob or it does not count."""
        for knob, place in zip(self.knobs, places, strict=True):
            if knob.name == name:
                return knob.values[place] if self.counts(places, knob) else None
        return None

    def counts(self, places: Places, knob: Knob) -> bool:
        """Whether a knob does anything beside the other values."""
        if not knob.of:
            return True
        index = next(i for i, one in enumerate(self.knobs) if one.name == knob.of)
        return self.families[fold(str(self.knobs[index].values[places[index]]))] in knob.when

    def same(self, places: Sequence[int]) -> Places:
        """The one row of places that stands for a build: knobs that do not count are put to their start."""
        row = tuple(int(place) for place in places)
        return tuple(
            place if self.counts(row, knob) else knob.start for knob, place in zip(self.knobs, row, strict=True)
        )

    def only(self, values: Mapping[str, Sequence[Value]]) -> Space:
        """The same with knobs cut down to some of their values; those not named stay at the start. Raises FaultsFound.

        Values are as the knob has them; the start moves to the first where it is left out.
        """
        faults = [
            Fault(f"{name} is no knob of bed {self.bed}", f"there are {', '.join(knob.name for knob in self.knobs)}")
            for name in values
            if name not in {knob.name for knob in self.knobs}
        ]
        knobs = []
        for knob in self.knobs:
            wanted = tuple(values.get(knob.name, (knob.values[knob.start],)))
            strange = [value for value in wanted if value not in knob.values]
            if strange or not wanted:
                told = ", ".join(str(value) for value in strange) or "nothing"
                faults.append(Fault(f"knob {knob.name} has no value {told}", f"there are {_listed(knob)}"))
                continue
            own = knob.values[knob.start]
            knobs.append(replace(knob, values=wanted, start=wanted.index(own) if own in wanted else 0))
        if faults:
            raise FaultsFound(faults)
        return replace(self, knobs=tuple(knobs))


def _listed(knob: Knob) -> str:
    return ", ".join(str(value) for value in knob.values)


def space_of(works: Works, bed: Bed, size: Size, allowed: Sequence[str] = ()) -> Space:
    """Everything that may be varied of a bed at a size. allowed: codes that may be used; empty for any of the works."""
    may = {fold(code) for code in allowed}
    made = bed_at_size(works, bed, size)
    unit = works.units[bed.unit]
    mirrored = _mirrored(bed)
    knobs = (
        []
        if unit.origin == "bought"
        else _unit_knobs(works, unit, made.unit.lattice.across, made.unit.lattice.along, may)
    )
    families: dict[str, str] = {}
    for face in ("A",) if mirrored or bed.faces == 1 else ("A", "B"):
        for row in bed.face_layers(face):
            filling = works.fillings.get(row.part)
            if filling is not None:
                knobs += _layer_knobs(works, row, filling, may, families)
    knobs += _cover_knobs(works, bed, may)
    return Space(bed.code, size.code, tuple(knob for knob in knobs if knob.values), families, mirrored)


def _mirrored(bed: Bed) -> bool:
    """Whether both faces are built alike."""
    return bed.faces == 2 and [row.model_copy(update={"face": "A"}) for row in bed.face_layers("B")] == list(
        bed.face_layers("A")
    )


def layer_name(row: BedLayer, what: str) -> str:
    """Name of a layer's knob."""
    return f"layer {row.face}{row.position} {what}"


def _unit_knobs(works: Works, unit: Unit, across: int, along: int, may: set[str]) -> list[Knob]:
    coil = works.coils[unit.coil]
    own = works.wires[coil.wire]
    wires = sorted(
        (
            wire
            for wire in works.wires
            if wire.code == own.code
            or (
                wire.form == "round"
                and abs(wire.diameter / own.diameter - 1) <= WIRE_SHARE
                and (not may or fold(wire.code) in may)
            )
        ),
        key=lambda wire: (wire.diameter, fold(wire.code)),
    )
    codes = [wire.code for wire in wires]
    found = [Knob("wire", "", tuple(codes), True, codes.index(own.code))]
    found.append(_range("live turns", "turns", coil.live_turns, TURNS, TURN_STEP, 2.0))
    found.append(_range("free height", "mm", coil.free_height, HEIGHT_SHARE * coil.free_height, HEIGHT_STEP, 30.0))
    if coil.profile != "table":
        found.append(_range("end diameter", "mm", coil.end_diameter, RING_SHARE * coil.end_diameter, RING_STEP, 15.0))
    if unit.pocket_height is not None:
        found.append(_range("pocket height", "mm", unit.pocket_height, POCKET_WAY, POCKET_STEP, 15.0))
    found.append(_range("columns", "coils", across, max(1, round(COUNT_SHARE * across)), 1, 4))
    if unit.layout == "square":
        found.append(_range("rows", "coils", along, max(1, round(COUNT_SHARE * along)), 1, 4))
    return found


def _range(name: str, unit: str, own: float, way: float, step: float, least: float) -> Knob:
    """Values in steps to both sides of the card's own, which is among them exactly."""
    most = int(way / step + 1e-9)
    values = [own + k * step for k in range(-most, most + 1) if own + k * step >= least or k == 0]
    return Knob(name, unit, tuple(values), True, values.index(own))


def _layer_knobs(works: Works, row: BedLayer, own: Filling, may: set[str], families: dict[str, str]) -> list[Knob]:
    base = own.family in BASES
    options = [
        filling
        for filling in works.fillings
        if filling.code == own.code
        or ((filling.family in BASES) == base and (not may or fold(filling.code) in may) and _known(filling))
    ]
    families.update({fold(filling.code): filling.family for filling in options})
    codes = [filling.code for filling in options]
    name = layer_name(row, "filling")
    found = [Knob(name, "", tuple(codes), False, codes.index(own.code))]
    low, high = THICKNESSES
    steps = [low + k * THICK_STEP for k in range(int((high - low) / THICK_STEP) + 1)]
    if any(filling.family in CUT for filling in options):
        thick = own.thickness if own.family in CUT else next(f.thickness for f in options if f.family in CUT)
        values = sorted({*steps, thick})
        found.append(Knob(layer_name(row, "thickness"), "mm", tuple(values), True, values.index(thick), name, CUT))
    whole = tuple(sorted({filling.family for filling in options if filling.family not in CUT}))
    if whole:
        sheets = tuple(sorted({*SHEETS, row.layer_count}))
        found.append(
            Knob(layer_name(row, "sheets"), "sheets", sheets, True, sheets.index(row.layer_count), name, whole)
        )
    return found


def _known(filling: Filling) -> bool:
    """Whether the card says how the filling presses."""
    try:
        filling_law(filling)
    except BedwrightError:
        return False
    return True


def _cover_knobs(works: Works, bed: Bed, may: set[str]) -> list[Knob]:
    edges = [NO_EDGE, *(edge.code for edge in works.edges if not may or fold(edge.code) in may)]
    own = bed.edge or NO_EDGE
    if own not in edges:
        edges.append(own)
    found = [Knob("edge", "", tuple(edges), False, edges.index(own))]
    panels = [panel.code for panel in works.panels if fold(panel.code) in may and panel.code != bed.panel_a]
    if panels and (bed.panel_b in (None, bed.panel_a)):
        found.append(Knob("panel", "", (bed.panel_a, *panels), False, 0))
    if bed.panel_fullness is not None and bed.panel_tension is None:
        values = sorted({*FULLNESS, bed.panel_fullness})
        found.append(Knob("panel fullness", "%", tuple(values), True, values.index(bed.panel_fullness)))
    return found
