"""How sure a pad test is: each open figure moved to its limits, its effect on the curve, and on H.

A figure with a narrow tolerance (wire, turns, diameter, fillings, a measured tension) is moved by sensitivity: at every
state of the test, one solve says how the force follows any change of the bed's own forces, so each figure costs no more
than those forces. A figure that nobody measured has a range too wide for that: the bed is pressed again at its limits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from bedwright.design.bed_at_size import HouseTolerances
from bedwright.mechanics.base import SOLID, Base
from bedwright.mechanics.bed_field import Placed, bed_field, place
from bedwright.mechanics.bed_model import BedModel, Level
from bedwright.mechanics.hardness import Hardness, hardness
from bedwright.mechanics.kernels import Field
from bedwright.mechanics.open_figure import OpenFigure
from bedwright.mechanics.pad_path import Path, tangents
from bedwright.mechanics.solver import Bench, Pressed, Tangent
from bedwright.mechanics.unit_model import CoilKind

Array = NDArray[np.float64]
LOOSE = 1e-4  # residual, as a share of the force, of presses that only serve an interval
WIDE = 0.35  # half width of a range, as a share of its value, from which the bed is pressed again
NEAR = (0.5, 1.5)  # of the forces of H: states between these times them carry its interval


@dataclass(frozen=True, slots=True)
class Move:
    """What one open figure does when it goes to its limits: half widths of H [N/mm], tangent and secant; and apart,
    how far each goes down (0 or less) and up. height: of the tufted height, half width [mm]."""

    name: str
    tangent: float
    secant: float
    tangent_down: float
    tangent_up: float
    secant_down: float
    secant_up: float
    height: float = 0.0


@dataclass(frozen=True, slots=True)
class Intervals:
    """Moves, largest first; H low and high, tangent and secant [N/mm]; force band at the depths of the path [N]."""

    moves: tuple[Move, ...]
    low: float
    high: float
    secant_low: float
    secant_high: float
    force_low: Array
    force_high: Array
    height: float


@dataclass(frozen=True, slots=True)
class Change:
    """One open figure at both limits: name, the models, whether the bed has to be pressed again."""

    name: str
    ends: tuple[BedModel, BedModel]
    wide: bool
    moves_places: bool


def changes(model: BedModel, off: HouseTolerances, base: Base = SOLID) -> tuple[Change, ...]:
    """Every figure that is open in a model on a base; the lower panel's tension only where that is not solid."""
    kinds = {kind.code: kind for unit in _coiled(model) for kind in unit}

    def coils(low: dict[str, float], high: dict[str, float]) -> tuple[BedModel, BedModel]:
        return model.with_coils(low), model.with_coils(high)

    def wire(sign: float) -> dict[str, float]:
        return {c: (1 + sign * k.wire_tolerance / k.shape.wire_diameter) ** 4 for c, k in kinds.items()}

    def turns(sign: float) -> dict[str, float]:
        return {c: k.shape.live_turns / (k.shape.live_turns - sign * off.turns) for c, k in kinds.items()}

    def size(sign: float) -> dict[str, float]:
        return dict.fromkeys(kinds, (1 - sign * off.diameter) ** -3)

    found = [
        Change("wire diameter", coils(wire(-1), wire(1)), False, False),
        Change("live turns", coils(turns(-1), turns(1)), False, False),
        Change("coil diameter", coils(size(-1), size(1)), False, False),
    ]
    for code, ply in model.fillings.items():
        ends = model.with_filling(code, 1 - ply.tolerance), model.with_filling(code, 1 + ply.tolerance)
        found.append(Change(f"filling {code}", ends, False, False))
    for heat in {kind.code: kind.heat for kind in model.main.kinds}.values():
        if heat.high > heat.low:
            code = heat.name.removeprefix("heat of ")
            warm = model.with_heat(code, heat.low), model.with_heat(code, heat.high)
            found.append(Change(heat.name, warm, False, model.tufts is not None))
    mm = off.coil_height
    heights = [("coil height", (model.higher(-mm, 0), model.higher(mm, 0)))]
    if any(kind.pocket_height is not None for kind in model.main.kinds):
        heights.append(("pocket height", (model.higher(0, -mm), model.higher(0, mm))))
    found += [Change(name, ends, False, model.tufts is not None) for name, ends in heights]
    found += _figure(model, "tension", model.tension.within(off.tension))
    if base.form != "solid":
        found += _figure(model, "lower_tension", model.lower_tension.within(off.tension))
    found += _figure(model, "bending", model.bending)
    found += _figure(model, "rim", model.rim.within(off.tension))
    main = model.main
    for field, figure in (("tie", main.tie), ("ring", main.ring)):
        figure = figure.within(off.lacing)
        if figure.high > figure.low:
            low, high = (main.with_figure(field, value) for value in (figure.low, figure.high))
            found.append(
                Change(figure.name, (replace(model, main=low), replace(model, main=high)), _wide(figure), True)
            )
    return tuple(found)


def _coiled(model: BedModel) -> list[tuple[CoilKind, ...]]:
    return [item.kinds for item in model.items if not isinstance(item, Level)]


def _wide(figure: OpenFigure) -> bool:
    return figure.high - figure.low > 2 * WIDE * figure.value


def _figure(model: BedModel, field: str, figure: OpenFigure) -> list[Change]:
    if figure.high <= figure.low:
        return []
    low, high = (model.with_figure(field, value) for value in (figure.low, figure.high))
    return [Change(figure.name, (low, high), _wide(figure), False)]


def intervals(
    model: BedModel,
    placed: Placed,
    one: Field,
    path: Path,
    base: Hardness,
    slope_forces: tuple[float, float, float],
    off: HouseTolerances,
) -> Intervals:
    """The intervals of a path already pressed."""
    low, high = NEAR[0] * slope_forces[0], NEAR[1] * slope_forces[-1]
    near = [state for state in path.down if low <= state.force <= high]
    spare = [state for state in path.down if not low <= state.force <= high]
    used = tuple(sorted([*near, *spare[::3], path.down[-1]], key=lambda s: s.depth)) if near else path.down
    used = tuple(dict((s.depth, s) for s in used).values())
    found = tangents(one, used, LOOSE)
    base_forces = _bed_forces(Bench(one), used)
    depths = np.array([s.depth - path.touch for s in used])
    moves: list[Move] = []
    down_square = up_square = np.zeros(len(path.down) + 1)
    height_square = 0.0
    for change in changes(model, off, placed.base):
        ends = []
        for end in change.ends:
            spot = place(end, placed.where, placed.base) if change.moves_places else placed
            moved = bed_field(end, spot)
            bench = Bench(moved, LOOSE)
            drop = _touch(bench, path) - path.touch if len(one.tie_down) else 0.0
            if change.wide:
                delta = _pressed_again(bench, used, drop)
            else:
                delta = _by_sensitivity(bench, used, found, base_forces, drop)
            spread = PchipInterpolator(np.concatenate([[0.0], depths]), np.concatenate([[0.0], delta]))
            band = np.asarray(spread(np.clip(path.depth, 0.0, depths[-1])))
            lower = drop - (end.untufted - model.untufted)
            ends.append((_changed(base, path, band, slope_forces), band, lower))
        moves.append(_move(change.name, base, ends))
        down_square = down_square + np.minimum(np.minimum(ends[0][1], ends[1][1]), 0.0) ** 2
        up_square = up_square + np.maximum(np.maximum(ends[0][1], ends[1][1]), 0.0) ** 2
        height_square += max(abs(ends[0][2]), abs(ends[1][2])) ** 2
    tangent = [float(np.sqrt(sum(getattr(m, f) ** 2 for m in moves))) for f in ("tangent_down", "tangent_up")]
    secant = [float(np.sqrt(sum(getattr(m, f) ** 2 for m in moves))) for f in ("secant_down", "secant_up")]
    return Intervals(
        moves=tuple(sorted(moves, key=lambda m: -m.tangent)),
        low=max(0.0, base.tangent - tangent[0]),
        high=base.tangent + tangent[1],
        secant_low=max(0.0, base.secant - secant[0]),
        secant_high=base.secant + secant[1],
        force_low=np.maximum(path.force - np.sqrt(down_square), 0.0),
        force_high=path.force + np.sqrt(up_square),
        height=float(np.sqrt(height_square)),
    )


def _bed_forces(bench: Bench, states: Sequence[Pressed]) -> list[Array]:
    """Forces of everything in the bed, out of balance with the pad, at fields that are held."""
    return [bench.imbalance(state) for state in states]


def _touch(bench: Bench, path: Path) -> float:
    """Depth at which the pad first touches a bed whose tufts, or what they hold, have changed [mm]."""
    one = bench.field
    touched = one.touch > 0
    rest = bench.settled(path.rest.depth, path.rest)
    return float(np.min(one.face[touched] + rest.u[touched, 0]))


def _by_sensitivity(
    bench: Bench, states: Sequence[Pressed], found: Sequence[Tangent], base: Sequence[Array], shift: float
) -> Array:
    """Change of the pad's force at each depth under the first touch: how fields follow the pad, times the change of the
    bed's forces; and the slope, times how far the first touch has gone down."""
    changed = _bed_forces(bench, states)
    return np.array(
        [
            float(np.concatenate([tangent.du.ravel(), tangent.dq]) @ (after - before)) + tangent.slope * shift
            for tangent, after, before in zip(found, changed, base, strict=True)
        ]
    )


def _pressed_again(bench: Bench, states: Sequence[Pressed], shift: float) -> Array:
    """The same, each state settled anew. Raises NotConverged."""
    delta = []
    before: tuple[Pressed, Pressed] | None = None
    for state in states:
        start = replace(state, depth=state.depth + shift)
        if before is not None:
            old, new = before
            start = replace(start, u=state.u + new.u - old.u, q=state.q + new.q - old.q)
        pressed = bench.settled(state.depth + shift, start)
        delta.append(pressed.force - state.force)
        before = state, pressed
    return np.array(delta)


def _changed(base: Hardness, path: Path, band: Array, slope_forces: tuple[float, float, float]) -> Hardness:
    force = path.force + band
    keep = np.concatenate([[True], np.diff(np.maximum.accumulate(force)) > 1e-9])
    depth, force = path.depth[keep], force[keep]
    if force[-1] < slope_forces[-1] * 1.001:
        return base
    return hardness(depth, force, slope_forces, smooth=True)


def _move(name: str, base: Hardness, ends: list[tuple[Hardness, Array, float]]) -> Move:
    tangent = [end[0].tangent - base.tangent for end in ends]
    secant = [end[0].secant - base.secant for end in ends]
    return Move(
        name=name,
        tangent=(max(*tangent, 0.0) - min(*tangent, 0.0)) / 2,
        secant=(max(*secant, 0.0) - min(*secant, 0.0)) / 2,
        tangent_down=min(*tangent, 0.0),
        tangent_up=max(*tangent, 0.0),
        secant_down=min(*secant, 0.0),
        secant_up=max(*secant, 0.0),
        height=max(abs(end[2]) for end in ends),
    )
