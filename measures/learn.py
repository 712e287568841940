"""Learning from pad tests: of 200 beds drawn from what their cards allow, how many intervals hold the truth.

Each bed is one of the demo's seven with another pitch and other coils; its figures are drawn from what is believed
before (mechanics/learn_figures.py), it is pressed in the middle and, every second one, at a spot near the side too, and
noise is added as it is believed to be. All on a coarser mesh, truth and learning alike; a last row presses the truth on
the full mesh.
"""

from __future__ import annotations

import statistics
from collections import defaultdict
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from multiprocessing import get_context
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

from bedwright.design.bed_at_size import BedAtSize
from bedwright.design.buildup import bed_at_size
from bedwright.errors import BedwrightError
from bedwright.mechanics.base import SOLID
from bedwright.mechanics.bed_model import bed_model
from bedwright.mechanics.hardness import hardness
from bedwright.mechanics.learn import learn
from bedwright.mechanics.learn_figures import figures
from bedwright.mechanics.learn_known import Spread
from bedwright.mechanics.learn_noise import BY_HAND
from bedwright.mechanics.learn_pressed import Press
from bedwright.mechanics.learn_readings import PadReadings
from bedwright.mechanics.learn_told import coil_rate
from bedwright.mechanics.pad import Spot
from bedwright.works.card import Card
from bedwright.works.works import Works
from measures._demo import demo, timed
from measures._published import Figure

Array = NDArray[np.float64]
TITLE = "learning from pad tests: what 90 % intervals hold"
BEDS, SIZE, COUNT, FULL_MESH, SEED = (
    ("AVOCET", "DUNLIN", "HERON", "PLOVER", "REDSHANK", "TEAL", "WHIMBREL"), "150x200", 200, 40, 11,
)  # fmt: skip
COARSE, LOOSE = 0.5, 1e-5
MOST_FIGURES = 24
PROCESSES = 2
FAMILIES = (("filling ", "filling factors"), ("heat of", "heat of a coil"))


@dataclass(frozen=True, slots=True)
class Held:
    """One bed: whether each interval held the truth, by name; how much of H's interval was left; seconds; outside."""

    held: dict[str, bool]
    left: float
    seconds: float
    outside: bool


def changed(card: Card, **fields: Any) -> Card:
    """A card with some of its fields changed."""
    return type(card).make(**{**{name: getattr(card, name) for name in type(card).model_fields}, **fields})


@cache
def truths() -> Array:
    """z of every bed and figure, spread evenly (Latin hypercube), so that what is held depends on luck the less."""
    return np.asarray(ndtri(qmc.LatinHypercube(MOST_FIGURES, rng=SEED).random(COUNT)), dtype=np.float64)


def other_bed(code: str, chance: np.random.Generator) -> BedAtSize:
    """A bed of the demo with its coils further apart or nearer, and other turns."""
    works = demo()
    card = works.beds[code]
    unit = works.units[card.unit]
    coil = works.coils[unit.coil]
    wider = float(chance.uniform(1.0, 1.15))
    turns = float(chance.uniform(0.9, 1.15))
    fields: dict[str, Any] = {
        "pitch_across": round(unit.pitch_across * wider, 1), "pitch_along": round(unit.pitch_along * wider, 1),
    }  # fmt: skip
    new_coil = changed(
        coil, live_turns=round(coil.live_turns * turns, 2), total_turns=round(coil.total_turns * turns + 0.01, 2)
    )
    new_unit = changed(unit, **fields)
    swapped = {id(unit): new_unit, id(coil): new_coil}
    other = Works.of(works.about, [swapped.get(id(one), one) for one in works.all_cards()])
    return bed_at_size(other, other.beds[code], other.sizes[SIZE])


def one_bed(seed: int, fineness: float = COARSE) -> Held:
    """Draw a bed, press it, learn of it, and see what held. fineness: of the mesh that the truth is pressed on."""
    chance = np.random.default_rng([SEED, seed])
    bed = other_bed(BEDS[seed % len(BEDS)], chance)
    model = bed_model(bed)
    found = figures(model, bed.tolerances, SOLID)
    truth = truths()[seed % COUNT, : len(found)]
    deepest = float(chance.uniform(45.0, 65.0))
    spots = [Spot(bed.width / 2, bed.length / 2)]
    if seed % 2:
        spots.append(Spot(float(chance.uniform(220.0, 350.0)), bed.length / 2))
    presses = [
        Press(model, found, spot, SOLID, deepest, fineness=fineness, tolerance=LOOSE) for spot in spots
    ]  # fmt: skip
    tests = [_read(press, truth, deepest, chance) for press in presses]
    learned, seconds = timed(lambda: learn(bed, tests, noise=BY_HAND, fineness=COARSE, tolerance=LOOSE))
    held = {
        one.name: _holds(one.after, figure.value(z))
        for one, figure, z in zip(learned.figures, found, truth, strict=True)
    }
    held["rate of the coils"] = _holds(learned.rate_after, float(coil_rate(presses[0], truth[None])[0]))
    path, _ = presses[0].whole(truth)
    h = hardness(path.depth, path.force, smooth=True)
    assert learned.after.tangent and learned.after.secant and learned.before.tangent
    held["H tangent"] = _holds(learned.after.tangent, h.tangent)
    held["H secant"] = _holds(learned.after.secant, h.secant)
    held["H tangent, by the cards alone"] = _holds(learned.before.tangent, h.tangent)
    before, after = learned.before.tangent, learned.after.tangent
    return Held(held, (after.high - after.low) / (before.high - before.low), seconds, learned.check.outside)


def _read(press: Press, truth: Array, deepest: float, chance: np.random.Generator) -> PadReadings:
    depth = np.linspace(4.0, deepest, int(chance.integers(12, 25)))
    seen = press.seen(truth, by=False)
    force, slope = seen.at(depth), seen.slope_at(depth)
    force = force + np.linalg.cholesky(BY_HAND.spread(force, slope)) @ chance.standard_normal(len(depth))
    return PadReadings(tuple(depth.tolist()), tuple(force.tolist()), x=press.spot.x, y=press.spot.y)


def _holds(spread: Spread, value: float) -> bool:
    return spread.low <= value <= spread.high


def tried(seed: int, fineness: float = COARSE) -> Held | str:
    """The same, or why it could not be."""
    try:
        return one_bed(seed, fineness)
    except BedwrightError as error:
        return f"{seed} {BEDS[seed % len(BEDS)]}: {error}"


def run() -> list[Figure]:
    with ProcessPoolExecutor(PROCESSES, mp_context=get_context("spawn")) as pool:
        found = list(pool.map(tried, range(COUNT), chunksize=5))
        full = list(pool.map(tried, range(FULL_MESH), [1.0] * FULL_MESH, chunksize=5))
    told = _told(found)
    held = [one for one in full if isinstance(one, Held)]
    share = np.mean([value for one in held for name, value in one.held.items() if not name.startswith("H ")])
    h = np.mean([one.held[name] for one in held for name in ("H tangent", "H secant")])
    told.append(
        (
            f"{len(held)} beds more, truth on the full mesh, learned on the coarse one",
            f"figures {share:.1%}, H {h:.1%}: what a mesh of half the fineness adds is in no interval",
        )
    )
    return told


def _told(found: list[Held | str]) -> list[Figure]:
    beds = [one for one in found if isinstance(one, Held)]
    by: dict[str, list[bool]] = defaultdict(list)
    for one in beds:
        for name, value in one.held.items():
            by[next((family for key, family in FAMILIES if name.startswith(key)), name)].append(value)
    figures_held = [v for one in beds for name, v in one.held.items() if not name.startswith(("H ", "rate"))]
    told = [
        (
            f"{len(beds)} beds of {len(found)}, seed {SEED}",
            f"all figures: {np.mean(figures_held):.1%} of {len(figures_held)} intervals hold the truth",
        )
    ]
    for name in sorted(by, key=lambda one: (not one.startswith("H "), one)):
        held = by[name]
        told.append((name, f"{np.mean(held):.1%} of {len(held)}"))
    told.append(
        ("width of H tangent left", f"{statistics.median(one.left for one in beds):.0%} in the middle of the beds")
    )
    told.append(
        ("said to be outside what the cards allow (1 % should be)", f"{np.mean([o.outside for o in beds]):.1%}")
    )
    told.append(("processor time of one bed", f"{statistics.median(one.seconds for one in beds):.2f} s"))
    told += [("could not be learned", one) for one in found if isinstance(one, str)]
    return told
