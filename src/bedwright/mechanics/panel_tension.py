"""Tension of a panel sewn to its case: solved from cut sizes, stretch, crown and tape pull, or entered as measured.

The panel lies flat at its made size; sewn on, it has to reach from rim to rim over the crown. What the way is longer
than the panel stretches it; the tape draws it as well while it is sewn. Cloth pulls and never pushes: a panel larger
than its way is slack, and across a slack way the other one pulls alone (tension field, book `tension-field`). All else
is geometry and a straight line of stretch (derived). Ten millimetres of cut can be all of the tension, so the
sensitivity and an interval go with every answer; a measured tension beats both.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from scipy.optimize import brentq

from bedwright.errors import Fault, FaultsFound, NotConverged
from bedwright.mechanics.crown import Overheight, Rise

Pair = tuple[float, float]
MEASURE = (
    "not known: mark 500 mm on the middle of a finished panel, unpick the tape along one side, measure the mark again:"
    " the share it shrank, times the stretch stiffness of the panel, is the tension"
)
MOST_SWEEPS, SETTLED = 200, 1e-11


@dataclass(frozen=True, slots=True)
class SewnPanel:
    """A panel and the case it is sewn to; pairs are (across, along).

    panel: made size lying flat without pull, seam to seam [mm]; case: from rim to rim [mm]; stretch: pull on one metre
    of width for a stretch of 1, so 100 times that for 1 % [N/m]; tape_pull: with which the tape draws the panel while
    it is sewn [N/m]; rim_give: how far one rim is drawn in by 1 N/m [mm m/N]; contraction: how much a stretch one way
    draws in the other way, 0 to below 1; crown: measured, or of overheight; None for flat.
    """

    panel: Pair
    case: Pair
    stretch: Pair
    tape_pull: float = 0.0
    rim_give: float = 0.0
    contraction: float = 0.0
    crown: Rise | Overheight | None = None


@dataclass(frozen=True, slots=True)
class SewnTolerance:
    """Half widths of what is open: cut size [mm], stretch and tape pull [share], crown or overheight [mm]."""

    cut: float
    stretch: float
    tape_pull: float = 0.0
    crown: float = 0.0


@dataclass(frozen=True, slots=True)
class TensionMove:
    """How far the mean tension goes when one open figure goes to its limits [N/m]: down (0 or less) and up."""

    name: str
    down: float
    up: float


@dataclass(frozen=True, slots=True)
class PanelTension:
    """Tension of a panel [N/m], never under 0: across, along, mean, and the mean's interval.

    way: length over the crown (across, along) [mm]; fullness: panel over its way less 1 [share], above 0 is slack
    before the tape draws; crown: height of the middle [mm], across and along; per_mm: how the tension of each way
    changes with 1 mm more of cut [N/m/mm] (0 or less); per_percent: with 1 % more stretch stiffness; moves: largest
    first; entered: typed as measured, nothing solved.
    """

    across: float
    along: float
    mean: float
    low: float
    high: float
    way: Pair
    fullness: Pair
    crown: Pair
    per_mm: Pair
    per_percent: Pair
    moves: tuple[TensionMove, ...]
    entered: bool
    notes: tuple[str, ...]


def entered_tension(tension: float, tolerance: float = 0.0) -> PanelTension:
    """A tension as measured [N/m] with its tolerance [share]; nothing is solved. Raises FaultsFound."""
    if not (0 <= tension < math.inf and 0 <= tolerance < math.inf):
        says = f"a tension of {tension:g} N/m with {tolerance:g}"
        raise FaultsFound([Fault(says=says, remedy="give 0 or more of each", field="panel_tension")])
    away = tension * tolerance
    moves = (TensionMove("panel tension as entered", -min(away, tension), away),) if away else ()
    low = max(0.0, tension - away)
    nothing = (0.0, 0.0)
    notes = ("tension as entered",)
    return PanelTension(
        tension, tension, tension, low, tension + away, nothing, nothing, nothing, nothing, nothing, moves, True, notes
    )


def panel_tension(sewn: SewnPanel, tolerance: SewnTolerance | None = None) -> PanelTension:
    """Tension of a sewn panel with its sensitivities and, where a tolerance is given, its interval.

    Each open figure goes to both its limits through the whole solution; moves up and moves down are joined as a root
    sum of squares each, so that a slack side stays at 0: about 19 of 20 panels where limits are two standard deviations
    (checked by sampling). Raises FaultsFound with every fault, NotConverged.
    """
    faults = _faults(sewn, tolerance)
    if faults:
        raise FaultsFound(faults)
    tension = _solved(sewn)
    mean = sum(tension) / 2
    moves = _moves(sewn, tolerance, mean) if tolerance is not None else ()
    down, up = (math.sqrt(math.fsum(value**2 for value in values)) for values in _ends(moves))
    way = _ways(sewn, tension)
    fullness = sewn.panel[0] / way[0] - 1, sewn.panel[1] / way[1] - 1
    return PanelTension(
        across=tension[0],
        along=tension[1],
        mean=mean,
        low=max(0.0, mean - down),
        high=mean + up,
        way=way,
        fullness=fullness,
        crown=_crowns(sewn, tension),
        per_mm=(_slope(sewn, 0, _longer), _slope(sewn, 1, _longer)),
        per_percent=(_slope(sewn, 0, _stiffer), _slope(sewn, 1, _stiffer)),
        moves=moves,
        entered=False,
        notes=_notes(sewn, tension, fullness),
    )


def pulls(stretched: Pair, stretch: Pair, contraction: float = 0.0) -> Pair:
    """Tension across and along [N/m] of cloth stretched by shares, never under 0.

    Both ways taut: plane stress of an orthotropic sheet, contraction = sqrt(nu12 nu21). One way slack: the other pulls
    alone (book `tension-field`).
    """
    (ex, ey), (jx, jy), n = stretched, stretch, contraction
    tx = (jx * ex + n * math.sqrt(jx * jy) * ey) / (1 - n * n)
    ty = (jy * ey + n * math.sqrt(jx * jy) * ex) / (1 - n * n)
    if tx > 0 and ty > 0:
        return tx, ty
    # alone, a way draws the other in by its contraction: slack there as long as that is not stretched beyond it
    if ex > 0 and ey <= -n * math.sqrt(jx / jy) * ex:
        return jx * ex, 0.0
    if ey > 0 and ex <= -n * math.sqrt(jy / jx) * ey:
        return 0.0, jy * ey
    return max(tx, 0.0), max(ty, 0.0)


def _solved(sewn: SewnPanel) -> Pair:
    """Across and along in turn, each by its own root, until neither moves: the energy is convex, so this settles."""
    tension = [0.0, 0.0]
    stretched = [_stretched(sewn, way, 0.0) for way in (0, 1)]
    moved = math.inf
    for _ in range(MOST_SWEEPS):
        before = list(tension)
        for way in (0, 1):
            tension[way] = _one_way(sewn, way, stretched[1 - way])
            stretched[way] = _stretched(sewn, way, tension[way])
        moved = max(abs(a - b) for a, b in zip(tension, before, strict=True))
        if moved <= SETTLED * max(1.0, *tension):
            return tension[0], tension[1]
    raise NotConverged("the panel's tension does not settle", residual=moved)


def _one_way(sewn: SewnPanel, way: int, other: float) -> float:
    def pull(tension: float) -> float:
        own = _stretched(sewn, way, tension)
        both = pulls((own, other) if way == 0 else (other, own), sewn.stretch, sewn.contraction)
        return both[way]

    most = pull(0.0)
    if most <= 0:
        return 0.0
    return float(brentq(lambda T: T - pull(T), 0.0, most, xtol=1e-12 * most, rtol=1e-14, maxiter=300))


def _stretched(sewn: SewnPanel, way: int, tension: float) -> float:
    """Stretch [share] of a panel that reaches over its way at a tension, the tape's draw included."""
    drawn = 1 + sewn.tape_pull / sewn.stretch[way]
    return _way(sewn, way, tension) * drawn / sewn.panel[way] - 1


def _way(sewn: SewnPanel, way: int, tension: float) -> float:
    chord = max(sewn.case[way] - 2 * sewn.rim_give * tension, sewn.case[way] / 2)
    return chord if sewn.crown is None else sewn.crown.way(chord, tension)


def _ways(sewn: SewnPanel, tension: Pair) -> Pair:
    return _way(sewn, 0, tension[0]), _way(sewn, 1, tension[1])


def _crowns(sewn: SewnPanel, tension: Pair) -> Pair:
    if sewn.crown is None:
        return 0.0, 0.0
    return sewn.crown.middle(sewn.case[0], tension[0]), sewn.crown.middle(sewn.case[1], tension[1])


def _longer(sewn: SewnPanel, way: int, by: float) -> SewnPanel:
    panel = list(sewn.panel)
    panel[way] += by
    return replace(sewn, panel=(panel[0], panel[1]))


def _stiffer(sewn: SewnPanel, way: int, by: float) -> SewnPanel:
    stretch = list(sewn.stretch)
    stretch[way] *= 1 + by / 100
    return replace(sewn, stretch=(stretch[0], stretch[1]))


def _slope(
    sewn: SewnPanel, way: int, change: Callable[[SewnPanel, int, float], SewnPanel], step: float = 1e-3
) -> float:
    up, down = _solved(change(sewn, way, step))[way], _solved(change(sewn, way, -step))[way]
    return (up - down) / (2 * step)


def _moves(sewn: SewnPanel, tolerance: SewnTolerance, mean: float) -> tuple[TensionMove, ...]:
    changes: list[tuple[str, float, Callable[[float], SewnPanel]]] = [
        ("cut across", tolerance.cut, lambda by: _longer(sewn, 0, by)),
        ("cut along", tolerance.cut, lambda by: _longer(sewn, 1, by)),
        ("stretch", tolerance.stretch, lambda by: _stiffer(_stiffer(sewn, 0, 100 * by), 1, 100 * by)),
        ("tape pull", tolerance.tape_pull, lambda by: replace(sewn, tape_pull=sewn.tape_pull * (1 + by))),
    ]
    if sewn.crown is not None:
        crown = sewn.crown
        changes.append(
            (
                "crown",
                tolerance.crown,
                lambda by: replace(sewn, crown=replace(crown, height=max(0.0, crown.height + by))),
            )
        )
    moves = []
    for name, away, change in changes:
        if away > 0:
            ends = [sum(_solved(change(by))) / 2 - mean for by in (-away, away)]
            moves.append(TensionMove(name, min(0.0, *ends), max(0.0, *ends)))
    return tuple(sorted(moves, key=lambda move: move.down - move.up))


def _ends(moves: tuple[TensionMove, ...]) -> tuple[list[float], list[float]]:
    return [move.down for move in moves], [move.up for move in moves]


def _notes(sewn: SewnPanel, tension: Pair, fullness: Pair) -> tuple[str, ...]:
    notes = []
    for name, pull, full, size in zip(("across", "along"), tension, fullness, sewn.panel, strict=True):
        if pull == 0:
            spare = size * full / (1 + full)
            notes.append(f"slack {name}: the panel is {spare:.1f} mm larger than its way")
    if sewn.rim_give == 0:
        notes.append("rims taken as standing still: a border that gives makes the tension less")
    notes.append("solved from sizes: ten readings of cut and stretch, or one of the tension itself, say more")
    return tuple(notes)


def _faults(sewn: SewnPanel, tolerance: SewnTolerance | None) -> list[Fault]:
    faults = []
    for field, pair in (("panel", sewn.panel), ("case", sewn.case), ("stretch", sewn.stretch)):
        for name, value in zip(("across", "along"), pair, strict=True):
            if not 0 < value < 1e7:
                unit = "N/m" if field == "stretch" else "mm"
                faults.append(Fault(says=f"{field} {name} {value:g} {unit}", remedy="give more than 0", field=field))
    for field in ("tape_pull", "rim_give"):
        value = getattr(sewn, field)
        if not 0 <= value < math.inf:
            faults.append(Fault(says=f"{field} {value:g}", remedy="give 0 or more", field=field))
    if not 0 <= sewn.contraction < 1:
        says = f"contraction {sewn.contraction:g}"
        faults.append(Fault(says=says, remedy="give 0 to below 1", field="contraction"))
    if sewn.crown is not None and not 0 <= sewn.crown.height < 1000:
        says = f"crown height {sewn.crown.height:g} mm"
        faults.append(Fault(says=says, remedy="give 0 to 1000 mm", field="crown"))
    if tolerance is not None:
        most = {"cut": min(sewn.panel), "stretch": 0.99, "tape_pull": 1.0, "crown": 1000.0}
        for field, top in most.items():
            value = getattr(tolerance, field)
            if not 0 <= value <= top:
                says = f"tolerance of {field} {value:g}"
                faults.append(Fault(says=says, remedy=f"give 0 to {top:g}", field=field))
    return faults
