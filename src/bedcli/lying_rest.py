"""Persons brought to rest as a command asked: timed once, then what moves when one turns, and how sure it all is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import click

from bedcli.lying_asked import Question, turned_over
from bedcli.lying_told import LyingAsked
from bedcli.pad_plain import made_ready
from bedwright.errors import NotConverged
from bedwright.mechanics import body_loops
from bedwright.mechanics.lain import Lying
from bedwright.mechanics.linked_map import joined
from bedwright.mechanics.lying import Lies, lying
from bedwright.mechanics.lying_sure import lying_sure
from bedwright.mechanics.overlap import overlap_words
from bedwright.mechanics.settled_bed import settled_model
from bedwright.mechanics.turned import Turned, turned
from bedwright.mechanics.zip_link import zip_link
from bedwright.papers.lying_surety import Sure, sure_of

FIRST = "The first lying on this machine turns its sums into machine code and keeps that: half a minute or so, once."
COARSE = 60.0  # mm: cells of the try that makes ready


def answered(asked: Question, *, quick: bool, turn: bool, linked: bool) -> LyingAsked:
    """All that was asked for. Raises FaultsFound, NotKnown and NotConverged as lying does."""
    model, more = settled_model(asked.bed, asked.face, asked.settled / 100) if asked.settled else (None, ())
    said = [*asked.said, *more]

    def down(of: tuple[Lies, ...], cell: float = asked.cell) -> Lying:
        return lying(asked.bed, of, face=asked.face, base=asked.base, model=model, cell=cell)

    def sure(of: tuple[Lies, ...]) -> tuple[Sure, ...]:
        if quick:
            return ()
        try:
            return sure_of(lying_sure(asked.bed, of, face=asked.face, base=asked.base, model=model, cell=asked.cell))
        except NotConverged as error:
            said.append(f"no interval: with one of its open figures at its limit {error}")
            return ()

    made_ready()
    say_what_takes_long()
    down(asked.lies[:1], max(asked.cell, COARSE))
    start = perf_counter()
    if linked:
        left, right = asked.lies
        how = {"face": asked.face, "base": asked.base, "model": model, "cell": asked.cell}
        link = zip_link(asked.bed, left, right, **how)
        seconds = perf_counter() - start
        each = (sure((left,)), sure((right,)))
        both = (*each[0], *each[1]) if all(each) else ()
        return LyingAsked(
            asked.works, asked.bed, asked.lies, joined(link), seconds, sure=both, link=link, settled=asked.settled,
            more=tuple(said),
        )  # fmt: skip
    answer = down(asked.lies)
    seconds = perf_counter() - start
    over = overlap_words(answer)
    said += [over] if over else []
    moved = _turning(asked, answer, down) if turn else ()
    known = sure(asked.lies)
    return LyingAsked(
        asked.works, asked.bed, asked.lies, answer, seconds, turned=moved, sure=known, settled=asked.settled,
        more=tuple(said),
    )  # fmt: skip


def say_what_takes_long() -> None:
    """One line on the error stream where the loops of bodies are not kept as machine code yet."""
    kept = Path(body_loops.bodies_settle.stats.cache_path)
    if next(kept.glob("body_loops.bodies_settle-*.nbi"), None) is None:
        click.echo(FIRST, err=True)


def _turning(asked: Question, answer: Lying, down: Callable[[tuple[Lies, ...]], Lying]) -> tuple[Turned, ...]:
    """What moves of each when the other turns: two solves more."""
    moved = []
    for still in (0, 1):
        after = tuple(one if index == still else turned_over(one) for index, one in enumerate(asked.lies))
        moved.append(turned(answer, down(after), still))
    return tuple(moved)
