"""A bed at size as the pad test sees it: levels from the upper face down, springs among them, and what ties them.

Everything a tolerance can move is in here; a moved model is a new one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from bedwright.design.bed_at_size import BedAtSize, LayerAtSize, PanelAtSize, UnitAtSize
from bedwright.mechanics.bed_ties import bed_rim, bed_tension
from bedwright.mechanics.filling import FillingLaw, filling_law
from bedwright.mechanics.mini_layer import FINE_PITCH, MiniLayer, mini_layer
from bedwright.mechanics.open_figure import OpenFigure
from bedwright.mechanics.stack_law import ON_THE_WAY, Ply, quilted, series, way_back
from bedwright.mechanics.unit_model import Springs, springs
from bedwright.works.materials import Cloth, Filling

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

    def thinned(self, code: str, by: float) -> Level:
        """The same with the thickness of one filling multiplied."""
        if all(ply.code != code for ply in self.plies):
            return self
        plies = tuple(replace(ply, thickness=ply.thickness * by) if ply.code == code else ply for ply in self.plies)
        whole = sum(ply.thickness for ply in plies)
        return Level.of(self.name, plies, self.glued, min(self.quilted, whole) if self.quilted else 0.0)


@dataclass(frozen=True, slots=True)
class Tufts:
    """Tufts at places x, y [mm] that hold the bed to `held` [mm] at their place; untufted height there [mm]."""

    places: tuple[tuple[float, float], ...]
    held: float


@dataclass(frozen=True, slots=True)
class BedModel:
    """A bed from the upper face down. width, length [mm]; top and bottom: levels above and below the main unit.

    tension: of the upper panel, lower_tension: of the lower one [N/m]; bending: share of the fillings' bending that is
    reckoned with; rim: what the border carries standing, rim_hold: how
    it holds a lifted rim down [N/mm per m]; untufted: height [mm].
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
    rim_hold: float
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

    def with_heat(self, code: str, value: float) -> BedModel:
        """The same with a coil's change of height by heat at another value [mm]."""
        main = self.main.with_heat(code, value)
        return replace(self, main=main, untufted=self.untufted + main.grown - self.main.grown)

    def higher(self, coil: float, pocket: float) -> BedModel:
        """The same with all coils of the main unit, or all its pockets, higher [mm]."""
        main = self.main.higher(coil, pocket)
        held = pocket if any(kind.pocket_height is not None for kind in main.kinds) else 0.0
        return replace(self, main=main, untufted=self.untufted + main.grown - self.main.grown + held)

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

    def with_thickness(self, code: str, by: float) -> BedModel:
        """The same with the thickness of a filling multiplied, and the bed that much lower or higher."""
        top = tuple(one.thinned(code, by) if isinstance(one, Level) else one for one in self.top)
        bottom = tuple(one.thinned(code, by) if isinstance(one, Level) else one for one in self.bottom)
        lost = _thick(self.top) + _thick(self.bottom) - _thick(top) - _thick(bottom)
        return replace(self, top=top, bottom=bottom, untufted=self.untufted - lost)


def _thick(items: tuple[Level | MiniLayer | Springs, ...]) -> float:
    return sum(one.thickness for one in items if isinstance(one, Level))


def bed_model(bed: BedAtSize, face: str = "A", presses: int = 1) -> BedModel:
    """The model of a bed with a face up, pressed `presses` times before: suppliers' figures are of foam that was.

    presses 0: what a card says of its very first pressing counts. Raises NotKnown for a filling without figures,
    FaultsFound for a coil that cannot be.
    """
    other = "B" if face == "A" else "A"
    rail = None
    if bed.edge is not None and bed.edge.rail is not None:
        rail = _ply(bed.edge.rail, bed.unit.height, presses)
    plan = bed.width, bed.length
    main = springs(bed.unit, bed.edge, rail, plan)
    top = _levels(bed, face, plan, presses)
    bottom = tuple(reversed(_levels(bed, other, plan, presses)))
    rim, hold = bed_rim(bed)
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
        lower_tension=replace(bed_tension(bed, other), name="lower panel tension"),
        bending=OpenFigure("bending of the fillings", 1.0, BENDING_LOW, BENDING_HIGH, "share", True, solved=True),
        rim=rim,
        rim_hold=hold,
        tufts=tufts,
        untufted=bed.reckoned_height + main.grown,
    )


def _levels(
    bed: BedAtSize, face: str, plan: tuple[float, float], presses: int
) -> tuple[Level | MiniLayer | Springs, ...]:
    """Levels of a face from its outside to the unit."""
    found: list[Level | MiniLayer | Springs] = []
    panel = bed.panel(face)
    if panel is not None:
        level = _panel_level(panel, presses)
        if level is not None:
            found.append(level)
    found += [_layer_level(layer, plan, presses) for layer in reversed(bed.face_layers(face))]
    return tuple(found)


def _panel_level(panel: PanelAtSize, presses: int) -> Level | None:
    fillings = [ply for ply in panel.plies if isinstance(ply, Filling)]
    if not fillings:
        return None
    hard = panel.ticking.thickness + sum(ply.thickness for ply in panel.plies if isinstance(ply, Cloth))
    plies = tuple(_ply(filling, filling.thickness, presses) for filling in fillings)
    soft = max(panel.thickness - hard, 0.2 * sum(ply.thickness for ply in plies))
    if panel.card.method == "plain" or panel.card.quilted_thickness is None:
        whole = sum(ply.thickness for ply in plies)
        return Level.of(
            panel.card.called, tuple(replace(ply, thickness=soft * ply.thickness / whole) for ply in plies), False
        )
    return Level.of(panel.card.called, plies, False, min(soft, sum(ply.thickness for ply in plies)))


def _layer_level(layer: LayerAtSize, plan: tuple[float, float], presses: int) -> Level | MiniLayer | Springs:
    if isinstance(layer.part, UnitAtSize):
        whole = springs(layer.part, None, None, plan)
        return mini_layer(whole, layer.part.height) if min(whole.pitch) <= FINE_PITCH else whole
    ply = _ply(layer.part, layer.built_thickness * layer.count, presses)
    return Level.of(layer.name, (ply,), layer.glued)


def _ply(filling: Filling, thickness: float, presses: int) -> Ply:
    """A filling as a ply. Pressed for the first time it is stiffer going down; what comes back is the same."""
    law = filling_law(filling)
    back = way_back(filling, law)
    if presses == 0 and filling.first_press is not None and filling.first_press > 100:
        first = filling.first_press / 100
        law = law.scaled(first)
        # at the greatest compression both branches meet, so the way back falls steeply from there
        back = (*(share / first for share in (back or (1.0,) * ON_THE_WAY)[:-1]), 1.0)
    return Ply(
        code=filling.code,
        name=filling.name or filling.code,
        law=law,
        thickness=thickness,
        tolerance=filling.figure_tolerance / 100,
        back=back,
        poisson=filling.poisson or 0.0,
        warm=filling.goes_soft_warm,
    )
