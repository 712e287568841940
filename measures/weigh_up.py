"""The weigh-up: what the search finds against the whole grid and against chance; a thousand builds with persons; dask.

Small space: a few hundred builds of the demo's HERON that fit, every one pressed. Thousand builds: any that fit, from
the bed with up to all its knobs moved, each pressed and lain on by two persons, by two processes.
"""

from __future__ import annotations

import importlib.util
import resource
import statistics
import time
from dataclasses import asdict, replace

import numpy as np
from numpy.typing import NDArray

from bedcli.weigh_up_workers import Cluster, Pool
from bedwright.weigh_up import COARSE, FULL, Question, Searched, Workers, brief_question, search
from bedwright.weighing.builds import changed
from bedwright.weighing.emulator import emulator, features
from bedwright.weighing.fronts import hypervolume
from bedwright.weighing.search import Key, tried, whole
from bedwright.weighing.task import known, untold
from measures._demo import demo
from measures._published import Figure

TITLE = "weigh-up of a brief, 150 x 200 cm"
BRIEF, BAND = "BRIEF-1", (4.0, 6.0)  # N/mm: wider than the brief's own, so that many answer
SMALL = {
    "wire": ("W13", "W15"),
    "live turns": (3.0, 3.5, 4.0, 4.5, 5.0),
    "columns": (20, 22, 24),
    "rows": (30, 33),
    "layer A3 filling": ("COTTON", "FOAM-SOFT"),
    "layer A3 thickness": (25.0, 35.0, 45.0),
    "edge": ("ROD-BEFORE", "no edge"),
}
SEEDS = (1, 2, 3)
PERSONS = "man 1755 mm 80 kg supine; woman 1630 mm 62 kg side"
BUILDS, CHECKED, DASK = 1000, 30, 96
Array = NDArray[np.float64]


def run() -> list[Figure]:
    return [*_small(), *_thousand(), *_dask()]


def asking(persons: str = "", **more: object) -> Question:
    """The question of the brief, with persons or without."""
    works = demo()
    brief = changed(works.briefs[BRIEF], persons=persons, h_low=BAND[0], h_high=BAND[1])
    return brief_question(works.with_cards([brief]), BRIEF, **more)  # type: ignore[arg-type]


def _points(found: Searched) -> Array:
    return np.array([one.aims for one in found.answers]).reshape(-1, len(found.tried[0].aims))


def _small() -> list[Figure]:
    """Search, search without emulator, and chance, at a third and a half of the whole grid's work."""
    small = asking(aims=("hardness", "cost", "mass"), only=SMALL)
    keys: list[Key] = [(0, row) for row in whole(small.spaces[0]) if not known(small, 0, row).refused]
    pool = Pool(2)
    try:
        answers = list(pool.each(small.payload(), keys, asdict(COARSE)))
        grid = [tried(small, key, known(small, *key), untold(plain)) for key, plain in zip(keys, answers, strict=True)]
        points = np.array([one.aims for one in grid if one.off == 0])
        corner = tuple(points.max(axis=0) * 1.05)
        full = hypervolume(points, corner)
        found = [
            ("whole grid of a small space", f"{len(keys)} builds fit, {len(points)} answer the brief, all pressed")
        ]
        for share in (3, 2):
            for way in ("guided", "unguided", "by chance"):
                runs = [search(small, len(keys) // share, seed, workers=pool, way=way) for seed in SEEDS]
                ruled = [100 * hypervolume(_points(one), corner) / full for one in runs]
                shown = ", ".join(f"{value:.2f}" for value in ruled)
                found.append(
                    (f"hypervolume, {len(keys) // share} builds {way}, seeds 1 to 3", f"{shown} % of the grid's")
                )
    finally:
        pool.close()
    x = np.array([features(small.spaces[0], one.places, one.facts.guide) for one in grid])
    log = np.log([one.behaviour.h for one in grid])
    some = np.random.default_rng(1).permutation(len(grid))[: len(grid) // 4]
    rest = np.setdiff1d(np.arange(len(grid)), some)
    made = emulator(x[some], log[some])
    assert made is not None
    wrong = np.sqrt(np.mean((made.foretold(x[rest])[0] - log[rest]) ** 2))
    found.append(
        (
            f"emulator of log H from {len(some)} builds, on the other {len(rest)}",
            f"off by {wrong:.2%} (rms), {wrong / np.std(log[rest]):.1%} of how H differs; left out one by one "
            f"{made.left_out:.2%}",
        )
    )
    return found


def _thousand() -> list[Figure]:
    """A thousand builds with a pad test and two lyings each on two processes; errors of a sample against full."""
    many = asking(PERSONS)
    pool = Pool(2)
    try:
        search(many, 16, 9, workers=pool)  # warms up
        began = time.perf_counter()
        found = search(many, BUILDS, 1, workers=pool)
        seconds = time.perf_counter() - began
        some = [found.tried[int(i)] for i in np.linspace(0, len(found.tried) - 1, CHECKED).astype(int)]
        keys = [(one.space, one.places) for one in some]
        plain = replace(FULL, name="fine")  # as fine as in full, without way back and intervals
        fine = [untold(answer) for answer in pool.each(many.payload(), keys, asdict(plain))]
    finally:
        pool.close()
    pairs = [(one.behaviour, two) for one, two in zip(some, fine, strict=True) if not two.failed]
    h = np.array([a.h / b.h - 1 for a, b in pairs])
    p99 = np.array([a.persons[n].p99 / b.persons[n].p99 - 1 for a, b in pairs for n in b.persons])
    spine = np.array([a.persons[n].departure - b.persons[n].departure for a, b in pairs for n in b.persons])
    least = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return [
        (
            f"{len(found.tried) + found.failed} builds, a pad test and 2 lyings each, 2 processes",
            f"{seconds:.0f} s, {1000 * seconds / len(found.tried):.0f} ms a build; {found.failed} did not settle",
        ),
        (
            "screened how",
            f"mesh {COARSE.fineness:g} of full, to {COARSE.greatest:g} N, residual {COARSE.tolerance:g}; persons on "
            f"cells of {COARSE.cell:g} mm, residual {COARSE.persons:g}",
        ),
        (
            f"screened against full, {len(pairs)} builds",
            f"H {np.abs(h).max():.2%} at most ({np.sqrt(np.mean(h**2)):.2%} rms), P99 {np.abs(p99).max():.2%} "
            f"({np.sqrt(np.mean(p99**2)):.2%} rms), spine {np.abs(spine).max():.3f} mm",
        ),
        ("largest memory of a pressing process, and of the search", f"{least:.0f} MB, {own:.0f} MB"),
    ]


def _dask() -> list[Figure]:
    if importlib.util.find_spec("distributed") is None:
        return [("dask, 2 workers of this machine, against the pool", "not measured: dask is not installed here")]
    from distributed import LocalCluster  # noqa: PLC0415

    small = asking(PERSONS)

    def taken(press: Workers) -> float:
        search(small, 16, 5, workers=press)
        began = time.perf_counter()
        search(small, DASK, 1, workers=press)
        return time.perf_counter() - began

    pools, clusters = [], []
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1") as local:
        for _ in range(3):
            pool = Pool(2)
            pools.append(taken(pool))
            pool.close()
            cluster = Cluster(local.scheduler_address)
            clusters.append(taken(cluster))
            cluster.close()
    one, two = statistics.median(pools), statistics.median(clusters)
    return [
        (
            f"dask, 2 workers of this machine, against the pool, {DASK} builds with 2 lyings",
            f"{two:.1f} s against {one:.1f} s, {two / one - 1:+.0%}",
        )
    ]
