"""The search itself: batch after batch of builds, each proposed from the best so far, until the work is done.

Work is counted in builds pressed, never in time. Every batch draws from a chance of its own, made of seed and number,
and is put together in order: same question, same seed, same answer, whoever presses, and broken off or not.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass, field
from itertools import islice, product
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from bedwright.errors import NotReadable, OutsideRange
from bedwright.identity import canonical
from bedwright.weighing.behaviour import COARSE, Behaviour, How
from bedwright.weighing.emulator import Emulator, emulator, features
from bedwright.weighing.facts import Facts
from bedwright.weighing.fronts import crowding, ranks, unbeaten
from bedwright.weighing.space import Places, Space
from bedwright.weighing.state import State, Weighed
from bedwright.weighing.task import Question, known, untold, weigh

Array = NDArray[np.float64]
Key = tuple[int, Places]
BATCH = 16
POOL = 5
"""Builds that fit, for each that is pressed: from these the emulator picks."""
TRIES = 60
"""Proposals for each build of a batch before the search looks along the whole space, or gives up."""
PARENTS = 48
BY_CHANCE = 0.25
"""Share of a batch that is taken without asking the emulator."""
LONGEST_WALK = 20_000
WAYS = ("guided", "unguided", "by chance")
CLOSES = 1.0
"""What coils that close before H is read count as missing the brief: as much as H a whole half band outside."""


class Workers(Protocol):
    """Who presses builds: answers in the order of the tasks."""

    def each(self, payload: str, tasks: Sequence[Key], how: dict[str, Any]) -> Iterable[dict[str, Any]]: ...


class Serial:
    """This process alone."""

    def each(self, payload: str, tasks: Sequence[Key], how: dict[str, Any]) -> Iterable[dict[str, Any]]:
        return (weigh(payload, space, places, how) for space, places in tasks)


@dataclass(frozen=True, slots=True)
class Tried:
    """A build that was pressed. aims: its figures, in the order asked, each to be small; off: by how much it misses the
    band and the edge asked, 0 where it answers the brief."""

    space: int
    places: Places
    facts: Facts
    behaviour: Behaviour
    aims: tuple[float, ...]
    off: float


@dataclass(frozen=True, slots=True)
class Searched:
    """What a search found: every build pressed, which of them none beats, why it stopped, and where it stands."""

    tried: tuple[Tried, ...]
    best: tuple[int, ...]
    failed: int
    refused: dict[str, int]
    stopped: str
    state: State

    @property
    def answers(self) -> tuple[Tried, ...]:
        """Those of the builds pressed that answer the brief."""
        return tuple(one for one in self.tried if one.off == 0)


@dataclass(slots=True)
class _Run:
    """What a search carries from batch to batch."""

    asking: Question
    payload: str
    seed: int
    guided: str
    size: int
    weighed: list[Weighed] = field(default_factory=list)
    tried: list[Tried] = field(default_factory=list)
    refused: Counter[str] = field(default_factory=Counter)
    failed: int = 0
    seen: set[Key] = field(default_factory=set)

    def known(self, key: Key) -> Facts:
        return known(self.asking, *key)

    def take(self, one: Weighed) -> None:
        key = one.space, one.places
        self.seen.add(key)
        self.weighed.append(one)
        if one.behaviour.failed:
            self.failed += 1
        else:
            self.tried.append(tried(self.asking, key, self.known(key), one.behaviour))


def tried(asking: Question, key: Key, found: Facts, behaves: Behaviour) -> Tried:
    """A pressed build with its aims."""
    ask = asking.ask
    aims = tuple(found.of(aim) if aim in ("cost", "mass", "carbon") else behaves.of(aim, ask) for aim in ask.aims)
    off = ask.outside(behaves.h) + (CLOSES if behaves.closes else 0.0)
    if ask.brief.edge_least is not None:
        off += max(0.0, ask.brief.edge_least / 100 - (behaves.edge or 0.0))
    return Tried(*key, found, behaves, aims, off)


def search(
    asking: Question,
    work: int,
    seed: int = 1,
    *,
    workers: Workers | None = None,
    told: Callable[[int, int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    keep: Callable[[State], None] | None = None,
    state: State | None = None,
    way: str = "guided",
    how: How = COARSE,
    batch: int = BATCH,
) -> Searched:
    """Press `work` builds of the question's spaces, or all there are.

    told(done, work, answers) after every build; cancelled is asked, and keep is handed the state, after every batch;
    state: to go on from. way: of WAYS, "by chance" draws builds from the whole space evenly. Raises OutsideRange, and
    NotReadable for a state of another question or seed.
    """
    if work < 1 or batch < 1 or way not in WAYS:
        raise OutsideRange(f"work {work}, batch {batch}, way {way!r}: give 1 or more, and one of {', '.join(WAYS)}")
    payload = asking.payload()
    run = _Run(asking, payload, seed, way, batch)
    number = _gone_on_with(run, asking, state, seed, batch, way)
    stopped, press, stands = "the work is done", workers or Serial(), _state(run, asking, number)
    while len(run.weighed) < work:
        if cancelled is not None and cancelled():
            stopped = "it was cancelled"
            break
        whole_batch = _proposed(run, number, batch)
        keys = whole_batch[: work - len(run.weighed)]
        if not keys:
            stopped = "nothing was found that fits and was not pressed"
            break
        for key, answer in zip(keys, press.each(payload, keys, asdict(how)), strict=True):
            plain = json.loads(canonical(answer))  # as a state keeps it, so that both ways go on alike
            run.take(Weighed(*key, untold(plain)))
            if told is not None:
                told(len(run.weighed), work, sum(one.off == 0 for one in run.tried))
        if len(keys) == len(whole_batch):  # one that was cut short is pressed anew, so that more work goes on alike
            number += 1
            stands = _state(run, asking, number)
            if keep is not None:
                keep(stands)
    return Searched(tuple(run.tried), best_of(run.tried), run.failed, dict(run.refused), stopped, stands)


def best_of(tries: Sequence[Tried]) -> tuple[int, ...]:
    """Those that answer the brief and are beaten by none; where none answers it, the one that misses it least."""
    inside = [index for index, one in enumerate(tries) if one.off == 0]
    if not inside:
        return (min(range(len(tries)), key=lambda i: (tries[i].off, tries[i].aims)),) if tries else ()
    return tuple(inside[row] for row in unbeaten(np.array([tries[index].aims for index in inside])))


def _gone_on_with(run: _Run, asking: Question, state: State | None, seed: int, batch: int, way: str) -> int:
    if state is None:
        return 0
    mark = _mark(asking, way)
    for name, held, now in (
        ("question", state.question, mark), ("seed", state.seed, seed), ("batch", state.batch, batch),
    ):  # fmt: skip
        if held != now:
            told = "the works, the brief or what is varied has changed" if name == "question" else f"{held}, now {now}"
            raise NotReadable(f"the state is of another {name} ({told}); begin anew without --resume")
    for one in state.weighed:
        run.take(one)
    run.refused.update(state.refused)
    return state.batches


def _mark(asking: Question, way: str) -> str:
    return f"{asking.content()} {way}"


def _state(run: _Run, asking: Question, number: int) -> State:
    return State(_mark(asking, run.guided), run.seed, run.size, number, dict(run.refused), tuple(run.weighed))


def _proposed(run: _Run, number: int, count: int) -> list[Key]:
    """The next batch: builds that fit, hold the ceilings and were not pressed; in order."""
    chance = np.random.default_rng([run.seed, number])
    if number == 0 and run.guided != "by chance":
        starts = [(index, space.start) for index, space in enumerate(run.asking.spaces)]
        first = [key for key in starts if _fits(run, key)][:count]
    else:
        first = []
    pool = _pool(run, chance, count * (POOL if run.guided == "guided" and number else 1) - len(first), set(first))
    if run.guided == "guided" and number:
        pool = _picked(run, chance, pool, count - len(first))
    return [*first, *pool][:count]


def _fits(run: _Run, key: Key) -> bool:
    found = run.known(key)
    if found.refused:
        run.refused[_short(found.refused)] += 1
    return not found.refused


def _short(why: str) -> str:
    """The reason of a refusal without its figures, for counting."""
    head = why.split(":", 1)[0]
    if " to be claimed" in head:
        return "fewer springs than are to be claimed"
    return head.split(" ", 1)[0] + " above the brief's" if " is above " in head else head


def _pool(run: _Run, chance: np.random.Generator, count: int, taken: set[Key]) -> list[Key]:
    found: list[Key] = []
    parents = _parents(run)
    for _ in range(TRIES * count):
        if len(found) >= count:
            return found
        key = _child(run, chance, parents)
        if key in run.seen or key in taken:
            continue
        taken.add(key)
        if _fits(run, key):
            found.append(key)
    for key in _walk(run, chance):  # a small space may be nearly done
        if len(found) >= count:
            break
        if key not in run.seen and key not in taken and _fits(run, key):
            taken.add(key)
            found.append(key)
    return found


def _walk(run: _Run, chance: np.random.Generator) -> Iterable[Key]:
    """Every build of spaces that are small enough to walk, in an order of chance."""
    keys: list[Key] = []
    for index, space in enumerate(run.asking.spaces):
        if space.count <= LONGEST_WALK:
            keys += [(index, places) for places in whole(space)]
    order = chance.permutation(len(keys))
    return (keys[int(place)] for place in order)


def whole(space: Space, most: int = LONGEST_WALK) -> list[Places]:
    """Every build of a space, up to `most` rows of places, each once."""
    rows = islice(product(*(range(len(knob.values)) for knob in space.knobs)), most)
    return list(dict.fromkeys(space.same(row) for row in rows))


def _parents(run: _Run) -> list[Tried]:
    """The best so far: what answers the brief by rank and crowding, then what misses it least."""
    if run.guided == "by chance" or not run.tried:
        return []
    inside = [one for one in run.tried if one.off == 0]
    outside = sorted((one for one in run.tried if one.off > 0), key=lambda one: (one.off, one.aims))
    if inside:
        points = np.array([one.aims for one in inside])
        rank = np.array(ranks(points))
        crowd = np.zeros(len(inside))
        for level in range(int(rank.max()) + 1):
            on = np.flatnonzero(rank == level)
            crowd[on] = crowding(points[on])
        order = sorted(range(len(inside)), key=lambda i: (rank[i], -crowd[i], i))
        inside = [inside[i] for i in order]
    return [*inside, *outside][:PARENTS]


def _child(run: _Run, chance: np.random.Generator, parents: list[Tried]) -> Key:
    """A proposal: from two parents of one bed, some knobs moved; at first the bed itself with some knobs moved."""
    spaces = run.asking.spaces
    if run.guided == "by chance":
        index = int(chance.integers(len(spaces)))
        return index, spaces[index].same([int(chance.integers(len(knob.values))) for knob in spaces[index].knobs])
    if not parents:
        index = int(chance.integers(len(spaces)))
        places = list(spaces[index].start)
        moved = int(chance.integers(1, len(places) + 1))
        return index, _moved(spaces[index], places, chance, moved / len(places), wide=True)
    one = _tournament(parents, chance)
    index, places = one.space, list(one.places)
    mates = [other for other in parents if other.space == index]
    if chance.random() < 0.6:
        mate = _tournament(mates, chance)
        places = [a if chance.random() < 0.5 else b for a, b in zip(places, mate.places, strict=True)]
    return index, _moved(spaces[index], places, chance, 1.5 / max(len(places), 1), wide=bool(chance.random() < 0.2))


def _tournament(parents: list[Tried], chance: np.random.Generator) -> Tried:
    return parents[int(min(chance.integers(len(parents), size=2)))]


def _moved(space: Space, places: list[int], chance: np.random.Generator, share: float, *, wide: bool) -> Places:
    """Some knobs put elsewhere: choices anywhere, ordered ones a few steps away, or anywhere if wide."""
    for at, knob in enumerate(space.knobs):
        last = len(knob.values) - 1
        if not last or chance.random() >= share:
            continue
        if knob.ordered and not wide:
            step = int(chance.geometric(0.45)) * (1 if chance.random() < 0.5 else -1)
            places[at] = min(max(places[at] + step, 0), last)
        else:
            places[at] = int(chance.integers(last + 1))
    return space.same(places)


def _picked(run: _Run, chance: np.random.Generator, pool: list[Key], count: int) -> list[Key]:
    """Of a pool, those that the emulator likes best beside what is known; and some by chance."""
    by_chance = round(BY_CHANCE * count)
    likely = _foretold(run, pool)
    if likely is None or len(pool) <= count:
        return pool[:count]
    aims, off = likely
    best = [run.tried[index] for index in best_of(run.tried)]
    known_aims = np.array([one.aims for one in best]) if best and best[0].off == 0 else np.zeros((0, aims.shape[1]))
    inside = np.flatnonzero(off <= 0)
    order: list[int] = []
    if len(inside):
        points = np.concatenate([known_aims, aims[inside]])
        rank = np.array(ranks(points))
        crowd = np.zeros(len(points))
        for level in range(int(rank.max()) + 1):
            on = np.flatnonzero(rank == level)
            crowd[on] = crowding(points[on])
        shift = len(known_aims)
        order = sorted(range(len(inside)), key=lambda i: (rank[shift + i], -crowd[shift + i], i))
        order = [int(inside[i]) for i in order]
    order += sorted((i for i in range(len(pool)) if off[i] > 0), key=lambda i: (off[i], i))
    chosen = order[: count - by_chance]
    left = [i for i in range(len(pool)) if i not in set(chosen)]
    chosen += [left[int(i)] for i in chance.permutation(len(left))[:by_chance]]
    return [pool[i] for i in chosen]


def _foretold(run: _Run, pool: list[Key]) -> tuple[Array, Array] | None:
    """Likely aims (builds, aims) and by how much each is likely to miss the brief; None while too little is known."""
    ask = run.asking.ask
    aims = np.zeros((len(pool), len(ask.aims)))
    off = np.zeros(len(pool))
    for space in sorted({key[0] for key in pool}):
        rows = [i for i, key in enumerate(pool) if key[0] == space]
        taught = [one for one in run.tried if one.space == space]
        made = _emulators(run, space, taught)
        if made is None:
            return None
        x = np.array([_features(run, pool[i]) for i in rows])
        h = np.exp(made["h"].foretold(x)[0])
        off[rows] = [ask.outside(float(value)) for value in h]
        for column, aim in enumerate(ask.aims):
            if aim == "hardness":
                aims[rows, column] = [ask.away(float(value)) for value in h]
            elif aim in made:
                aims[rows, column] = made[aim].foretold(x)[0]
            else:
                aims[rows, column] = [run.known(pool[i]).of(aim) for i in rows]
        if ask.brief.edge_least is not None and "edge" in made:
            edge = 1 - made["edge"].foretold(x)[0]
            off[rows] += np.maximum(0.0, ask.brief.edge_least / 100 - edge)
    return aims, off


def _emulators(run: _Run, space: int, taught: list[Tried]) -> dict[str, Emulator] | None:
    """One emulator for log H and for each other figure that needs a press."""
    if not taught:
        return None
    x = np.array([_features(run, (one.space, one.places)) for one in taught])
    ask = run.asking.ask
    wanted = {"h": [float(np.log(one.behaviour.h)) for one in taught]}
    for aim in ("edge", "pressure", "spine"):
        if aim in ask.aims or (aim == "edge" and ask.edge):
            wanted[aim] = [one.behaviour.of(aim, ask) for one in taught]
    made = {name: emulator(x, np.array(values)) for name, values in wanted.items()}
    found = {name: one for name, one in made.items() if one is not None}
    return found if len(found) == len(made) else None


def _features(run: _Run, key: Key) -> list[float]:
    return features(run.asking.spaces[key[0]], key[1], run.known(key).guide)
