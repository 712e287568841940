"""The bed at size: every part with its finished and fed sizes, frozen. Rooms to the right read this and no cards.

Sizes in mm. A number here is either from a card or worked out from cards by design/*.py; how is said in the chain.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from bedwright.design.lattice import Lattice
from bedwright.works.beds import Bed, Border, Closure, Panel, PanelEdge, Size
from bedwright.works.materials import Cloth, Filling, Film, Fitting, Trim
from bedwright.works.rules import RatingTerm
from bedwright.works.springs import Coil, Edge, Unit, Wire


@dataclass(frozen=True, slots=True)
class ChainLine:
    """A line of the size chain: what, its sizes [mm] where they apply, and the sum in words that a person can redo."""

    what: str
    how: str
    width: float | None = None
    length: float | None = None
    height: float | None = None


@dataclass(frozen=True, slots=True)
class CoilGroup:
    """Coils of one kind in a unit: the coil, its wire, how many, and in words where they stand (1-based, inclusive).

    per_place: the most of them that share one place of the lattice.
    """

    coil: Coil
    wire: Wire
    count: int
    where: str
    per_place: int = 1


@dataclass(frozen=True, slots=True)
class PlacedCoil:
    """One coil where it stands: x, y of its axis [mm] from the unit's outer corner at the head, left; its place.

    row, column: place of the lattice, 0-based; across, along: room that it has, pitch to pitch [mm].
    """

    x: float
    y: float
    coil: str
    row: int
    column: int
    across: float
    along: float
    stiff: bool


@dataclass(frozen=True, slots=True)
class UnitAtSize:
    """A spring unit at size: lattice, coils by kind, outer sizes [mm], lacing, glue spots.

    place_coils: code of the coil at each place, by row and column; place_counts: how many of them stand there.
    """

    card: Unit
    lattice: Lattice
    groups: tuple[CoilGroup, ...]
    place_coils: tuple[tuple[str, ...], ...]
    place_counts: tuple[tuple[int, ...], ...]
    edge_coil: str | None
    stiff_rows: int
    width: float
    length: float
    height: float
    space_width: float
    space_length: float
    lacing_lines: int
    lacing_line_length: float
    lacing_wire: Wire | None
    glue_spots: int
    pocket_strip_height: float
    pocket_strip_length: float

    @property
    def count(self) -> int:
        """All coils of the unit; more than the lattice has places where several stand in one."""
        return sum(map(sum, self.place_counts))

    def coil_at(self, row: int, column: int) -> str:
        """Code of the coil at a row and column, both 0-based."""
        return self.place_coils[row][column]

    def per_place_at(self, row: int, column: int) -> int:
        """How many coils stand at a row and column, both 0-based: 1, 4 or 9."""
        return self.place_counts[row][column]

    @property
    def pockets(self) -> tuple[tuple[int, float], ...]:
        """(how many, size in the plan [mm]) of the pockets of each size, the largest first."""
        counts: Counter[int] = Counter(count for row in self.place_counts for count in row)
        return tuple((counts[one] * one, self.lattice.head / math.isqrt(one)) for one in sorted(counts))

    def standing(self) -> tuple[PlacedCoil, ...]:
        """Every coil of the unit, place by place; several in one place stand in a square of their own."""
        lattice = self.lattice
        found = []
        for row, counts in enumerate(self.place_counts):
            y = lattice.head / 2 + row * lattice.pitch_along
            for column, count in enumerate(counts):
                x = lattice.row_start(row) + column * lattice.pitch_across
                side = math.isqrt(count)
                across, along = lattice.pitch_across / side, lattice.pitch_along / side
                stiff = self.is_stiff(row, column)
                found += [
                    PlacedCoil(
                        x + (i - (side - 1) / 2) * across, y + (j - (side - 1) / 2) * along,
                        self.place_coils[row][column], row, column, across, along, stiff,
                    )
                    for j in range(side)
                    for i in range(side)
                ]  # fmt: skip
        return tuple(found)

    def is_stiff(self, row: int, column: int) -> bool:
        """Whether a place lies in the stiff outer rows, row and column 0-based."""
        last = self.lattice.row_counts[row] - 1
        depth = min(row, self.lattice.along - 1 - row, column, last - column)
        return depth < self.stiff_rows


@dataclass(frozen=True, slots=True)
class RailPiece:
    """Foam rail pieces of one size: how many, length x width x height [mm]."""

    count: int
    length: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class EdgeAtSize:
    """What strengthens the edge: rods and strips by loop length [mm], rails by piece, clips.

    coils_round: coils along one loop, each tied by clips.
    """

    card: Edge
    wire: Wire | None
    loops: int
    loop_length: float
    coils_round: int
    clips: int
    clip: Trim | None
    rail: Filling | None
    rails: tuple[RailPiece, ...]


@dataclass(frozen=True, slots=True)
class LayerAtSize:
    """One layer of the build-up: a filling, or a mini-spring unit; cut size and thicknesses [mm]."""

    face: str
    position: int
    part: Filling | UnitAtSize
    count: int
    width: float
    length: float
    thickness: float
    built_thickness: float
    glued: bool
    glue: Trim | None

    @property
    def code(self) -> str:
        """Code of the part."""
        return self.part.code if isinstance(self.part, Filling) else self.part.card.code

    @property
    def name(self) -> str:
        """What people call the part."""
        card = self.part if isinstance(self.part, Filling) else self.part.card
        return card.name or card.code


@dataclass(frozen=True, slots=True)
class PanelAtSize:
    """A panel: finished, trimmed (seams added), quilted (before trimming) and fed (before contraction) sizes [mm].

    width, length: as made and relaxed, seam to seam; case_width, case_length: of what it is sewn to, rim to rim. A
    panel smaller than its case is stretched by it, a larger one lies full (`fullness_known`: False takes both alike).
    """

    face: str
    card: Panel
    ticking: Cloth
    plies: tuple[Filling | Cloth, ...]
    thread: Trim | None
    width: float
    length: float
    trimmed_width: float
    trimmed_length: float
    quilted_width: float
    quilted_length: float
    fed_width: float
    fed_length: float
    thickness: float
    contraction_known: bool
    case_width: float
    case_length: float
    fullness_known: bool


@dataclass(frozen=True, slots=True)
class BorderAtSize:
    """The border loop: standing height, cut height, loop length, cut length [mm], fittings."""

    card: Border
    cloth: Cloth
    filling: Filling | None
    backing: Cloth | None
    thread: Trim | None
    cord: Trim | None
    height: float
    cut_height: float
    loop_length: float
    cut_length: float
    fittings: tuple[tuple[Fitting, int], ...]
    side_stitch_length: float


@dataclass(frozen=True, slots=True)
class ClosureAtSize:
    """Closing: perimeter, tape of one pass, passes, zip, base cloth [mm]."""

    card: Closure
    tape: Trim | None
    thread: Trim
    zip: Trim | None
    perimeter: float
    passes: int
    tape_per_pass: float
    zip_length: float
    base_cloth: Cloth | None
    base_width: float
    base_length: float


@dataclass(frozen=True, slots=True)
class EdgingAtSize:
    """The edge of the panels: seam length of one panel, flange strip [mm]."""

    card: PanelEdge
    thread: Trim
    seam_length: float
    flange_cloth: Cloth | None
    flange_width: float
    flange_length: float


@dataclass(frozen=True, slots=True)
class TuftsAtSize:
    """Through-tufts: places (x, y) from the corner at the head [mm], in gaps; clamped height [mm].

    moved [mm]: how far the spacing of an even diamond of as many tufts (in nested rows: the furthest place) is off.
    pull [N]: in one clamped tuft, where measured.
    """

    trim: Trim
    places: tuple[tuple[float, float], ...]
    height: float
    moved: float
    cord_length: float
    pull: float | None = None

    @property
    def count(self) -> int:
        """Tufts; each shows on both faces."""
        return len(self.places)


@dataclass(frozen=True, slots=True)
class WrapAtSize:
    """The pack: how, and its outer sizes [mm]; film piece [mm]."""

    film: Film
    how: str
    width: float
    length: float
    height: float
    film_width: float
    film_length: float
    edge_guard: Trim | None
    edge_guard_length: float


@dataclass(frozen=True, slots=True)
class HouseTolerances:
    """What the house rules leave open, each way: live turns; shares of coil diameter, tension, and lacing and glue;
    height of coils and pockets [mm]."""

    turns: float
    diameter: float
    tension: float
    lacing: float
    coil_height: float


@dataclass(frozen=True, slots=True)
class BedAtSize:
    """A bed at one size, whole. `height` is what the works aims at; `reckoned_height` is the sum of the parts [mm]."""

    bed: Bed
    size: Size
    works_revision: int
    unit: UnitAtSize
    edge: EdgeAtSize | None
    layers: tuple[LayerAtSize, ...]
    panels: tuple[PanelAtSize, ...]
    border: BorderAtSize
    edging: EdgingAtSize
    closure: ClosureAtSize
    tufts: TuftsAtSize | None
    label: Trim
    pair_zip: Trim | None
    wrap: WrapAtSize
    height: float
    reckoned_height: float
    chain: tuple[ChainLine, ...]
    tolerances: HouseTolerances
    rating_terms: tuple[RatingTerm, ...]
    """Formula of the firmness rating, its constant as a term of its own; empty: no rating."""

    @property
    def key(self) -> str:
        """Bed and size in one word."""
        return f"{self.bed.code} {self.size.code}"

    @property
    def width(self) -> float:
        """Label width [mm]."""
        return self.size.width

    @property
    def length(self) -> float:
        """Label length [mm]."""
        return self.size.length

    def face_layers(self, face: str) -> tuple[LayerAtSize, ...]:
        """Layers of a face, from the unit outwards."""
        return tuple(layer for layer in self.layers if layer.face == face)

    def panel(self, face: str) -> PanelAtSize | None:
        """The panel of a face, or None under a one-sided bed."""
        return next((panel for panel in self.panels if panel.face == face), None)

    @property
    def spring_count(self) -> int:
        """Coils of the main unit."""
        return self.unit.count

    @property
    def mini_count(self) -> int:
        """Coils of all mini-spring layers."""
        return sum(layer.part.count * layer.count for layer in self.layers if isinstance(layer.part, UnitAtSize))
