"""A bed at size as the pad test sees it: levels from the upper face down, springs among them, and what ties them.

Everything a tolerance can move is in here; a moved model is a new one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from bedwright.design.bed_at_size import BedAtSize, LayerAtSize, PanelAtSize, UnitAtSize
from bedwright.mechanics.filling import FillingLaw, filling_law
from bedwright.mechanics.mini_layer import FINE_PITCH, MiniLayer, mini_layer
from bedwright.mechanics.open_figure import OpenFigure
from bedwright.mechanics.stack_law import Ply, quilted, series, way_back
from bedwright.mechanics.unit_model import Springs, springs
from bedwright.works.materials import Cloth, Filling

PLAUSIBLE_TENSION = 100.0  # [N/m]: a plausible choice of a trial; the range is from nothing to three times it
BENDING_LOW, BENDING_HIGH = 0.5, 1.5
"""Range of the bending of fillings, as shares: foam's modulus falls as it is pressed, and layers lie loose or glued."""


@dataclass(frozen=True, slots=True)
class Level:
    """Fillings that act as one: plies from the top, law over `thickness` [mm].

    glued: fixed to what lies below. quilted: thickness [mm] to which quilting holds the plies, 0 for none.
    """

    name: str
    plies: tuple[Ply, ...]
    glued: bool
    quilted: float
    law: FillingLaw
    thickness: float

    @classmethod
    def of(cls, name: str, plies: tuple[Ply, ...], glued: bool, thickness: float = 0.0) -> Level:
        """A level of plies; thickness [mm] where quilting holds them."""
        if thickness:
            law, whole = quilted(plies, thickness)
        elif len(plies) == 1:
            law, whole = plies[0].law, plies[0].thickness
        else:
            law, whole = series(plies), sum(ply.thickness for ply in plies)
        return cls(name, plies, glued, thickness, law, whole)

    def scaled(self, code: str, by: float) -> Level:
        """The same with the stress of one filling multiplied."""
        if all(ply.code != code for ply in self.plies):
            return self
        plies = tuple(ply.scaled(by) if ply.code == code else ply for ply in self.plies)
        return Level.of(self.name, plies, self.glued, self.quilted)


@dataclass(frozen=True, slots=True)
class Tufts:
    """Tufts at places x, y [mm] that hold the bed to `held` [mm] at their place; untufted height there [mm]."""

    places: tuple[tuple[float, float], ...]
    held: float


@dataclass(frozen=True, slots=True)
class BedModel:
    """A bed from the upper face down. width, length [mm]; top and bottom: levels above and below the main unit.

    tension: of the upper panel, lower_tension: of the lower one [N/m]; bending: share of the fillings' bending that is
    reckoned with; rim: what the border carries [N/mm per m]; untufted: height [mm].
    """

    width: float
    length: float
    face: str
    top: tuple[Level | MiniLayer | Springs, ...]
    main: Springs
    bottom: tuple[Level | MiniLayer | Springs, ...]
    tension: OpenFigure
    lower_tension: OpenFigure
    bending: OpenFigure
    rim: OpenFigure
    tufts: Tufts | None
    untufted: float

    @property
    def items(self) -> tuple[Level | MiniLayer | Springs, ...]:
        """All of it from the upper face down."""
        return (*self.top, self.main, *self.bottom)

    @property
    def fillings(self) -> dict[str, Ply]:
        """Every filling by its code."""
        found = {ply.code: ply for item in self.items if isinstance(item, Level) for ply in item.plies}
        if self.main.rail is not None:
            found.setdefault(self.main.rail.ply.code, self.main.rail.ply)
        return found

    def with_figure(self, field: str, value: float) -> BedModel:
        """The same with an open figure at another value: tension, lower_tension, bending, rim."""
        changed: dict[str, Any] = {field: replace(getattr(self, field), value=value)}
        return replace(self, **changed)

    def with_coils(self, by: dict[str, float]) -> BedModel:
        """The same with coil forces multiplied, by code of the coil."""
        return replace(
            self,
            main=self.main.scaled(by),
            top=tuple(one if isinstance(one, Level) else one.scaled(by) for one in self.top),
            bottom=tuple(one if isinstance(one, Level) else one.scaled(by) for one in self.bottom),
        )

    def with_filling(self, code: str, by: float) -> BedModel:
        """The same with the stress of a filling multiplied, wherever it lies."""
        main = self.main
        if main.rail is not None and main.rail.ply.code == code:
            main = replace(main, rail=replace(main.rail, ply=main.rail.ply.scaled(by)))
        return replace(
            self,
            main=main,
            top=tuple(one.scaled(code, by) if isinstance(one, Level) else one for one in self.top),
            bottom=tuple(one.scaled(code, by) if isinstance(one, Level) else one for one in self.bottom),
        )


def bed_model(bed: BedAtSize, face: str = "A") -> BedModel:
    """The model of a bed with a face up. Raises NotKnown for a filling without figures, FaultsFound for a coil."""
    other = "B" if face == "A" else "A"
    rail = None
    if bed.edge is not None and bed.edge.rail is not None:
        rail = _ply(bed.edge.rail, bed.unit.height)
    plan = bed.width, bed.length
    main = springs(bed.unit, bed.edge, rail, plan)
    top = _levels(bed, face, plan)
    bottom = tuple(reversed(_levels(bed, other, plan)))
    standing = getattr(bed.border.card, "standing_stiffness", None)
    tufts = None
    if bed.tufts is not None:
        tufts = Tufts(bed.tufts.places, bed.tufts.height)
    return BedModel(
        width=bed.width,
        length=bed.length,
        face=face,
        top=top,
        main=main,
        bottom=bottom,
        tension=bed_tension(bed, face),
        lower_tension=bed_tension(bed, other),
        bending=OpenFigure("bending of the fillings", 1.0, BENDING_LOW, BENDING_HIGH, "share", True),
        rim=OpenFigure("border", standing or 0.0, 0.8 * (standing or 0.0), 1.2 * (standing or 0.0), "N/mm per m", True),
        tufts=tufts,
        untufted=bed.reckoned_height,
    )


def bed_tension(bed: BedAtSize, face: str) -> OpenFigure:
    """Tension of a face's panel [N/m]: as measured, or plausible only."""
    measured = getattr(bed.bed, "panel_tension", None)
    return OpenFigure.measured_or("panel tension", "panel_tension", measured, PLAUSIBLE_TENSION, "N/m")


def _levels(bed: BedAtSize, face: str, plan: tuple[float, float]) -> tuple[Level | MiniLayer | Springs, ...]:
    """Levels of a face from its outside to the unit."""
    found: list[Level | MiniLayer | Springs] = []
    panel = bed.panel(face)
    if panel is not None:
        level = _panel_level(panel)
        if level is not None:
            found.append(level)
    found += [_layer_level(layer, plan) for layer in reversed(bed.face_layers(face))]
    return tuple(found)


def _panel_level(panel: PanelAtSize) -> Level | None:
    fillings = [ply for ply in panel.plies if isinstance(ply, Filling)]
    if not fillings:
        return None
    hard = panel.ticking.thickness + sum(ply.thickness for ply in panel.plies if isinstance(ply, Cloth))
    plies = tuple(_ply(filling, filling.thickness) for filling in fillings)
    soft = max(panel.thickness - hard, 0.2 * sum(ply.thickness for ply in plies))
    if panel.card.method == "plain" or panel.card.quilted_thickness is None:
        whole = sum(ply.thickness for ply in plies)
        return Level.of(
            panel.card.called, tuple(replace(ply, thickness=soft * ply.thickness / whole) for ply in plies), False
        )
    return Level.of(panel.card.called, plies, False, min(soft, sum(ply.thickness for ply in plies)))


def _layer_level(layer: LayerAtSize, plan: tuple[float, float]) -> Level | MiniLayer | Springs:
    if isinstance(layer.part, UnitAtSize):
        whole = springs(layer.part, None, None, plan)
        return mini_layer(whole, layer.part.height) if min(whole.pitch) <= FINE_PITCH else whole
    ply = _ply(layer.part, layer.built_thickness * layer.count)
    return Level.of(layer.name, (ply,), layer.glued)


def _ply(filling: Filling, thickness: float) -> Ply:
    law = filling_law(filling)
    return Ply(
        code=filling.code,
        name=filling.name or filling.code,
        law=law,
        thickness=thickness,
        tolerance=filling.figure_tolerance / 100,
        back=way_back(filling, law),
        poisson=getattr(filling, "poisson", None) or 0.0,
        warm=filling.goes_soft_warm,
    )
