"""The coils of a bed pressed as hard as the roller of EN 1957 presses: each kind's most pressed one against fatigue.

The roller is no pad: two cones that roll over the bed and may tip. Here the pad of the test is pressed on to the
roller's force, so the force is the roller's and the contact the pad's; whether the roller presses one coil more or less
is not known here: the sizes of its drawing were not seen. Book `en-1957`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bedwright.design.bed_at_size import BedAtSize
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.bed_field import bed_field, below_of, layout, place
from bedwright.mechanics.bed_model import BedModel, Level, bed_model
from bedwright.mechanics.coil_life import LifeCheck
from bedwright.mechanics.coil_shape import longest_way
from bedwright.mechanics.coil_travel import CoilLaw, head_travel
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.pad import Protocol, Spot
from bedwright.mechanics.pad_path import Path, press
from bedwright.mechanics.settling import ROLLER_FORCE, roller_check
from bedwright.mechanics.solver import Bench

Array = NDArray[np.float64]
TOLERANCE, CLOSER = 1e-5, 3  # residual as a share of force; steps between the last two points, to the force itself
PRESSED_ON = Protocol(greatest_force=ROLLER_FORCE[0])
NO_ROLLER = (
    f"pressed on by the pad to the roller's {ROLLER_FORCE[0]:g} N: the contact is the pad's, not the roller's, whose"
    " drawing was not seen, so whether that presses one coil more or less is not known (book en-1957)"
)
ENDLESS = "Goodman and Gerber say whether life is endless: below 1 it is not, which is no word on when the wire breaks"
NO_INTERVAL = "no interval was reckoned of these stresses: what moves H most moves them too"


@dataclass(frozen=True, slots=True)
class CoilUnderForce:
    """The most pressed coil of a kind. held: how far its pocket presses it [mm], 0 without one; least, greatest: its
    way from there [mm], before the press and under it; solid: whether it is pressed solid."""

    code: str
    held: float
    least: float
    greatest: float
    solid: bool
    check: LifeCheck


@dataclass(frozen=True, slots=True)
class RollerLife:
    """force [N] and depth of the pad [mm] there; coils by kind, the widest stress range first; away: kinds of
    which none stands under the pad; residual: worst of the way down, as a share of the force."""

    force: float
    depth: float
    coils: tuple[CoilUnderForce, ...]
    away: tuple[str, ...]
    residual: float
    notes: tuple[str, ...]


def roller_life(bed: BedAtSize, spot: Spot, *, base: Base = SOLID, presses: int = 1) -> RollerLife:
    """Stress range, Goodman and Gerber, and the flat check of every kind of coil that stands under the pad at a spot.

    Raises NotKnown for a filling without figures, OutsideRange for a bed that does not carry the force or a wire
    outside its grade's sizes, NotConverged.
    """
    model = bed_model(bed, spot.face, presses)
    where = layout(model, spot, PRESSED_ON)
    placed = place(model, where, base)
    one, force = bed_field(model, placed), PRESSED_ON.greatest_force
    path = press(one, force, PRESSED_ON.slope_forces, TOLERANCE, back=False)
    under_force, depth = _at_force(one, path, force)
    rest, last = (head_travel(model, placed, u) for u in (path.rest.u, under_force))
    main, grades = model.main, {group.coil.code: group.wire.grade for group in bed.unit.groups}
    reach = PRESSED_ON.diameter / 2 + max(main.pitch) / 2
    under = np.hypot(main.x - spot.x, main.y - spot.y) <= reach
    found: dict[str, CoilUnderForce] = {}
    for index, kind in enumerate(main.kinds):
        coils = np.flatnonzero(under & (main.kind == index))
        if not len(coils):
            continue
        law, most = CoilLaw.of(kind, below_of(model, base)), coils[int(np.argmax(last[coils]))]
        live, way = kind.live, law.coil_way(float(last[most]))
        held, solid = max(0.0, longest_way(live) - kind.travel), way >= kind.travel
        greatest = min(max(0.0, way), kind.travel, longest_way(live) - held)
        least = min(max(0.0, law.coil_way(float(rest[most]))), greatest)
        check = roller_check(live, grades[kind.code], held, least, greatest)
        known = found.get(kind.code)
        if known is None or check.cycle.amplitude > known.check.cycle.amplitude:
            found[kind.code] = CoilUnderForce(kind.code, held, least, greatest, solid, check)
    coils_found = tuple(sorted(found.values(), key=lambda coil: -coil.check.cycle.amplitude))
    away = tuple(dict.fromkeys(kind.code for kind in main.kinds if kind.code not in found))
    return RollerLife(
        force=force,
        depth=depth,
        coils=coils_found,
        away=away,
        residual=max(state.residual for state in path.down),
        notes=_notes(model, coils_found, away),
    )


def _at_force(one: Field, path: Path, force: float) -> tuple[Array, float]:
    """Interface fields and depth [mm] at the force, by false position between the last two states of the way down.

    The last step goes past the force asked, and near solid a coil's stress rises by a tenth in a millimetre.
    """
    bench = Bench(one, TOLERANCE)
    low, high = [(path.touch, 0.0, path.rest), *((s.depth, s.force, s) for s in path.down)][-2:]
    for _ in range(CLOSER):
        between = low[0] + (high[0] - low[0]) * (force - low[1]) / (high[1] - low[1])
        state = bench.settled(between, low[2])
        found = (state.depth, state.force, state)
        low, high = (found, high) if state.force < force else (low, found)
        if high[1] - low[1] <= 1e-6 * force:
            break
    share = (force - low[1]) / (high[1] - low[1])
    return low[2].u + (high[2].u - low[2].u) * share, low[0] + (high[0] - low[0]) * share - path.touch


def _notes(model: BedModel, coils: tuple[CoilUnderForce, ...], away: tuple[str, ...]) -> tuple[str, ...]:
    notes = [NO_ROLLER]
    flat = [coil.code for coil in coils if coil.solid]
    if flat:
        notes.append(f"pressed solid at this force: {', '.join(flat)}; the rest of the force goes past the wire")
    if away:
        notes.append(f"not under the pad at this spot, so not reckoned: {', '.join(away)}; ask at a spot among them")
    if any(not isinstance(item, Level) for item in (*model.top, *model.bottom)):
        notes.append("small coils laid on or under the unit are not looked at")
    return (*notes, ENDLESS, NO_INTERVAL)
