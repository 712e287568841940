"""What a bed's cards leave open, each as a standard normal z: what is believed before anything is measured.

A stated tolerance is taken as the half width of an interval that holds 95 of 100: one standard deviation is the
tolerance over 1.96. A stress factor of a filling is log-normal, so that it never turns over; its upper limit lies where
the card puts it. A figure that was solved or read by lots, with ends that lie unlike far, goes through both ends and
its value (a shifted log-normal). A figure that nobody measured, and the share of bending, never leaves its range and is
as likely below its plausible value as above: low + (high - low) Phi(z + c), c by the value. With a range from nothing
to three times the plausible value, 90 of 100 lie between 0.06 and 2.7 times it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtr, ndtri

from bedwright.design.bed_at_size import HouseTolerances
from bedwright.mechanics.base import Base
from bedwright.mechanics.bed_model import BedModel, Level
from bedwright.mechanics.intervals import WIDE
from bedwright.mechanics.open_figure import OpenFigure
from bedwright.mechanics.unit_model import CoilKind

COVERED = float(ndtri(0.975))  # standard deviations in a tolerance
FARTHEST = 10.0  # |z| beyond which nothing moves: no bed is pressed that far from its cards
COILS = "coils"


@dataclass(frozen=True, slots=True)
class Figure:
    """One open figure. name as the pad test's moves name it; unit of value(z).

    card, field: where a maker's own figure would stand; "" where no card has it. old: what stands there, None where
    nothing does. order: in which figures are put on a model. moves_places: the solver's places have to be made
    anew. acts: "coils" for what multiplies the force of every coil, "filling" for a factor on a filling's stress, "".
    bends: whether its range is too wide for its effect to be straight over it.
    """

    name: str
    unit: str
    value: Callable[[float], float]
    put: Callable[[BedModel, float], BedModel]
    card: str = ""
    field: str = ""
    old: float | None = None
    order: int = 0
    moves_places: bool = False
    acts: str = ""
    bends: bool = False

    def on(self, model: BedModel, z: float) -> BedModel:
        """The model with this figure at z standard deviations."""
        return self.put(model, min(max(z, -FARTHEST), FARTHEST))


def figures(model: BedModel, off: HouseTolerances, base: Base) -> tuple[Figure, ...]:
    """Every figure that is open in a model on a base: the same ones as the pad test moves (intervals.changes)."""
    found = [*_coils(model, off), *_fillings(model), *_heats(model), *_heights(model, off)]
    for field, figure in _tied(model, off, base):
        if figure.high > figure.low:
            found.append(_open(field, figure, model.tufts is not None))
    return tuple(sorted(found, key=lambda one: one.order))


def moved(model: BedModel, found: tuple[Figure, ...], z: dict[str, float]) -> BedModel:
    """The model with its figures at z, by name; those not named stay as they are."""
    for one in found:
        if z.get(one.name, 0.0) != 0.0:
            model = one.on(model, z[one.name])
    return model


def _coils(model: BedModel, off: HouseTolerances) -> list[Figure]:
    kinds = {kind.code: kind for item in model.items if not isinstance(item, Level) for kind in item.kinds}
    main = _main(model)

    def put(factor: Callable[[CoilKind, float], float]) -> Callable[[BedModel, float], BedModel]:
        return lambda model, z: model.with_coils({code: factor(kind, z / COVERED) for code, kind in kinds.items()})

    def wire(kind: CoilKind, s: float) -> float:
        return float((1 + s * kind.wire_tolerance / kind.shape.wire_diameter) ** 4)

    def turns(kind: CoilKind, s: float) -> float:
        return kind.shape.live_turns / max(kind.shape.live_turns - s * off.turns, 0.2 * kind.shape.live_turns)

    def size(_: CoilKind, s: float) -> float:
        return float((1 - s * off.diameter) ** -3)

    shape = main.shape
    return [
        Figure(
            "wire diameter", "mm", lambda z: shape.wire_diameter + z / COVERED * main.wire_tolerance, put(wire),
            acts=COILS,
        ),
        Figure("live turns", "turns", lambda z: shape.live_turns - z / COVERED * off.turns, put(turns), acts=COILS),
        Figure("coil diameter", "of the card's", lambda z: 1 - z / COVERED * off.diameter, put(size), acts=COILS),
    ]  # fmt: skip


def _main(model: BedModel) -> CoilKind:
    """The kind of coil that stands most often."""
    standing = np.bincount(model.main.kind, minlength=len(model.main.kinds))
    return model.main.kinds[int(np.argmax(standing))]


def _fillings(model: BedModel) -> list[Figure]:
    def one(code: str, tolerance: float) -> Figure:
        spread = math.log1p(tolerance) / COVERED
        return Figure(
            f"filling {code}", "of the card's", lambda z: math.exp(z * spread),
            lambda model, z: model.with_filling(code, math.exp(z * spread)),
            f"filling {code}", "stress", 1.0, acts="filling",
        )  # fmt: skip

    return [one(code, ply.tolerance) for code, ply in model.fillings.items() if ply.tolerance > 0]


def _heats(model: BedModel) -> list[Figure]:
    def one(heat: OpenFigure) -> Figure:
        code = heat.name.removeprefix("heat of ")
        value = through(heat.low, heat.value, heat.high)
        return Figure(
            heat.name, "mm", value, lambda model, z: model.with_heat(code, value(z)), order=1,
            moves_places=model.tufts is not None,
        )  # fmt: skip

    heats = {kind.code: kind.heat for kind in model.main.kinds}
    return [one(heat) for heat in heats.values() if heat.high > heat.low]


def _heights(model: BedModel, off: HouseTolerances) -> list[Figure]:
    mm, tufted = off.coil_height / COVERED, model.tufts is not None
    found = [
        Figure("coil height", "mm", lambda z: z * mm, lambda model, z: model.higher(z * mm, 0.0), order=2,
               moves_places=tufted)
    ]  # fmt: skip
    if any(kind.pocket_height is not None for kind in model.main.kinds):
        found.append(
            Figure("pocket height", "mm", lambda z: z * mm, lambda model, z: model.higher(0.0, z * mm), order=2,
                   moves_places=tufted)
        )  # fmt: skip
    return found


def _tied(model: BedModel, off: HouseTolerances, base: Base) -> list[tuple[str, OpenFigure]]:
    lower = [("lower_tension", model.lower_tension.within(off.tension))] if base.form != "solid" else []
    return [
        ("tension", model.tension.within(off.tension)),
        *lower,
        ("bending", model.bending),
        ("rim", model.rim.within(off.tension)),
        ("tie", model.main.tie.within(off.lacing)),
        ("ring", model.main.ring.within(off.lacing)),
    ]


def _open(field: str, figure: OpenFigure, tufted: bool) -> Figure:
    """A tension, a share of bending, a border or a tie."""
    if not figure.known or field == "bending":
        value = ranged(figure.low, figure.value, figure.high)
    elif figure.solved:
        value = through(figure.low, figure.value, figure.high)
    else:
        half = (figure.high - figure.low) / 2

        def value(z: float) -> float:
            return max(0.0, figure.value + z / COVERED * half)

    def put(model: BedModel, z: float) -> BedModel:
        if field in ("tie", "ring"):
            return replace(model, main=model.main.with_figure(field, value(z)))
        return model.with_figure(field, value(z))

    at_home = figure.field if figure.field != "panel_fullness" else "panel_tension"
    old = figure.value if figure.known and not figure.solved else None
    card = "" if field in ("lower_tension", "bending") else figure.card  # a bed's card has one tension, the upper's
    return Figure(
        figure.name,
        figure.unit,
        value,
        put,
        card,
        at_home if card else "",
        old,
        moves_places=field in ("tie", "ring") or tufted,
        bends=figure.high - figure.low > 2 * WIDE * figure.value,
    )


def through(low: float, middle: float, high: float) -> Callable[[float], float]:
    """A smooth rising map of z through both ends, at their 2.5 and 97.5 of 100, and the middle at 0; never below
    nothing where the low end is not."""
    least = 0.0 if low >= 0 else -math.inf
    down, up = middle - low, high - middle
    if down <= 0 or up <= 0 or abs(math.log(up / down)) < 1e-6:
        half = (high - low) / 2
        return lambda z: max(least, middle + z / COVERED * half)
    bend = min(max(math.log(up / down), -2.5), 2.5)
    scale = up / math.expm1(bend)
    return lambda z: max(least, middle + scale * math.expm1(bend * z / COVERED))


def ranged(low: float, middle: float, high: float) -> Callable[[float], float]:
    """A smooth rising map of z that never leaves the range, the middle at 0."""
    share = min(max((middle - low) / (high - low), 1e-3), 1 - 1e-3)
    start = float(ndtri(share))
    return lambda z: low + (high - low) * float(ndtr(z + start))
